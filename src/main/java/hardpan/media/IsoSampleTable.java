package hardpan.media;

import hardpan.base.MalformedMediaException;
import java.nio.ByteBuffer;
import org.jspecify.annotations.Nullable;

/**
 * Where a track's samples lie in the file (ISO/IEC 14496-12, sections 8.6 and 8.7), read from views
 * of the index as needed; only one number a chunk is kept. A "sample" here is the format's: one
 * frame of uncompressed sound, or one packet.
 */
final class IsoSampleTable {
  private final ByteBuffer sizes;
  private final ByteBuffer offsets;
  private final boolean wideOffsets;
  private final int chunkCount;
  private final long sampleCount;
  private final long constantSize;

  /** The number of the first sample of each chunk, and behind the last the number of all. */
  private final long[] firstSamples;

  private IsoSampleTable(
      ByteBuffer sizes,
      ByteBuffer offsets,
      boolean wideOffsets,
      long sampleCount,
      long constantSize,
      long[] firstSamples) {
    this.sizes = sizes;
    this.offsets = offsets;
    this.wideOffsets = wideOffsets;
    this.sampleCount = sampleCount;
    this.constantSize = constantSize;
    this.firstSamples = firstSamples;
    this.chunkCount = firstSamples.length - 1;
  }

  /**
   * Reads an {@code stbl} box.
   *
   * @throws MalformedMediaException if a part is missing or the parts contradict each other
   */
  static IsoSampleTable read(ByteBuffer stbl, String fileName) throws MalformedMediaException {
    ByteBuffer stsz = IsoBoxes.child(stbl, "stsz");
    ByteBuffer stsc = IsoBoxes.child(stbl, "stsc");
    ByteBuffer stco = IsoBoxes.child(stbl, "stco");
    ByteBuffer co64 = IsoBoxes.child(stbl, "co64");
    ByteBuffer offsets = stco != null ? stco : co64;
    if (stsz == null || stsc == null || offsets == null) {
      throw damaged(fileName);
    }
    boolean wide = stco == null;
    long constant = IsoBoxes.unsigned32(stsz, 4);
    long samples = IsoBoxes.unsigned32(stsz, 8);
    if (constant == 0) {
      samples = Math.min(samples, Math.max(0, (stsz.limit() - 12) / 4));
    }
    int chunks =
        (int)
            Math.min(
                IsoBoxes.unsigned32(offsets, 4),
                Math.max(0, (offsets.limit() - 8) / (wide ? 8 : 4)));
    int runs = (int) Math.min(IsoBoxes.unsigned32(stsc, 4), Math.max(0, (stsc.limit() - 8) / 12));
    long[] first = new long[chunks + 1];
    int run = 0;
    for (int chunk = 0; chunk < chunks; chunk++) {
      while (run + 1 < runs && IsoBoxes.unsigned32(stsc, 8 + (run + 1) * 12) <= chunk + 1) {
        run++;
      }
      long inChunk = runs == 0 ? 0 : IsoBoxes.unsigned32(stsc, 8 + run * 12 + 4);
      first[chunk + 1] = Math.min(samples, first[chunk] + inChunk);
    }
    return new IsoSampleTable(stsz, offsets, wide, first[chunks], constant, first);
  }

  static MalformedMediaException damaged(String fileName) {
    return new MalformedMediaException(
        "The index of " + fileName + " is damaged: copy the file again from the card.");
  }

  long sampleCount() {
    return sampleCount;
  }

  /** The size all samples share, in bytes; 0 if they differ. */
  long constantSize() {
    return constantSize;
  }

  int chunkCount() {
    return chunkCount;
  }

  /** Where a chunk begins in the file. */
  long chunkOffset(int chunk) {
    return wideOffsets
        ? IsoBoxes.number64(offsets, 8 + chunk * 8)
        : IsoBoxes.unsigned32(offsets, 8 + chunk * 4);
  }

  /** The number of a chunk's first sample; for {@link #chunkCount()} the number of all samples. */
  long firstSample(int chunk) {
    return firstSamples[chunk];
  }

  /** Bytes of one sample. */
  long size(long sample) {
    return constantSize > 0
        ? constantSize
        : IsoBoxes.unsigned32(sizes, Math.toIntExact(12 + sample * 4));
  }

  /** The chunk a sample lies in. */
  int chunkOf(long sample) {
    int low = 0;
    int high = chunkCount - 1;
    while (low < high) {
      int middle = (low + high + 1) >>> 1;
      if (firstSamples[middle] <= sample) {
        low = middle;
      } else {
        high = middle - 1;
      }
    }
    return low;
  }

  /** Where a sample begins in the file; costs a walk through its chunk. */
  long offset(long sample) {
    int chunk = chunkOf(sample);
    long at = chunkOffset(chunk);
    if (constantSize > 0) {
      return at + (sample - firstSamples[chunk]) * constantSize;
    }
    for (long s = firstSamples[chunk]; s < sample; s++) {
      at += size(s);
    }
    return at;
  }

  /** The length the {@code stts} box gives, in units of the track's time scale; -1 if none. */
  static long duration(@Nullable ByteBuffer stts) {
    if (stts == null) {
      return -1;
    }
    long runs = Math.min(IsoBoxes.unsigned32(stts, 4), Math.max(0, (stts.limit() - 8) / 8));
    long total = 0;
    for (int i = 0; i < runs; i++) {
      total += IsoBoxes.unsigned32(stts, 8 + i * 8) * IsoBoxes.unsigned32(stts, 12 + i * 8);
      if (total < 0) {
        return -1;
      }
    }
    return total;
  }
}
