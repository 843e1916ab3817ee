package hardpan.listen;

/**
 * What a player is doing.
 *
 * @param kind in a word
 * @param sentence why nothing can be heard; empty unless {@link Kind#FAILED}
 */
public record PlayerState(Kind kind, String sentence) {
  /** Nothing is heard. */
  public static final PlayerState SILENT = new PlayerState(Kind.SILENT, "");

  /** Words for it. */
  public enum Kind {
    /** Nothing plays. */
    SILENT,
    /** On the way to the instant where listening begins. */
    FINDING,
    /** Sound can be heard. */
    PLAYING,
    /** Nothing plays, because it cannot. */
    FAILED
  }
}
