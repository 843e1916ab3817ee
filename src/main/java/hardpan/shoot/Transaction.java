package hardpan.shoot;

import hardpan.base.MediaException;
import java.sql.Connection;
import java.sql.SQLException;
import java.sql.Statement;

/** All of some work on a database or nothing of it. */
final class Transaction {
  private Transaction() {}

  /** The work. */
  @FunctionalInterface
  interface Work {
    void run() throws SQLException, MediaException;
  }

  /**
   * Does the work and commits it.
   *
   * @throws SQLException if the work or the commit failed; nothing of it was done
   * @throws MediaException if the work failed; nothing of it was done
   */
  static void run(Connection connection, Work work) throws SQLException, MediaException {
    execute(connection, "BEGIN IMMEDIATE");
    try {
      work.run();
      execute(connection, "COMMIT");
    } catch (SQLException | MediaException | RuntimeException e) {
      try {
        execute(connection, "ROLLBACK");
      } catch (SQLException another) {
        // A full disk has ended the transaction already; the first failure is the one to tell.
        e.addSuppressed(another);
      }
      throw e;
    }
  }

  private static void execute(Connection connection, String command) throws SQLException {
    try (Statement statement = connection.createStatement()) {
      statement.execute(command);
    }
  }
}
