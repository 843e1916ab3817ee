package hardpan.shoot;

import java.io.IOException;
import java.nio.file.Files;
import java.time.Duration;
import java.time.LocalDateTime;
import java.util.List;

/**
 * What the time stamps of two files say about the time between them.
 *
 * @param says whether they agree with a cut
 * @param gapSeconds from the end of the first to the start of the second; 0 if unknown
 * @param onDisk whether only the times of change on the disk were there to be compared
 */
record PartTimes(Says says, double gapSeconds, boolean onDisk) {
  private static final double DAY_SECONDS = 86_400;

  /** Samples since midnight are exact but for the frame of a picture they may be rounded to. */
  private static final double STAMP_TOLERANCE_SECONDS = 0.1;

  /** Two times in whole seconds, and a file that is begun a moment later. */
  private static final double CLOCK_TOLERANCE_SECONDS = 2.5;

  /** So much later than a part of a run would be closed, another take was recorded. */
  private static final double FAR_SECONDS = 30;

  /** Shorter files are copied within any tolerance. */
  private static final double LEAST_ON_DISK_SECONDS = 10;

  private static final int LEAST_PAIRS = 2;

  /** What can be said. */
  enum Says {
    AGREE,
    /** Only the times of change on the disk agree, which a copy may have set. */
    AGREE_ON_DISK,
    UNKNOWN,
    DISAGREE
  }

  /** No stamps, or none that says anything. */
  static final PartTimes NOTHING = new PartTimes(Says.UNKNOWN, 0, false);

  /** Two files that follow each other by name. */
  record Pair(ShootSource before, ShootSource after) {}

  /**
   * Whether a device writes the time when a file was closed: only if that rule holds for every pair
   * of neighbours of its series, at least two, and the rule of starts for none. A single pair keeps
   * it by chance.
   */
  static boolean stampsAreEnds(List<Pair> neighbours) {
    return neighbours.size() >= LEAST_PAIRS
        && neighbours.stream()
            .allMatch(
                pair ->
                    between(pair.before(), pair.after(), true).says == Says.AGREE
                        && between(pair.before(), pair.after(), false).says != Says.AGREE);
  }

  /**
   * Compares two files.
   *
   * @param stampsAreEnds what {@link #stampsAreEnds} says of their series
   */
  static PartTimes between(ShootSource before, ShootSource after, boolean stampsAreEnds) {
    Analysis first = before.analysis();
    Analysis second = after.analysis();
    if (first == null || second == null) {
      return NOTHING;
    }
    Long firstStamp = first.facts().timeReferenceSamples();
    Long secondStamp = second.facts().timeReferenceSamples();
    // Some devices stamp every part with the start of the whole take.
    if (firstStamp != null && secondStamp != null && !firstStamp.equals(secondStamp)) {
      double apart = (double) (secondStamp - firstStamp) / first.facts().rateHz();
      double gap = (apart < 0 ? apart + DAY_SECONDS : apart) - first.durationSeconds();
      return of(gap, STAMP_TOLERANCE_SECONDS);
    }
    LocalDateTime firstStart = first.facts().startedAt();
    LocalDateTime secondStart = second.facts().startedAt();
    if (firstStart != null && secondStart != null && !firstStart.isEqual(secondStart)) {
      double apart = Duration.between(firstStart, secondStart).toMillis() / 1000.0;
      PartTimes ends = of(apart - second.durationSeconds(), CLOCK_TOLERANCE_SECONDS);
      PartTimes starts = of(apart - first.durationSeconds(), CLOCK_TOLERANCE_SECONDS);
      if (stampsAreEnds) {
        return ends;
      }
      return starts.says == Says.DISAGREE && ends.says == Says.AGREE
          ? new PartTimes(Says.UNKNOWN, starts.gapSeconds, false)
          : starts;
    }
    return onDisk(before, after, second.durationSeconds());
  }

  private static PartTimes of(double gap, double tolerance) {
    return new PartTimes(Math.abs(gap) <= tolerance ? Says.AGREE : Says.DISAGREE, gap, false);
  }

  private static PartTimes onDisk(ShootSource before, ShootSource after, double lastSeconds) {
    try {
      double apart =
          (Files.getLastModifiedTime(after.file()).toMillis()
                  - Files.getLastModifiedTime(before.file()).toMillis())
              / 1000.0;
      double gap = apart - lastSeconds;
      if (gap > FAR_SECONDS) {
        return new PartTimes(Says.DISAGREE, gap, true);
      }
      // Closer together than the later one is long they were copied, which says nothing.
      return Math.abs(gap) <= CLOCK_TOLERANCE_SECONDS && lastSeconds >= LEAST_ON_DISK_SECONDS
          ? new PartTimes(Says.AGREE_ON_DISK, gap, true)
          : NOTHING;
    } catch (IOException e) {
      return NOTHING;
    }
  }

  boolean agree() {
    return says == Says.AGREE;
  }
}
