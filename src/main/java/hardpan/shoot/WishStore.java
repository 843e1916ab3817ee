package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.lanes.Arrangement;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.LaneChoices;
import hardpan.lanes.Layout;
import hardpan.lanes.NameTemplate;
import hardpan.lanes.SampleChoice;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** The wishes in a saved shoot, one a row. What does not read back is left out. */
final class WishStore {
  private static final String PIN = "pin";
  private static final String EXCLUDE = "exclude";
  private static final String DEVICE = "device";
  private static final String REFERENCE = "reference";
  private static final String LANE_NAME = "lane-name";
  private static final String LANE_ROLE = "lane-role";
  private static final String LANE_WRITTEN = "lane-written";
  private static final String PAIR_MERGED = "pair-merged";
  private static final String FILES = "files";
  private static final String PLACE = "place";

  private final Connection connection;

  WishStore(Connection connection) {
    this.connection = connection;
  }

  Wishes read() throws SQLException {
    Wishes wishes = Wishes.NONE;
    List<DeviceRules.Rule> rules = new ArrayList<>();
    try (Statement query = connection.createStatement();
        ResultSet rows =
            query.executeQuery("SELECT kind, subject, value FROM wish ORDER BY number")) {
      while (rows.next()) {
        String subject = rows.getString(2);
        String value = rows.getString(3);
        try {
          switch (rows.getString(1)) {
            case PIN -> wishes = wishes.withPin(new Wishes.Pin(subject, Double.parseDouble(value)));
            case EXCLUDE -> wishes = wishes.withExcluded(subject);
            case DEVICE -> rules.add(new DeviceRules.Rule(value, subject));
            case REFERENCE -> wishes = wishes.withReference(subject);
            case PLACE -> wishes = wishes.withPlaceBy(PlaceBy.valueOf(value));
            case PAIR_MERGED ->
                wishes =
                    wishes.withLanes(
                        wishes.lanes().with(new LaneChoices.Pair(subject, isTrue(value))));
            case FILES -> wishes = wishes.withFiles(files(wishes.files(), subject, value));
            default -> wishes = withLane(wishes, rows.getString(1), subject, value);
          }
        } catch (IllegalArgumentException e) {
          // Written by another hand; a wish that means nothing is none.
        }
      }
    }
    for (int i = rules.size() - 1; i >= 0; i--) {
      wishes = wishes.withDevice(rules.get(i));
    }
    return wishes;
  }

  private static boolean isTrue(String value) {
    return switch (value) {
      case "true" -> true;
      case "false" -> false;
      default -> throw new IllegalArgumentException(value);
    };
  }

  /** About a channel, called {@code path:number} from 1; other kinds this version does not know. */
  private static Wishes withLane(Wishes wishes, String kind, String subject, String value) {
    int colon = subject.lastIndexOf(':');
    String source = subject.substring(0, Math.max(0, colon));
    int channel = Integer.parseInt(subject.substring(colon + 1)) - 1;
    return switch (kind) {
      case LANE_NAME -> with(wishes, LaneChoices.Channel.named(source, channel, value));
      case LANE_ROLE -> with(wishes, LaneChoices.Channel.role(source, channel, value));
      case LANE_WRITTEN ->
          with(wishes, LaneChoices.Channel.written(source, channel, isTrue(value)));
      default -> wishes;
    };
  }

  private static Wishes with(Wishes wishes, LaneChoices.Channel choice) {
    return wishes.withLanes(wishes.lanes().with(choice));
  }

  private static Wishes.Files files(Wishes.Files older, String subject, String value) {
    Arrangement now = older.arrangement();
    return switch (subject) {
      case "layout" -> new Wishes.Files(now.withLayout(Layout.valueOf(value)), older.correction());
      case "poly" -> new Wishes.Files(now.withPoly(isTrue(value)), older.correction());
      case "names" ->
          new Wishes.Files(now.withNames(NameTemplate.parse(value)), older.correction());
      case "samples" ->
          new Wishes.Files(now.withSamples(SampleChoice.valueOf(value)), older.correction());
      case "drift" -> new Wishes.Files(now, DriftCorrection.valueOf(value));
      default -> older;
    };
  }

  void write(Wishes wishes) throws SQLException, MediaException {
    Transaction.run(connection, () -> replace(wishes));
  }

  private void replace(Wishes wishes) throws SQLException {
    List<String[]> rows = new ArrayList<>();
    for (Wishes.Pin pin : wishes.pins()) {
      rows.add(row(PIN, pin.source(), Double.toString(pin.offsetSeconds())));
    }
    for (String pattern : wishes.excluded()) {
      rows.add(row(EXCLUDE, pattern, ""));
    }
    for (DeviceRules.Rule rule : wishes.devices().rules()) {
      rows.add(row(DEVICE, rule.pattern(), rule.device()));
    }
    String reference = wishes.reference();
    if (reference != null) {
      rows.add(row(REFERENCE, reference, ""));
    }
    add(rows, PLACE, "", wishes.placeBy());
    for (LaneChoices.Channel choice : wishes.lanes().channels()) {
      String subject = choice.source() + ":" + (choice.channel() + 1);
      add(rows, LANE_NAME, subject, choice.name());
      add(rows, LANE_ROLE, subject, choice.role());
      add(rows, LANE_WRITTEN, subject, choice.written());
    }
    for (LaneChoices.Pair choice : wishes.lanes().pairs()) {
      rows.add(row(PAIR_MERGED, choice.source(), Boolean.toString(choice.merged())));
    }
    addFiles(rows, wishes.files());
    try (Statement delete = connection.createStatement();
        PreparedStatement insert =
            connection.prepareStatement(
                "INSERT INTO wish (number, kind, subject, value) VALUES (?, ?, ?, ?)")) {
      delete.execute("DELETE FROM wish");
      for (int number = 0; number < rows.size(); number++) {
        insert.setInt(1, number);
        for (int column = 0; column < rows.get(number).length; column++) {
          insert.setString(2 + column, rows.get(number)[column]);
        }
        insert.executeUpdate();
      }
    }
  }

  private static void addFiles(List<String[]> rows, Wishes.Files files) {
    if (!files.equals(Wishes.Files.USUAL)) {
      Arrangement arrangement = files.arrangement();
      rows.add(row(FILES, "layout", arrangement.layout().name()));
      rows.add(row(FILES, "poly", Boolean.toString(arrangement.poly())));
      rows.add(row(FILES, "names", arrangement.names().toString()));
      rows.add(row(FILES, "samples", arrangement.samples().name()));
      rows.add(row(FILES, "drift", files.correction().name()));
    }
  }

  private static void add(
      List<String[]> rows, String kind, String subject, @Nullable Object value) {
    if (value != null) {
      rows.add(row(kind, subject, value.toString()));
    }
  }

  private static String[] row(String kind, String subject, String value) {
    return new String[] {kind, subject, value};
  }
}
