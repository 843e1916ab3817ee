package hardpan.lanes;

/**
 * What a person chose about the files of a hand-over.
 *
 * @param layout which sound goes into which file
 * @param poly whether the lanes that run side by side go into one file of several channels
 * @param names how files are named
 */
public record Arrangement(Layout layout, boolean poly, NameTemplate names) {
  /** Mono files by clip, under the usual names. */
  public static final Arrangement USUAL = new Arrangement(Layout.CLIP, false, NameTemplate.USUAL);
}
