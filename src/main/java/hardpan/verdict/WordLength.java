package hardpan.verdict;

/**
 * Which bits of 24-bit sound are used. Lower ones that are zero in every sample say that the sound
 * had fewer bits before it came into this file.
 */
final class WordLength {
  private static final int BITS = 24;
  private static final double STEPS = 1 << (BITS - 1);

  /** With the lowest bits in use there is nothing left to learn. */
  private static final int LOWEST_BITS = 0xF;

  private int used;
  private boolean settled;

  /** Takes the next samples of a 24-bit source, which a float holds exactly. */
  void add(float[] samples, int frameCount) {
    if (settled) {
      return;
    }
    int seen = used;
    for (int i = 0; i < frameCount; i++) {
      seen |= (int) (samples[i] * STEPS);
    }
    used = seen;
    settled = (used & LOWEST_BITS) != 0;
  }

  /** Bits that are really in use, counted from the highest; 24 if nothing was heard. */
  int usedBits() {
    return used == 0 ? BITS : BITS - Integer.numberOfTrailingZeros(used);
  }
}
