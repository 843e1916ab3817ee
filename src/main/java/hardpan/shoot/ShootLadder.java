package hardpan.shoot;

import hardpan.base.MediaException;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;

/**
 * The versions of the saved shoot's tables: step n takes a file from version n to version n + 1, so
 * that a new file and an old one arrive at the same tables by the same way. A step that was once
 * released is never changed; a new version is a new step at the end.
 */
final class ShootLadder {
  /** The ladder of this program. */
  static final ShootLadder CURRENT =
      new ShootLadder(
          List.of(
              List.of(
                  """
                  CREATE TABLE source (
                    id INTEGER PRIMARY KEY,
                    path TEXT NOT NULL,
                    reader TEXT NOT NULL,
                    size INTEGER NOT NULL,
                    modified_nanos INTEGER NOT NULL,
                    sample TEXT NOT NULL,
                    analysis_version INTEGER NOT NULL,
                    record TEXT NOT NULL,
                    record_check INTEGER NOT NULL,
                    UNIQUE (path, reader)
                  ) STRICT
                  """,
                  "CREATE INDEX source_by_content ON source (sample)",
                  """
                  CREATE TABLE piece (
                    source INTEGER NOT NULL REFERENCES source (id) ON DELETE CASCADE,
                    kind TEXT NOT NULL,
                    channel INTEGER NOT NULL,
                    number INTEGER NOT NULL,
                    bytes BLOB NOT NULL,
                    bytes_check INTEGER NOT NULL,
                    UNIQUE (source, kind, channel, number)
                  ) STRICT
                  """),
              List.of(
                  """
                  CREATE TABLE wish (
                    number INTEGER PRIMARY KEY,
                    kind TEXT NOT NULL,
                    subject TEXT NOT NULL,
                    value TEXT NOT NULL
                  ) STRICT
                  """),
              List.of(
                  """
                  CREATE TABLE outcome (
                    analysis_version INTEGER PRIMARY KEY,
                    record TEXT NOT NULL,
                    record_check INTEGER NOT NULL
                  ) STRICT
                  """),
              List.of(
                  """
                  CREATE TABLE pair (
                    id INTEGER PRIMARY KEY,
                    source TEXT NOT NULL,
                    host TEXT NOT NULL,
                    record TEXT NOT NULL,
                    record_check INTEGER NOT NULL,
                    UNIQUE (source, host)
                  ) STRICT
                  """)));

  private final List<List<String>> steps;

  ShootLadder(List<List<String>> steps) {
    this.steps = steps.stream().map(List::copyOf).toList();
  }

  /** The version at the top. */
  int version() {
    return steps.size();
  }

  /**
   * Takes a file from its version to the top in one transaction: all steps or none.
   *
   * @throws SQLException if a step fails; the file is as it was
   */
  void climb(Connection connection, int from) throws SQLException {
    if (from == steps.size()) {
      return;
    }
    try {
      Transaction.run(connection, () -> steps(connection, from));
    } catch (MediaException e) {
      throw new IllegalStateException("steps touch no media", e);
    }
  }

  private void steps(Connection connection, int from) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      for (List<String> step : steps.subList(from, steps.size())) {
        for (String command : step) {
          statement.execute(command);
        }
      }
      statement.execute("PRAGMA user_version = " + steps.size());
    }
  }
}
