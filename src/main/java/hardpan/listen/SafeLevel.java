package hardpan.listen;

import java.util.Collection;
import org.jspecify.annotations.Nullable;

/**
 * How loud listening is. A source's loudest channel is brought to {@link #CHANNEL_LUFS}; in both
 * ears that is -26 LUFS, and two sources together are -23 LUFS, the level of a broadcast programme
 * (EBU R 128), up to -20 where both carry the same in both ears. Quiet sound is raised no further
 * than {@link #MOST_GAIN_DB}, and what has no measured loudness is taken to be as loud as sound can
 * well be.
 */
public final class SafeLevel {
  /** Loudness of one channel as it is heard, measured by itself (ITU-R BS.1770, weight 1). */
  public static final double CHANNEL_LUFS = -29;

  /** The most a quiet source is raised by. */
  public static final double MOST_GAIN_DB = 24;

  /** Nothing is ever louder than this, between samples too; see {@link Limiter}. */
  public static final double CEILING_DBTP = -6;

  /** The least and the most the person can turn it by. */
  public static final double LEAST_VOLUME_DB = -40;

  /** The most the person can turn it up by. */
  public static final double MOST_VOLUME_DB = 6;

  /** A full-scale square wave is about as loud. */
  private static final double LOUDEST_LUFS = 0;

  private SafeLevel() {}

  /**
   * What a source is raised by so that it can be listened to.
   *
   * @param channelLufs integrated loudness of each of its channels; null and not-a-number where
   *     there is none
   * @return in dB, at most {@link #MOST_GAIN_DB}; of an empty list {@link #CHANNEL_LUFS}
   */
  public static double gainDb(Collection<@Nullable Double> channelLufs) {
    double loudest = Double.NEGATIVE_INFINITY;
    for (Double lufs : channelLufs) {
      if (lufs != null && Double.isFinite(lufs)) {
        loudest = Math.max(loudest, lufs);
      }
    }
    if (loudest == Double.NEGATIVE_INFINITY) {
      loudest = LOUDEST_LUFS;
    }
    return Math.max(-200, Math.min(MOST_GAIN_DB, CHANNEL_LUFS - loudest));
  }

  /** The person's volume as a factor, held within its range; not-a-number is the least. */
  static double volumeFactor(double volumeDb) {
    double held = Math.min(MOST_VOLUME_DB, volumeDb);
    return factor(held >= LEAST_VOLUME_DB ? held : LEAST_VOLUME_DB);
  }

  /** A level in dB as a factor. */
  static double factor(double db) {
    return Math.pow(10, db / 20);
  }
}
