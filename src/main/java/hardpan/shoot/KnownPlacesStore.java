package hardpan.shoot;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.MapperFeature;
import com.fasterxml.jackson.databind.ObjectMapper;
import hardpan.base.MediaException;
import hardpan.lineup.Placement;
import hardpan.shoot.KnownPlaces.Pair;
import java.nio.charset.StandardCharsets;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** What comparing runs with each other gave, in a saved shoot. */
final class KnownPlacesStore {
  /** A pair measured with thousands of windows stays far below this. */
  private static final int MOST_CHARACTERS = 4 << 20;

  private static final ObjectMapper MAPPER =
      AnalysisText.mapper().rebuild().disable(MapperFeature.AUTO_DETECT_IS_GETTERS).build();

  private final Connection connection;

  KnownPlacesStore(Connection connection) {
    this.connection = connection;
  }

  /**
   * What is kept of runs that are the same now as then; what does not read back is left out.
   *
   * @param marks {@link RunMarks} by path
   */
  Map<Pair, Placement> read(Map<String, String> marks) throws SQLException {
    Map<String, String> paths = new HashMap<>();
    marks.forEach((path, mark) -> paths.put(mark, path));
    Map<Pair, Placement> places = new HashMap<>();
    try (PreparedStatement query =
        connection.prepareStatement(
            "SELECT source, host, record, record_check FROM pair WHERE length(record) <= ?")) {
      query.setInt(1, MOST_CHARACTERS);
      try (ResultSet rows = query.executeQuery()) {
        while (rows.next()) {
          String source = paths.get(rows.getString(1));
          String host = paths.get(rows.getString(2));
          if (source != null && host != null) {
            Placement place = placement(rows.getString(3), rows.getLong(4));
            if (place != null) {
              places.put(new Pair(source, host), place);
            }
          }
        }
      }
    }
    return places;
  }

  private static @Nullable Placement placement(String record, long check) {
    if (check != check(record)) {
      return null;
    }
    try {
      return MAPPER.readValue(record, Placement.class);
    } catch (JsonProcessingException e) {
      return null;
    }
  }

  /** The text, or nothing if it would not read back as the same. */
  private static Optional<String> text(Placement place) {
    try {
      String text = MAPPER.writeValueAsString(place);
      boolean same =
          text.length() <= MOST_CHARACTERS && place.equals(MAPPER.readValue(text, Placement.class));
      return same ? Optional.of(text) : Optional.empty();
    } catch (JsonProcessingException e) {
      return Optional.empty();
    }
  }

  /**
   * Keeps more of it, and forgets what was found of runs that are not the same any more.
   *
   * @param marks {@link RunMarks} by path
   */
  void write(Map<Pair, Placement> places, Map<String, String> marks)
      throws SQLException, MediaException {
    Transaction.run(
        connection,
        () -> {
          forgetOthers(marks);
          insert(places, marks);
        });
  }

  private void forgetOthers(Map<String, String> marks) throws SQLException {
    Set<String> known = new HashSet<>(marks.values());
    List<Long> others = new ArrayList<>();
    try (Statement query = connection.createStatement();
        ResultSet rows = query.executeQuery("SELECT id, source, host FROM pair")) {
      while (rows.next()) {
        if (!known.contains(rows.getString(2)) || !known.contains(rows.getString(3))) {
          others.add(rows.getLong(1));
        }
      }
    }
    try (PreparedStatement delete = connection.prepareStatement("DELETE FROM pair WHERE id = ?")) {
      for (long other : others) {
        delete.setLong(1, other);
        delete.executeUpdate();
      }
    }
  }

  private void insert(Map<Pair, Placement> places, Map<String, String> marks) throws SQLException {
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT OR REPLACE INTO pair (source, host, record, record_check)"
                + " VALUES (?, ?, ?, ?)")) {
      for (Map.Entry<Pair, Placement> entry : places.entrySet()) {
        String source = marks.get(entry.getKey().source());
        String host = marks.get(entry.getKey().host());
        Optional<String> text = text(entry.getValue());
        if (source != null && host != null && text.isPresent()) {
          insert.setString(1, source);
          insert.setString(2, host);
          insert.setString(3, text.get());
          insert.setLong(4, check(text.get()));
          insert.executeUpdate();
        }
      }
    }
  }

  private static long check(String text) {
    return PieceStore.check(text.getBytes(StandardCharsets.UTF_8));
  }
}
