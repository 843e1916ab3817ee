package hardpan.media;

import java.math.BigInteger;
import java.nio.ByteBuffer;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A track's edit list (ISO/IEC 14496-12, section 8.6.6) as what a player plays: parts of the media
 * one after the other, with silence where an edit is empty.
 *
 * @param leadFrames silence before the first part
 * @param parts what is played, at least one
 */
record IsoEdits(long leadFrames, List<Part> parts) {
  private static final int MAX_EDITS = 10_000;

  /**
   * One part.
   *
   * @param start where it begins after the lead, in frames
   * @param mediaStart the first frame of the media, or -1 for silence
   * @param count frames, above 0
   */
  record Part(long start, long mediaStart, long count) {}

  /** Copies the list. */
  IsoEdits {
    parts = List.copyOf(parts);
  }

  /** Frames played after the lead. */
  long frameCount() {
    Part last = parts.get(parts.size() - 1);
    return last.start() + last.count();
  }

  /**
   * Reads an {@code elst} box.
   *
   * @param elst the box; null or one without a usable edit plays the whole media
   * @param movieScale units a second of an edit's duration
   * @param mediaScale units a second of an edit's media time
   * @param rateHz frames a second
   * @param mediaFrames length of the media
   */
  static IsoEdits read(
      @Nullable ByteBuffer elst, long movieScale, long mediaScale, int rateHz, long mediaFrames) {
    long lead = 0;
    List<Part> parts = new ArrayList<>();
    long at = 0;
    boolean wide = elst != null && IsoBoxes.unsigned8(elst, 0) == 1;
    int entrySize = wide ? 20 : 12;
    long entries =
        elst == null
            ? 0
            : Math.min(
                Math.min(IsoBoxes.unsigned32(elst, 4), MAX_EDITS),
                Math.max(0, (elst.limit() - 8) / entrySize));
    for (int i = 0; elst != null && i < entries; i++) {
      int entry = 8 + i * entrySize;
      long duration = wide ? IsoBoxes.number64(elst, entry) : IsoBoxes.unsigned32(elst, entry);
      long mediaTime =
          wide ? IsoBoxes.number64(elst, entry + 8) : (int) IsoBoxes.unsigned32(elst, entry + 4);
      long count = rescaled(duration, rateHz, movieScale);
      if (mediaTime < 0) {
        if (parts.isEmpty()) {
          lead = saturatedSum(lead, count);
        } else if (count > 0 && count <= Long.MAX_VALUE / 4 - at) {
          parts.add(new Part(at, -1, count));
          at += count;
        }
        continue;
      }
      long start = rescaled(mediaTime, rateHz, mediaScale);
      long left = Math.max(0, mediaFrames - start);
      // A duration of 0 means the rest of the media, as in fragmented files; one that ends less
      // than a unit of its scale before the media does was only rounded.
      boolean toTheEnd = duration == 0 || left - count <= rateHz / Math.max(1, movieScale);
      long played = toTheEnd ? left : count;
      if (played > 0 && played <= Long.MAX_VALUE / 4 - at) {
        parts.add(new Part(at, start, played));
        at += played;
      }
    }
    if (parts.stream().allMatch(part -> part.mediaStart() < 0)) {
      return new IsoEdits(0, List.of(new Part(0, 0, Math.max(1, mediaFrames))));
    }
    return new IsoEdits(lead, parts);
  }

  /** Which part holds a frame counted after the lead; null beyond the end. */
  @Nullable Part partAt(long frame) {
    for (Part part : parts) {
      if (frame < part.start() + part.count()) {
        return part;
      }
    }
    return null;
  }

  /** Nearest whole number of {@code value * to / from}, limited to a quarter of the range. */
  static long rescaled(long value, long to, long from) {
    if (value <= 0 || from <= 0) {
      return 0;
    }
    BigInteger doubled =
        BigInteger.valueOf(value)
            .multiply(BigInteger.valueOf(2 * to))
            .add(BigInteger.valueOf(from))
            .divide(BigInteger.valueOf(2 * from));
    return doubled.min(BigInteger.valueOf(Long.MAX_VALUE / 4)).longValueExact();
  }

  private static long saturatedSum(long a, long b) {
    return Math.min(Long.MAX_VALUE / 4, a + b);
  }
}
