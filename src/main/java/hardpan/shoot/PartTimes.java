package hardpan.shoot;

import java.io.IOException;
import java.nio.file.Files;
import java.time.Duration;
import java.time.LocalDateTime;

/**
 * What the time stamps of two files say about the time between them.
 *
 * @param says whether they agree with a cut
 * @param gapSeconds from the end of the first to the start of the second; 0 if unknown
 */
record PartTimes(Says says, double gapSeconds) {
  private static final double DAY_SECONDS = 86_400;

  /** Samples since midnight are exact but for the frame of a picture they may be rounded to. */
  private static final double STAMP_TOLERANCE_SECONDS = 0.1;

  /** Two times in whole seconds, and a file that is begun a moment later. */
  private static final double CLOCK_TOLERANCE_SECONDS = 2.5;

  /** What can be said. */
  enum Says {
    AGREE,
    /** Only the times of change on the disk agree, which a copy may have set. */
    AGREE_ON_DISK,
    UNKNOWN,
    DISAGREE
  }

  private static final PartTimes NOTHING = new PartTimes(Says.UNKNOWN, 0);

  static PartTimes between(ShootSource before, ShootSource after) {
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
      // Some devices write the time when a file was closed.
      return starts.says == Says.DISAGREE && ends.says == Says.AGREE ? ends : starts;
    }
    return onDisk(before, after, second.durationSeconds());
  }

  private static PartTimes of(double gap, double tolerance) {
    return new PartTimes(Math.abs(gap) <= tolerance ? Says.AGREE : Says.DISAGREE, gap);
  }

  private static PartTimes onDisk(ShootSource before, ShootSource after, double lastSeconds) {
    try {
      double apart =
          (Files.getLastModifiedTime(after.file()).toMillis()
                  - Files.getLastModifiedTime(before.file()).toMillis())
              / 1000.0;
      double gap = apart - lastSeconds;
      return Math.abs(gap) <= CLOCK_TOLERANCE_SECONDS
          ? new PartTimes(Says.AGREE_ON_DISK, gap)
          : NOTHING;
    } catch (IOException e) {
      return NOTHING;
    }
  }

  boolean agree() {
    return says == Says.AGREE;
  }
}
