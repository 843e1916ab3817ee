package hardpan.wave;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;

/**
 * The chunks of a Wave file that mean nothing to us and do not hang on its samples or channels, so
 * that they can be passed on to a file made from it.
 */
public final class UnknownChunks {
  /**
   * What we write ourselves, what only fills room, and what describes the samples or channels of
   * the one file it stands in: play lists, loops, peaks, channel allocations, 64-bit markers.
   */
  private static final Set<String> NOT_PASSED_ON =
      Set.of(
          "fmt ", "data", "fact", "ds64", "bext", "iXML", "LIST", "cue ", "JUNK", "junk", "PAD ",
          "FLLR", "plst", "smpl", "inst", "wavl", "slnt", "levl", "PEAK", "axml", "bxml", "sxml",
          "chna", "r64m", "umid", "MD5 ", "RIFF", "RF64", "BW64");

  /** So much of them all is passed on. Our own bound. */
  private static final long MOST_BYTES = 1 << 20;

  private UnknownChunks() {}

  /**
   * Reads them.
   *
   * @param file the file
   * @param header its header
   * @return in file order; those that would pass 1 MiB together are left out
   * @throws MediaException if the file cannot be read
   */
  public static List<RawChunk> of(Path file, WaveHeader header) throws MediaException {
    List<RawChunk> chunks = new ArrayList<>();
    long bytes = 0;
    try (FileChannel channel = WaveHeader.openReadOnly(file)) {
      for (ChunkPlace place : header.chunks()) {
        if (NOT_PASSED_ON.contains(place.id()) || bytes + place.size() > MOST_BYTES) {
          continue;
        }
        ByteBuffer payload = ByteBuffer.allocate((int) place.size());
        long at = place.payloadOffset();
        while (payload.hasRemaining() && channel.read(payload, at + payload.position()) >= 0) {
          // On until all of it is there.
        }
        if (!payload.hasRemaining()) {
          bytes += place.size();
          chunks.add(new RawChunk(place.id(), payload.array()));
        }
      }
    } catch (IOException e) {
      throw new MediaAccessException(
          WaveHeader.nameOf(file) + " cannot be read: " + e.getMessage(), e);
    }
    return chunks;
  }
}
