package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.media.SourceFacts;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** The lined-up shoot in a saved shoot: one row, or none. */
final class KeptShootStore {
  private final Connection connection;
  private final AnalysisStore analyses;
  private final int analysisVersion;

  KeptShootStore(Connection connection, AnalysisStore analyses, int analysisVersion) {
    this.connection = connection;
    this.analyses = analyses;
    this.analysisVersion = analysisVersion;
  }

  /** Reading a waveform failed; carried through an interface that does not throw. */
  private static final class Carried extends RuntimeException {
    private static final long serialVersionUID = 1L;
    private final SQLException failure;

    Carried(SQLException failure) {
      super(failure);
      this.failure = failure;
    }
  }

  /** The kept shoot if it reads back whole and was measured as this version would. */
  Optional<KeptShoot> read() throws SQLException {
    String record;
    try (PreparedStatement query =
        connection.prepareStatement(
            "SELECT record, record_check FROM outcome WHERE analysis_version = ?")) {
      query.setInt(1, analysisVersion);
      try (ResultSet rows = query.executeQuery()) {
        if (!rows.next()) {
          return Optional.empty();
        }
        record = rows.getString(1);
        if (rows.getLong(2) != check(record)) {
          return Optional.empty();
        }
      }
    }
    try {
      return KeptShootText.read(record, this::waveform);
    } catch (Carried e) {
      throw e.failure;
    }
  }

  /**
   * The folders and files of the kept shoot, whatever version measured it; empty if none is kept or
   * it does not read back whole.
   */
  List<Path> roots() throws SQLException {
    try (Statement query = connection.createStatement();
        ResultSet rows = query.executeQuery("SELECT record, record_check FROM outcome")) {
      while (rows.next()) {
        String record = rows.getString(1);
        if (rows.getLong(2) == check(record)) {
          return KeptShootText.roots(record);
        }
      }
    }
    return List.of();
  }

  private @Nullable Overview waveform(String path, SourceMark mark, SourceFacts facts) {
    try {
      return analyses.waveform(mark, facts.readBy(), facts.channelCount()).orElse(null);
    } catch (SQLException e) {
      throw new Carried(e);
    }
  }

  /** Keeps a shoot in the place of the older one. */
  void write(KeptShoot kept) throws SQLException, MediaException {
    Optional<String> record = KeptShootText.write(kept);
    if (record.isPresent()) {
      Transaction.run(connection, () -> replace(record.get()));
    }
  }

  private void replace(String record) throws SQLException {
    try (Statement delete = connection.createStatement();
        PreparedStatement insert =
            connection.prepareStatement(
                "INSERT INTO outcome (analysis_version, record, record_check) VALUES (?, ?, ?)")) {
      delete.execute("DELETE FROM outcome");
      insert.setInt(1, analysisVersion);
      insert.setString(2, record);
      insert.setLong(3, check(record));
      insert.executeUpdate();
    }
  }

  private static long check(String text) {
    return PieceStore.check(text.getBytes(StandardCharsets.UTF_8));
  }
}
