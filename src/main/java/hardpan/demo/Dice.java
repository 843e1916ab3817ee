package hardpan.demo;

/**
 * Seeded random numbers that are the same on every machine and every Java release: the SplitMix64
 * mixing function (Steele, Lea and Flood, "Fast splittable pseudorandom number generators", OOPSLA
 * 2014). Not for several threads at once.
 */
final class Dice {
  private static final long GOLDEN = 0x9E3779B97F4A7C15L;
  private static final double UNIFORM_16 = 1.0 / 65536;
  private static final double UNIT_DEVIATION = Math.sqrt(3);

  private long state;

  Dice(long seed) {
    this.state = mix(seed + GOLDEN);
  }

  /** A number that belongs to a seed and a purpose, so that purposes do not share a sequence. */
  static long seedFor(long seed, String purpose) {
    long hash = seed;
    for (int i = 0; i < purpose.length(); i++) {
      hash = mix(hash * 31 + purpose.charAt(i));
    }
    return hash;
  }

  private static long mix(long value) {
    long z = (value ^ (value >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    return z ^ (z >>> 31);
  }

  private long nextLong() {
    state += GOLDEN;
    return mix(state);
  }

  /** Uniform, 0 inclusive to 1 exclusive. */
  double uniform() {
    return (nextLong() >>> 11) * 0x1.0p-53;
  }

  /** Uniform between two bounds. */
  double between(double low, double high) {
    return low + (high - low) * uniform();
  }

  /** A whole number, 0 inclusive to {@code bound} exclusive. */
  int below(int bound) {
    return (int) (uniform() * bound);
  }

  /** True with the given probability. */
  boolean chance(double probability) {
    return uniform() < probability;
  }

  /**
   * Noise of mean 0 and standard deviation 1, near enough to normal for sound: the sum of four
   * uniform 16-bit numbers (Irwin-Hall), never beyond 3.47.
   */
  double noise() {
    long bits = nextLong();
    double sum =
        (bits & 0xFFFF)
            + ((bits >>> 16) & 0xFFFF)
            + ((bits >>> 32) & 0xFFFF)
            + ((bits >>> 48) & 0xFFFF);
    return (sum * UNIFORM_16 - 2 + 2 * UNIFORM_16) * UNIT_DEVIATION;
  }
}
