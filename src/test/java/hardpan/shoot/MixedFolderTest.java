package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.ReaderChoice;
import hardpan.report.DeviceReport;
import hardpan.report.LeftOutReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.report.StartClaimReport;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A shoot folder as it comes off the cards: an invented choir rehearsal in the mill of Lindmoor
 * with two cameras on one card, a phone, a recorder, small copies, thumbnails, side files and
 * doubles.
 */
@NullUnmarked
class MixedFolderTest {
  private static final int RATE = 48_000;

  @TempDir Path temp;
  private Path folder;
  private float[] hall;

  @BeforeEach
  void fill() throws IOException {
    folder = temp.resolve("mill");
    hall = ShootSamples.speech(31, RATE, 40);
    recording("REC/take-01.wav", "2026-02-14", "18-30-00", 0, 40);
    Map<String, String> k4 = Map.of("make", "Lindwerk", "model", "K4");
    // Two models on one card.
    clip("CARD/DCIM/100LINDW/C0001.MOV", 3, 14, k4, "2026-02-14T19:30:15Z");
    clip("CARD/DCIM/100LINDW/C0002.MOV", 20, 12, k4, "2026-02-14T19:30:32Z");
    clip("CARD/DCIM/100LINDW/X0001.MOV", 5, 10, Map.of("make", "Moor", "model", "Z2"), null);
    clip("PHONE/VID_20260214_182958.mov", 8, 11, Map.of(), null);
    // Small copies: two beside their clips, one alone, one that only pretends.
    small("CARD/DCIM/100LINDW/Proxy/C0001.MOV", 3, 14);
    small("CARD/DCIM/100LINDW/C0002.LRV", 20, 12);
    small("PHONE/Proxy/C0009.MOV", 25, 9);
    small("CARD/DCIM/100LINDW/Proxy/X0001.MOV", 26, 10);
    text("CARD/DCIM/100LINDW/C0001.THM");
    text("CARD/DCIM/100LINDW/C0001M01.XML");
    text("CARD/DCIM/100LINDW/._C0001.MOV");
    text("CARD/THMBNL/a.jpg");
    text("CARD/THMBNL/b.jpg");
    text("PHONE/notes.txt");
    text("PHONE/.trash");
    Files.createDirectories(folder.resolve("BACKUP"));
    Files.copy(folder.resolve("REC/take-01.wav"), folder.resolve("BACKUP/copy of take 1.wav"));
    text("old/lanes/x.wav");
    Files.writeString(folder.resolve("old/report.json"), "{\"format\": \"hardpan-report\"}");
    // As copied: everything at once.
    for (Path file : files()) {
      Files.setLastModifiedTime(
          folder.resolve(file), FileTime.from(Instant.parse("2026-02-15T09:00:01Z")));
    }
  }

  private List<Path> files() throws IOException {
    try (var all = Files.walk(folder)) {
      return all.filter(Files::isRegularFile).toList();
    }
  }

  private void recording(String name, String date, String time, double from, double seconds)
      throws IOException {
    BroadcastExtension bext =
        BroadcastExtension.of("", "Feldkasten 8", "", date, time, 0, null, "");
    ShootSamples.wave(
        folder.resolve(name),
        WaveFormat.integer(24, RATE, 1),
        new WaveMetadata(bext, null, Map.of(), List.of()),
        ShootSamples.heard(hall, RATE, from, seconds, 1));
  }

  private void clip(
      String name, double from, double seconds, Map<String, String> tags, String startedAt)
      throws IOException {
    float[] sound = ShootSamples.heard(hall, RATE, from, seconds, name.hashCode());
    write(name, "mov", "pcm_s16le", true, sound, tags, startedAt);
  }

  private void small(String name, double from, double seconds) throws IOException {
    float[] sound = ShootSamples.heard(hall, RATE, from, seconds, 77);
    write(name, "mov", "aac", false, sound, Map.of(), null);
  }

  private void write(
      String name,
      String container,
      String codec,
      boolean picture,
      float[] sound,
      Map<String, String> tags,
      String startedAt)
      throws IOException {
    Path file = folder.resolve(name);
    Files.createDirectories(file.getParent());
    var settings =
        new FfmpegClipWriter.Settings(
            container,
            codec,
            RATE,
            1,
            codec.equals("aac") ? 64_000 : null,
            picture,
            startedAt == null ? null : OffsetDateTime.parse(startedAt));
    try (FfmpegClipWriter writer =
        FfmpegClipWriter.create(file, settings, 1, Map.of("movflags", "use_metadata_tags"), tags)) {
      writer.write(new float[][] {sound}, sound.length);
    }
  }

  private void text(String name) throws IOException {
    Path file = folder.resolve(name);
    Files.createDirectories(file.getParent());
    Files.writeString(file, name);
  }

  private Report report(DeviceRules rules, boolean linedUp, Path... roots) throws Exception {
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      Shoot shoot = steps.read(steps.find(List.of(roots), rules));
      shoot = linedUp ? steps.lineUp(shoot, null) : shoot;
      return ReportMaker.report(shoot, List.of(), ShootSamples.MADE_AT);
    }
  }

  private static Map<String, String> devices(Report report) {
    return report.sources().stream()
        .collect(Collectors.toMap(SourceReport::path, s -> s.device(), (a, b) -> a, TreeMap::new));
  }

  private static String leftOut(Report report) {
    return report.leftOut().stream()
        .map(left -> left.path() + ": " + left.reason().word())
        .sorted()
        .collect(Collectors.joining("\n"));
  }

  private static DeviceReport device(Report report, String name) {
    return report.devices().stream()
        .filter(device -> device.name().equals(name))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void everythingIsToldApart() throws Exception {
    Report report = report(DeviceRules.NONE, true, folder);
    assertEquals(
        """
        CARD/DCIM/100LINDW/C0001.MOV=CARD-K4
        CARD/DCIM/100LINDW/C0002.MOV=CARD-K4
        CARD/DCIM/100LINDW/Proxy/X0001.MOV=CARD-X
        CARD/DCIM/100LINDW/X0001.MOV=CARD-Z2
        PHONE/Proxy/C0009.MOV=PHONE
        PHONE/VID_20260214_182958.mov=PHONE
        REC/take-01.wav=REC
        """
            .strip(),
        devices(report).entrySet().stream()
            .map(Map.Entry::toString)
            .collect(Collectors.joining("\n")));
    assertEquals(
        """
        BACKUP/copy of take 1.wav: duplicate
        CARD/DCIM/100LINDW/._C0001.MOV: resource-fork
        CARD/DCIM/100LINDW/C0001.THM: picture
        CARD/DCIM/100LINDW/C0001M01.XML: side-file
        CARD/DCIM/100LINDW/C0002.LRV: proxy
        CARD/DCIM/100LINDW/Proxy/C0001.MOV: proxy
        CARD/THMBNL: picture
        PHONE/.trash: hidden
        PHONE/notes.txt: not-media
        old: hand-over\
        """,
        leftOut(report));
    LeftOutReport proxy =
        report.leftOut().stream()
            .filter(left -> left.path().endsWith("C0002.LRV"))
            .findFirst()
            .orElseThrow();
    assertEquals(
        "a smaller copy of CARD/DCIM/100LINDW/C0002.MOV, which is taken: the same length and the"
            + " same sound",
        proxy.says());
    assertEquals(
        "Its files are in the folder CARD/DCIM/100LINDW and name Lindwerk K4; others there do not.",
        device(report, "CARD-K4").why());
    // C0001 begins 3 s after 18:30:00 and says 19:30:15: an hour and 12 s ahead.
    DeviceReport card = device(report, "CARD-K4");
    assertEquals(3612, card.clockOffsetSeconds(), 0.01);
    assertTrue(card.says().startsWith("CARD-K4's clock is 1 h 0 min 12 s ahead"), card.says());
    // 18:29:58 by its name, at 8 s: 10 s behind.
    assertEquals(-10, device(report, "PHONE").clockOffsetSeconds(), 0.01);
    SourceReport phone = report.source("PHONE/VID_20260214_182958.mov").orElseThrow();
    assertEquals("2026-02-14T18:29:58", phone.startedAt().text());
    assertEquals(StartClaimReport.Origin.FILE_NAME, phone.startClaims().get(0).origin());
    assertTrue(phone.startClaims().get(0).chosen());
    StartClaimReport modified = phone.startClaims().get(1);
    assertEquals(StartClaimReport.Origin.FILE_MODIFIED, modified.origin());
    assertEquals(StartClaimReport.Trust.NONE, modified.trust());
    assertFalse(modified.chosen());
  }

  @Test
  void whatIsNamedItselfIsAlwaysTaken() throws Exception {
    Path lrv = folder.resolve("CARD/DCIM/100LINDW/C0002.LRV");
    Path take = folder.resolve("REC/take-01.wav");
    Path thumbnail = folder.resolve("CARD/DCIM/100LINDW/C0001.THM");
    Report report = report(DeviceRules.NONE, false, lrv, take, thumbnail, folder);
    assertTrue(report.source("C0002.LRV").isPresent());
    assertTrue(report.source("take-01.wav").isPresent());
    assertTrue(report.source("C0001.THM").orElseThrow().error() != null);
    assertTrue(leftOut(report).contains("BACKUP/copy of take 1.wav: duplicate"), leftOut(report));
  }

  @Test
  void thePersonKnowsBetter() throws Exception {
    DeviceRules rules =
        new DeviceRules(
            List.of(
                DeviceRules.Rule.parse("MILL=CARD/**/C*.MOV"),
                DeviceRules.Rule.parse("MILL=PHONE")));
    Report report = report(rules, false, folder);
    Map<String, String> devices = devices(report);
    assertEquals("MILL", devices.get("CARD/DCIM/100LINDW/C0001.MOV"));
    assertEquals("MILL", devices.get("PHONE/VID_20260214_182958.mov"));
    assertEquals(
        "100LINDW", devices.get("CARD/DCIM/100LINDW/X0001.MOV").replace("CARD", "100LINDW"));
    assertEquals("It was set by hand.", device(report, "MILL").why());
    assertEquals(4, device(report, "MILL").sources().size());
    List<String> runs =
        report.sources().stream()
            .filter(source -> source.device().equals("MILL"))
            .map(SourceReport::run)
            .toList();
    assertEquals(List.of("MILL#1", "MILL#2", "MILL#3", "MILL#4"), runs);
  }

  @Test
  void oneSerialNumberIsOneDevice() throws Exception {
    Path cards = temp.resolve("cards");
    folder = cards;
    Map<String, String> one = Map.of("model", "K4", "camera-serial-number", "LK400117");
    Map<String, String> two = Map.of("model", "K4", "camera-serial-number", "LK400118");
    clip("A/C0001.MOV", 1, 2, one, null);
    clip("B/C0002.MOV", 4, 2, one, null);
    clip("B/C0003.MOV", 7, 2, two, null);
    Report report = report(DeviceRules.NONE, false, cards);
    assertEquals("{A/C0001.MOV=A, B/C0002.MOV=A, B/C0003.MOV=B-K4}", devices(report).toString());
    assertTrue(device(report, "A").why().contains("LK400117"), device(report, "A").why());
  }
}
