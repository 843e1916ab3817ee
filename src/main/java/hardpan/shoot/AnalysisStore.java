package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.lineup.BandMap;
import hardpan.media.SourceFacts.ReadBy;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/** Puts analyses into the tables of a saved shoot and finds them there. */
final class AnalysisStore {
  private final Connection connection;
  private final PieceStore pieces;
  private final int analysisVersion;

  AnalysisStore(Connection connection, int analysisVersion) {
    this.connection = connection;
    this.pieces = new PieceStore(connection);
    this.analysisVersion = analysisVersion;
  }

  /** A row that fits a file. */
  private record Row(long id, String path, String record, long check) {}

  /**
   * The kept analysis of a file, if it reads back whole.
   *
   * @param scratchPrefix where its maps go; "-channel.bands" is appended
   */
  Optional<Analysis> find(SourceMark mark, ReadBy reader, Path scratchPrefix)
      throws SQLException, IOException {
    for (Row row : rows(mark, reader)) {
      Optional<Analysis> analysis = read(row, scratchPrefix);
      if (analysis.isPresent()) {
        return analysis;
      }
    }
    return Optional.empty();
  }

  /** The kept waveform of a file. */
  Optional<Overview> waveform(SourceMark mark, ReadBy reader, int channelCount)
      throws SQLException {
    for (Row row : rows(mark, reader)) {
      try {
        return Optional.of(pieces.readWaveform(row.id(), channelCount));
      } catch (PieceStore.Unreadable e) {
        // The next one may read back.
      }
    }
    return Optional.empty();
  }

  /** Rows of this very file first, then of a file of the same name that lay elsewhere. */
  private List<Row> rows(SourceMark mark, ReadBy reader) throws SQLException {
    List<Row> rows = new ArrayList<>();
    try (PreparedStatement query =
        connection.prepareStatement(
            "SELECT id, path, record, record_check FROM source WHERE sample = ? AND size = ?"
                + " AND modified_nanos = ? AND reader = ? AND analysis_version = ?"
                + " ORDER BY path = ? DESC, id")) {
      query.setString(1, mark.sample());
      query.setLong(2, mark.size());
      query.setLong(3, mark.modifiedNanos());
      query.setString(4, reader.name());
      query.setInt(5, analysisVersion);
      query.setString(6, mark.path());
      try (ResultSet found = query.executeQuery()) {
        while (found.next()) {
          Row row =
              new Row(found.getLong(1), found.getString(2), found.getString(3), found.getLong(4));
          if (SourceMark.fileName(row.path()).equals(mark.fileName())) {
            rows.add(row);
          }
        }
      }
    }
    return rows;
  }

  private Optional<Analysis> read(Row row, Path scratchPrefix) throws SQLException, IOException {
    if (row.check() != check(row.record())) {
      return Optional.empty();
    }
    Optional<AnalysisText.Records> text = AnalysisText.read(row.record());
    if (text.isEmpty()) {
      return Optional.empty();
    }
    AnalysisText.Records records = text.get();
    List<Path> files = new ArrayList<>();
    try {
      Overview overview = pieces.readWaveform(row.id(), records.facts().channelCount());
      List<BandMap> maps = new ArrayList<>();
      for (int channel = 0; channel < records.mapFrames().size(); channel++) {
        Path file = file(files, scratchPrefix + "-" + channel + ".bands");
        maps.add(pieces.readMap(row.id(), channel, records.mapFrames().get(channel), file));
      }
      return Optional.of(
          new Analysis(
              records.facts(),
              records.frameCount(),
              records.verdicts(),
              records.loudness(),
              maps,
              overview,
              pieces.readEdges(row.id(), file(files, scratchPrefix + ".edges"))));
    } catch (PieceStore.Unreadable e) {
      for (Path file : files) {
        Files.deleteIfExists(file);
      }
      return Optional.empty();
    }
  }

  private static Path file(List<Path> files, String name) {
    Path file = Path.of(name);
    files.add(file);
    return file;
  }

  /** Keeps an analysis in the place of any older one of that path; all of it or nothing. */
  void store(SourceMark mark, ReadBy reader, Analysis analysis)
      throws SQLException, MediaException {
    AnalysisText.Records records =
        new AnalysisText.Records(
            analysis.facts(),
            analysis.frameCount(),
            analysis.verdicts(),
            analysis.loudness(),
            analysis.maps().stream().map(BandMap::frames).toList());
    Optional<String> text = AnalysisText.write(records);
    if (text.isEmpty()) {
      return;
    }
    Transaction.run(connection, () -> write(mark, reader, text.get(), analysis));
  }

  private void write(SourceMark mark, ReadBy reader, String record, Analysis analysis)
      throws SQLException, MediaException {
    delete(mark, reader);
    long id = insert(mark, reader, record);
    pieces.writeWaveform(id, analysis.overview(), analysis.facts().channelCount());
    pieces.writeEdges(id, analysis.edges());
    for (int channel = 0; channel < analysis.maps().size(); channel++) {
      pieces.writeMap(id, channel, analysis.maps().get(channel));
    }
  }

  private void delete(SourceMark mark, ReadBy reader) throws SQLException {
    try (PreparedStatement delete =
        connection.prepareStatement("DELETE FROM source WHERE path = ? AND reader = ?")) {
      delete.setString(1, mark.path());
      delete.setString(2, reader.name());
      delete.executeUpdate();
    }
  }

  private long insert(SourceMark mark, ReadBy reader, String record) throws SQLException {
    try (PreparedStatement insert =
        connection.prepareStatement(
            "INSERT INTO source (path, reader, size, modified_nanos, sample, analysis_version,"
                + " record, record_check) VALUES (?, ?, ?, ?, ?, ?, ?, ?) RETURNING id")) {
      insert.setString(1, mark.path());
      insert.setString(2, reader.name());
      insert.setLong(3, mark.size());
      insert.setLong(4, mark.modifiedNanos());
      insert.setString(5, mark.sample());
      insert.setInt(6, analysisVersion);
      insert.setString(7, record);
      insert.setLong(8, check(record));
      try (ResultSet id = insert.executeQuery()) {
        id.next();
        return id.getLong(1);
      }
    }
  }

  private static long check(String text) {
    return PieceStore.check(text.getBytes(StandardCharsets.UTF_8));
  }
}
