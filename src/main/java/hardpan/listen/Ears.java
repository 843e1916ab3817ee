package hardpan.listen;

import java.util.ArrayList;
import java.util.List;

/**
 * Which channels of a source go to which ear.
 *
 * @param left what the left ear hears, added up; empty for silence
 * @param right what the right ear hears
 */
public record Ears(List<Feed> left, List<Feed> right) {
  /** Copies the lists. */
  public Ears {
    left = List.copyOf(left);
    right = List.copyOf(right);
  }

  /**
   * A channel on its way to an ear.
   *
   * @param channel index of the channel, at least 0
   * @param factor what its samples are multiplied by, -1 to 1
   */
  public record Feed(int channel, double factor) {
    /** Checks the range. */
    public Feed {
      if (channel < 0 || !(Math.abs(factor) <= 1)) {
        throw new IllegalArgumentException("channel " + channel + ", factor " + factor);
      }
    }
  }

  /** One channel in both ears. */
  public static Ears alone(int channel) {
    List<Feed> feed = List.of(new Feed(channel, 1));
    return new Ears(feed, feed);
  }

  /** One channel on the left, another on the right. */
  public static Ears apart(int leftChannel, int rightChannel) {
    return new Ears(List.of(new Feed(leftChannel, 1)), List.of(new Feed(rightChannel, 1)));
  }

  /** One channel in the left ear only. */
  public static Ears leftOnly(int channel) {
    return new Ears(List.of(new Feed(channel, 1)), List.of());
  }

  /** One channel in the right ear only. */
  public static Ears rightOnly(int channel) {
    return new Ears(List.of(), List.of(new Feed(channel, 1)));
  }

  /**
   * The mean of the first channels in both ears, so that adding up is never louder than the parts.
   *
   * @param channelCount how many, at least 1
   */
  public static Ears sum(int channelCount) {
    List<Feed> feeds = new ArrayList<>();
    for (int channel = 0; channel < channelCount; channel++) {
      feeds.add(new Feed(channel, 1.0 / channelCount));
    }
    return new Ears(feeds, feeds);
  }

  /** Half of what two channels do not have in common, in both ears. */
  public static Ears difference(int oneChannel, int otherChannel) {
    List<Feed> feeds = List.of(new Feed(oneChannel, 0.5), new Feed(otherChannel, -0.5));
    return new Ears(feeds, feeds);
  }

  /** Whether both ears hear the same. */
  boolean isMono() {
    return left.equals(right);
  }
}
