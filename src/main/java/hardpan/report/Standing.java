package hardpan.report;

/** How a source came out of the job, in one word; the same for page, text and window. */
public enum Standing {
  /** The clock of the shoot. */
  REFERENCE("reference"),
  /** Has its place. */
  PLACED("placed"),
  /** Fits in more than one place. */
  AMBIGUOUS("ambiguous"),
  /** Has no place. */
  UNPLACED("not placed"),
  /** Nothing was lined up. */
  NOT_LINED_UP("not lined up"),
  /** Cannot be read. */
  UNREADABLE("cannot be read");

  private final String label;

  Standing(String label) {
    this.label = label;
  }

  /** The word to show. */
  public String label() {
    return label;
  }

  /** The standing of one source of a report. */
  public static Standing of(Report report, SourceReport source) {
    if (source.error() != null) {
      return UNREADABLE;
    }
    if (source.path().equals(report.reference())) {
      return REFERENCE;
    }
    PlacementReport placement = source.placement();
    if (placement == null) {
      return NOT_LINED_UP;
    }
    return switch (placement.state()) {
      case PLACED -> PLACED;
      case AMBIGUOUS -> AMBIGUOUS;
      case UNPLACED -> UNPLACED;
    };
  }
}
