package hardpan.shoot;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ObjectNode;
import hardpan.base.Monitor;
import hardpan.lanes.LaneChoices;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import hardpan.report.ReportJson;
import hardpan.shoot.Wishes.Pin;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.nio.file.attribute.FileTime;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.Statement;
import java.time.Instant;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** A shoot that is closed and opened again. */
@NullUnmarked
class ShootSessionTest {
  @TempDir Path folder;
  private Path media;

  @BeforeEach
  void make() throws Exception {
    media = ShootSamples.harvestSupper(folder.resolve("supper"));
  }

  private Path file() {
    return folder.resolve("data").resolve("supper.hardpan");
  }

  private ShootSession open() {
    return ShootSession.open(List.of(media), file(), ReaderChoice.BEST);
  }

  private static String report(Shoot shoot) {
    return ReportJson.toText(ReportMaker.report(shoot, List.of(), ShootSamples.MADE_AT));
  }

  /** Notes what the work does. */
  private static final class Stages implements Monitor {
    private final List<String> stages = new ArrayList<>();

    @Override
    public synchronized void progress(String stage, double fraction) {
      if (!stages.contains(stage)) {
        stages.add(stage);
      }
    }

    @Override
    public boolean isCancelled() {
      return false;
    }
  }

  @Test
  void whatWasLinedUpIsThereAgainWithoutTheSources() throws Exception {
    Map<String, String> before = ShootSamples.listing(media);
    String first;
    Shoot shoot;
    try (ShootSession session = open()) {
      assertThat(session.kept()).isEmpty();
      shoot = session.read(Wishes.NONE, Monitor.SILENT);
      first = report(shoot);
      assertThat(session.trouble()).isEmpty();
    }
    assertThat(ShootSamples.listing(media)).isEqualTo(before);
    Files.move(media, folder.resolve("elsewhere"));
    try (ShootSession session = open()) {
      Shoot again = session.kept().orElseThrow();
      assertThat(report(again)).isEqualTo(first);
      assertThat(session.isLinedUpFor(Wishes.NONE)).isTrue();
      for (int i = 0; i < shoot.sources().size(); i++) {
        Overview was = shoot.sources().get(i).analysis().overview();
        Overview is = again.sources().get(i).analysis().overview();
        assertThat(is.minima(500).get(0)).isEqualTo(was.minima(500).get(0));
      }
      assertThat(LaneList.of(again, Wishes.NONE)).isEqualTo(LaneList.of(shoot, Wishes.NONE));
      ShootSession.Changes changes = session.changes(Monitor.SILENT);
      assertThat(changes.missingRoots()).containsExactly(media);
      Files.move(folder.resolve("elsewhere"), media);
      assertThat(session.changes(Monitor.SILENT).isEmpty()).isTrue();
    }
  }

  @Test
  void aKeptShootCanBeHandedOver() throws Exception {
    try (ShootSession session = open()) {
      Shoot shoot = session.read(Wishes.NONE, Monitor.SILENT);
      HandOver.write(shoot, ShootSamples.options(folder.resolve("fresh"), false), Monitor.SILENT);
    }
    try (ShootSession session = open()) {
      HandOver.write(
          session.kept().orElseThrow(),
          ShootSamples.options(folder.resolve("reopened"), false),
          Monitor.SILENT);
    }
    // Checksums of all lanes are in it.
    assertThat(Files.readString(folder.resolve("reopened/report.json")))
        .contains("\"sha256\"")
        .isEqualTo(Files.readString(folder.resolve("fresh/report.json")));
  }

  @Test
  void whatChangedOnTheDiskIsSaid() throws Exception {
    try (ShootSession session = open()) {
      session.read(Wishes.NONE, Monitor.SILENT);
    }
    Files.copy(media.resolve("CAM-A/a1.mov"), media.resolve("CAM-A/a2.mov"));
    Files.write(media.resolve("REC/take-01.wav"), new byte[] {0, 0}, StandardOpenOption.APPEND);
    Files.write(media.resolve("CAM-A/a2.mov"), new byte[] {0, 0}, StandardOpenOption.APPEND);
    Files.delete(media.resolve("CAM-B/b1.mp4"));
    try (ShootSession session = open()) {
      assertThat(session.changes(Monitor.SILENT))
          .isEqualTo(
              new ShootSession.Changes(
                  List.of(),
                  List.of("CAM-A/a2.mov"),
                  List.of("REC/take-01.wav"),
                  List.of("CAM-B/b1.mp4")));
    }
  }

  @Test
  void aDecisionLinesUpAnewWithoutReadingTheSources() throws Exception {
    Stages stages = new Stages();
    Wishes pinned = Wishes.NONE.withPin(new Pin("CAM-A/a1.mov", 4.5));
    try (ShootSession session = open()) {
      assertThat(session.needsReading(Wishes.NONE)).isTrue();
      Shoot shoot = session.read(Wishes.NONE, Monitor.SILENT);
      assertThat(session.needsReading(pinned)).isFalse();
      Shoot moved = session.lineUp(pinned, stages);
      assertThat(moved.source("CAM-A/a1.mov").placement().offsetSeconds()).isEqualTo(4.5);
      assertThat(stages.stages).doesNotContain("reading");
      assertThat(session.isLinedUpFor(pinned)).isTrue();
      assertThat(session.isLinedUpFor(Wishes.NONE)).isFalse();
      assertThat(report(session.lineUp(Wishes.NONE, Monitor.SILENT))).isEqualTo(report(shoot));

      Shoot other = session.lineUp(Wishes.NONE.withReference("CAM-A/a1.mov"), Monitor.SILENT);
      assertThat(other.referencePath()).isEqualTo("CAM-A/a1.mov");
      Shoot without = session.lineUp(Wishes.NONE.withExcluded("CAM-B/b1.mp4"), Monitor.SILENT);
      assertThat(without.source("CAM-B/b1.mp4").placement().isLeftOut()).isTrue();
      Wishes devices = Wishes.NONE.withDevice(new DeviceRules.Rule("PHONE", "CAM-B/b1.mp4"));
      assertThat(session.needsReading(devices)).isTrue();
      assertThat(session.lineUp(devices, Monitor.SILENT).source("CAM-B/b1.mp4").device())
          .isEqualTo("PHONE");
      session.lineUp(pinned, Monitor.SILENT);
    }
    try (ShootSession session = open()) {
      Shoot kept = session.kept().orElseThrow();
      Placement place = kept.source("CAM-A/a1.mov").placement();
      assertThat(place.offsetSeconds()).isEqualTo(4.5);
      assertThat(session.isLinedUpFor(pinned)).isTrue();
    }
  }

  @Test
  void decisionsAreKeptAtOnceAndAnImpossibleOneIsRefused() throws Exception {
    Wishes named =
        Wishes.NONE.withLanes(LaneChoices.NONE.with(LaneChoices.Channel.named("CAM-A", 0, "Anna")));
    try (ShootSession session = open()) {
      session.keep(named);
    }
    try (ShootSession session = open()) {
      assertThat(session.wishes()).isEqualTo(named);
      Wishes impossible = Wishes.NONE.withPin(new Pin("REC/take-01.wav", 3));
      assertThatThrownBy(() -> session.read(impossible, Monitor.SILENT))
          .isInstanceOf(ShootException.class)
          .hasMessageContaining("is the reference");
      assertThat(session.kept()).isEmpty();
    }
  }

  @Test
  void aFileThatIsInTheWayIsNoObstacle() throws Exception {
    Files.createDirectories(file().getParent());
    Files.writeString(file(), "no database");
    try (ShootSession session = open()) {
      assertThat(session.trouble().orElseThrow()).contains("not a saved shoot");
      assertThat(session.read(Wishes.NONE, Monitor.SILENT).sources()).hasSize(3);
      session.keep(Wishes.NONE);
      assertThat(session.kept()).isPresent();
    }
    assertThat(Files.readString(file())).isEqualTo("no database");
  }

  @Test
  void aKeptShootThatDoesNotReadBackIsNone() throws Exception {
    try (ShootSession session = open()) {
      session.read(Wishes.NONE, Monitor.SILENT);
    }
    for (String damage :
        List.of(
            "UPDATE outcome SET record_check = record_check + 1",
            "UPDATE outcome SET analysis_version = analysis_version - 1",
            "UPDATE outcome SET record_check = record_check - 1,"
                + " analysis_version = analysis_version + 1",
            "DELETE FROM piece WHERE kind = 'waveform'")) {
      try (ShootSession session = open()) {
        boolean whole = damage.contains("record_check + 1");
        assertThat(session.kept().isPresent()).as("before " + damage).isEqualTo(whole || restored);
      }
      try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
          Statement statement = connection.createStatement()) {
        statement.execute(damage);
      }
      restored = damage.contains("record_check - 1");
      try (ShootSession session = open()) {
        assertThat(session.kept().isPresent()).as("after " + damage).isEqualTo(restored);
      }
    }
  }

  private boolean restored;

  private String freshReport(Wishes wishes) throws Exception {
    try (ShootSession fresh = ShootSession.open(List.of(media), null, ReaderChoice.BEST)) {
      return report(fresh.read(wishes, Monitor.SILENT));
    }
  }

  private void change(String command) throws Exception {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
        Statement statement = connection.createStatement()) {
      statement.execute(command);
    }
  }

  @Test
  void theFirstDecisionAfterReopeningGivesWhatAFreshLineUpGives() throws Exception {
    Wishes pinned = Wishes.NONE.withPin(new Pin("CAM-A/a1.mov", 4.5));
    try (ShootSession session = open()) {
      session.read(Wishes.NONE, Monitor.SILENT);
    }
    try (ShootSession session = open()) {
      assertThat(report(session.lineUp(pinned, Monitor.SILENT))).isEqualTo(freshReport(pinned));
      Wishes other = Wishes.NONE.withReference("CAM-A/a1.mov");
      assertThat(report(session.lineUp(other, Monitor.SILENT))).isEqualTo(freshReport(other));
      assertThat(session.trouble()).isEmpty();
    }
  }

  @Test
  void sourcesThatWereComparedAreNotComparedAgainAfterReopening() throws Exception {
    double found;
    try (ShootSession session = open()) {
      found = place(session.read(Wishes.NONE, Monitor.SILENT), "CAM-A/a1.mov");
    }
    // What is kept is made to say something else; only who takes it from there can say it too.
    shiftKept(100);
    try (ShootSession session = open()) {
      Shoot again = session.lineUp(Wishes.NONE, Monitor.SILENT);
      assertThat(place(again, "CAM-A/a1.mov")).isCloseTo(found + 100, within(1e-6));
    }
    // A source that changed is another one: nothing kept of it counts.
    Files.setLastModifiedTime(
        media.resolve("REC/take-01.wav"), FileTime.from(Instant.parse("2026-01-02T03:04:05Z")));
    try (ShootSession session = open()) {
      Shoot again = session.lineUp(Wishes.NONE, Monitor.SILENT);
      assertThat(place(again, "CAM-A/a1.mov")).isEqualTo(found);
    }
    // Nor does what was damaged.
    change("UPDATE pair SET record_check = record_check + 1, record = ''");
    try (ShootSession session = open()) {
      Shoot again = session.lineUp(Wishes.NONE, Monitor.SILENT);
      assertThat(place(again, "CAM-A/a1.mov")).isEqualTo(found);
    }
  }

  private static double place(Shoot shoot, String path) {
    return shoot.source(path).placement().offsetSeconds();
  }

  /** Moves all places that are kept of pairs. */
  private void shiftKept(double seconds) throws Exception {
    Map<Long, String> changed = new HashMap<>();
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
        Statement statement = connection.createStatement();
        PreparedStatement update =
            connection.prepareStatement(
                "UPDATE pair SET record = ?, record_check = ? WHERE id = ?")) {
      try (ResultSet rows = statement.executeQuery("SELECT id, record FROM pair")) {
        while (rows.next()) {
          ObjectMapper mapper = new ObjectMapper();
          ObjectNode record = (ObjectNode) mapper.readTree(rows.getString(2));
          if (record.get("offsetSeconds").isNumber()) {
            record.put("offsetSeconds", record.get("offsetSeconds").doubleValue() + seconds);
            changed.put(rows.getLong(1), mapper.writeValueAsString(record));
          }
        }
      }
      assertThat(changed).isNotEmpty();
      for (Map.Entry<Long, String> entry : changed.entrySet()) {
        update.setString(1, entry.getValue());
        update.setLong(2, PieceStore.check(entry.getValue().getBytes(StandardCharsets.UTF_8)));
        update.setLong(3, entry.getKey());
        update.executeUpdate();
      }
    }
  }

  @Test
  void sourcesOutOfReachAreFoundWithoutReading() throws Exception {
    try (ShootSession session = open()) {
      session.read(Wishes.NONE, Monitor.SILENT);
      assertThat(session.away()).isEmpty();
      Path elsewhere = Files.move(media, folder.resolve("elsewhere"));
      assertThat(session.away()).containsExactly(media);
      // A mount point stays when its drive is pulled.
      Files.createDirectory(media);
      assertThat(session.away()).containsExactly(media);
      Files.delete(media);
      Files.move(elsewhere, media);
      assertThat(session.away()).isEmpty();
      // One file that is gone is no drive that was pulled.
      Files.delete(media.resolve("CAM-B/b1.mp4"));
      assertThat(session.away()).isEmpty();
    }
  }
}
