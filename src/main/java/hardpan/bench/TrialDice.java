package hardpan.bench;

import java.util.List;
import java.util.SplittableRandom;

/** Seeded chance of one trial: the same seed and index give the same trial on every machine. */
final class TrialDice {
  private final SplittableRandom random;

  TrialDice(long seed, String purpose, int index) {
    this.random =
        new SplittableRandom(
            seed * 0x9E3779B97F4A7C15L + 31L * purpose.hashCode() + 1_000_003L * index);
    // Neighbouring seeds start alike; a few draws part them.
    for (int i = 0; i < 4; i++) {
      random.nextLong();
    }
  }

  /** Even between two bounds. */
  double between(double low, double high) {
    return low + (high - low) * random.nextDouble();
  }

  /** 0 to {@code bound - 1}. */
  int below(int bound) {
    return random.nextInt(bound);
  }

  boolean chance(double share) {
    return random.nextDouble() < share;
  }

  long seed() {
    return random.nextLong();
  }

  /** About normal: the sum of four even draws, scaled to a deviation of 1. */
  double normal() {
    double sum = 0;
    for (int i = 0; i < 4; i++) {
      sum += random.nextDouble() - 0.5;
    }
    return sum * 1.7320508;
  }

  <T> T one(List<T> of) {
    return of.get(random.nextInt(of.size()));
  }
}
