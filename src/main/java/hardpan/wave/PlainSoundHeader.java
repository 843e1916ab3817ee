package hardpan.wave;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * What an AIFF, AIFF-C, Core Audio or Wave64 file with uncompressed sound says, and where its
 * samples lie.
 *
 * @param container {@code aiff}, {@code caf} or {@code w64}
 * @param format how a sample is stored, byte order apart
 * @param bigEndian byte order
 * @param signedBytes whether 8-bit samples are two's complement
 * @param dataOffset where the first sample lies, in bytes
 * @param frameCount whole frames that are really in the file, whatever its size fields say
 * @param bext the broadcast extension that a Wave64 file may have, or null
 * @param oddities what is not as the formats say, one sentence each; empty for a clean file
 */
public record PlainSoundHeader(
    String container,
    WaveFormat format,
    boolean bigEndian,
    boolean signedBytes,
    long dataOffset,
    long frameCount,
    @Nullable BroadcastExtension bext,
    List<String> oddities) {

  /** Copies the list. */
  public PlainSoundHeader {
    oddities = List.copyOf(oddities);
  }
}
