package hardpan.desk.model;

/**
 * A way to listen to a source.
 *
 * @param kind in a word
 * @param channel the channel, where it is one; else 0
 * @param words what the person chooses
 */
public record Hearing(Kind kind, int channel, String words) {
  /** Ways to listen. */
  public enum Kind {
    /** One channel in both ears. */
    ALONE,
    /** One channel in both ears, through all files its device wrote without a stop: its lane. */
    LANE,
    /** The first two channels, one in each ear. */
    APART,
    /** All channels added up. */
    SUM,
    /** What the first two channels do not have in common. */
    DIFFERENCE,
    /** The clip in the left ear, the reference in the right one. */
    ACROSS,
    /** Clip and reference in both ears. */
    TOGETHER;

    /** Whether the reference is heard too. */
    public boolean withReference() {
      return this == ACROSS || this == TOGETHER;
    }
  }

  @Override
  public String toString() {
    return words;
  }
}
