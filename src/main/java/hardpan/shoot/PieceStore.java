package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.lineup.BandMap;
import hardpan.signal.BandEnergies;
import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.PreparedStatement;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.util.ArrayList;
import java.util.List;
import java.util.zip.CRC32;
import org.jspecify.annotations.Nullable;

/**
 * Band maps, waveforms and edges in a saved shoot. Maps go in and out piece by piece, so that
 * memory holds a quarter of a megabyte of them, however long the sound. Every piece carries its
 * CRC-32.
 */
final class PieceStore {
  /** A piece of a map in frames: 164 s of sound. */
  static final int PIECE_FRAMES = 16_384;

  private static final String WAVEFORM = "waveform";
  private static final String BANDS = "bands";
  private static final String EDGES = "edges";

  private final Connection connection;

  PieceStore(Connection connection) {
    this.connection = connection;
  }

  /** Something kept does not read back. */
  static final class Unreadable extends Exception {
    private static final long serialVersionUID = 1L;

    Unreadable(@Nullable Throwable cause) {
      super("what was kept does not read back", cause);
    }
  }

  void writeWaveform(long source, Overview overview, int channelCount) throws SQLException {
    try (PreparedStatement insert = insert()) {
      for (int channel = 0; channel < channelCount; channel++) {
        write(insert, source, WAVEFORM, channel, 0, overview.channelBytes(channel));
      }
    }
  }

  void writeMap(long source, int channel, BandMap map) throws SQLException, MediaException {
    try (PreparedStatement insert = insert()) {
      int number = 0;
      for (long at = 0; at < map.frames(); at += PIECE_FRAMES) {
        byte[] bytes = map.read(at, (int) Math.min(PIECE_FRAMES, map.frames() - at));
        write(insert, source, BANDS, channel, number++, bytes);
      }
    }
  }

  void writeEdges(long source, EdgeSound edges) throws SQLException, MediaException {
    try (PreparedStatement insert = insert()) {
      write(insert, source, EDGES, 0, 0, edges.bytes());
    }
  }

  EdgeSound readEdges(long source, Path file) throws SQLException, Unreadable, IOException {
    try (PreparedStatement query = query(source, EDGES, 0);
        ResultSet rows = query.executeQuery()) {
      if (!rows.next()) {
        throw new Unreadable(null);
      }
      byte[] bytes = piece(rows, 0);
      if (!EdgeSound.isWhole(bytes)) {
        throw new Unreadable(null);
      }
      return EdgeSound.of(bytes, file);
    }
  }

  private PreparedStatement insert() throws SQLException {
    return connection.prepareStatement(
        "INSERT INTO piece (source, kind, channel, number, bytes, bytes_check)"
            + " VALUES (?, ?, ?, ?, ?, ?)");
  }

  private static void write(
      PreparedStatement insert, long source, String kind, int channel, int number, byte[] bytes)
      throws SQLException {
    insert.setLong(1, source);
    insert.setString(2, kind);
    insert.setInt(3, channel);
    insert.setInt(4, number);
    insert.setBytes(5, bytes);
    insert.setLong(6, check(bytes));
    insert.executeUpdate();
  }

  static long check(byte[] bytes) {
    CRC32 crc = new CRC32();
    crc.update(bytes);
    return crc.getValue();
  }

  Overview readWaveform(long source, int channelCount) throws SQLException, Unreadable {
    List<byte[]> channels = new ArrayList<>();
    for (int channel = 0; channel < channelCount; channel++) {
      try (PreparedStatement query = query(source, WAVEFORM, channel);
          ResultSet rows = query.executeQuery()) {
        if (!rows.next()) {
          throw new Unreadable(null);
        }
        channels.add(piece(rows, 0));
      }
    }
    try {
      return Overview.of(channels);
    } catch (IllegalArgumentException e) {
      throw new Unreadable(e);
    }
  }

  /** Brings a map back into a scratch file. */
  BandMap readMap(long source, int channel, long frames, Path file)
      throws SQLException, Unreadable, IOException {
    try (PreparedStatement query = query(source, BANDS, channel);
        ResultSet rows = query.executeQuery();
        OutputStream out = new BufferedOutputStream(Files.newOutputStream(file))) {
      int number = 0;
      for (long at = 0; at < frames; at += PIECE_FRAMES) {
        if (!rows.next()) {
          throw new Unreadable(null);
        }
        byte[] bytes = piece(rows, number++);
        if (bytes.length != (int) Math.min(PIECE_FRAMES, frames - at) * BandEnergies.BANDS) {
          throw new Unreadable(null);
        }
        out.write(bytes);
      }
      if (rows.next()) {
        throw new Unreadable(null);
      }
    }
    return BandMap.of(file);
  }

  private PreparedStatement query(long source, String kind, int channel) throws SQLException {
    PreparedStatement query =
        connection.prepareStatement(
            "SELECT number, bytes, bytes_check FROM piece"
                + " WHERE source = ? AND kind = ? AND channel = ? ORDER BY number");
    query.setLong(1, source);
    query.setString(2, kind);
    query.setInt(3, channel);
    return query;
  }

  private static byte[] piece(ResultSet row, int number) throws SQLException, Unreadable {
    byte[] bytes = row.getBytes(2);
    if (bytes == null || row.getInt(1) != number || row.getLong(3) != check(bytes)) {
      throw new Unreadable(null);
    }
    return bytes;
  }
}
