package hardpan.media;

/** Which reader {@link SourceOpener} takes. */
public enum ReaderChoice {
  /** The native reader where it loads, else the fallback. */
  BEST,
  /** The native reader or an error. */
  NATIVE,
  /** The pure-Java reader; Wave files are always read in Java. */
  FALLBACK
}
