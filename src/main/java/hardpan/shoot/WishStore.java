package hardpan.shoot;

import hardpan.base.MediaException;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;

/** The wishes in a saved shoot, one a row. What does not read back is left out. */
final class WishStore {
  private static final String PIN = "pin";
  private static final String EXCLUDE = "exclude";
  private static final String DEVICE = "device";

  private final Connection connection;

  WishStore(Connection connection) {
    this.connection = connection;
  }

  Wishes read() throws SQLException {
    List<Wishes.Pin> pins = new ArrayList<>();
    List<String> excluded = new ArrayList<>();
    List<DeviceRules.Rule> rules = new ArrayList<>();
    try (Statement query = connection.createStatement();
        ResultSet rows =
            query.executeQuery("SELECT kind, subject, value FROM wish ORDER BY number")) {
      while (rows.next()) {
        String subject = rows.getString(2);
        try {
          switch (rows.getString(1)) {
            case PIN -> pins.add(new Wishes.Pin(subject, Double.parseDouble(rows.getString(3))));
            case EXCLUDE -> excluded.add(subject);
            case DEVICE -> rules.add(new DeviceRules.Rule(rows.getString(3), subject));
            default -> {
              // A kind this version does not know.
            }
          }
        } catch (IllegalArgumentException e) {
          // Written by another hand; a wish that means nothing is none.
        }
      }
    }
    return new Wishes(pins, excluded, new DeviceRules(rules));
  }

  void write(Wishes wishes) throws SQLException, MediaException {
    Transaction.run(connection, () -> replace(wishes));
  }

  private void replace(Wishes wishes) throws SQLException {
    try (Statement delete = connection.createStatement();
        PreparedStatement insert =
            connection.prepareStatement(
                "INSERT INTO wish (number, kind, subject, value) VALUES (?, ?, ?, ?)")) {
      delete.execute("DELETE FROM wish");
      int number = 0;
      for (Wishes.Pin pin : wishes.pins()) {
        insert(insert, number++, PIN, pin.source(), Double.toString(pin.offsetSeconds()));
      }
      for (String pattern : wishes.excluded()) {
        insert(insert, number++, EXCLUDE, pattern, "");
      }
      for (DeviceRules.Rule rule : wishes.devices().rules()) {
        insert(insert, number++, DEVICE, rule.pattern(), rule.device());
      }
    }
  }

  private static void insert(
      PreparedStatement insert, int number, String kind, String subject, String value)
      throws SQLException {
    insert.setInt(1, number);
    insert.setString(2, kind);
    insert.setString(3, subject);
    insert.setString(4, value);
    insert.executeUpdate();
  }
}
