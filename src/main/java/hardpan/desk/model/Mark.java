package hardpan.desk.model;

import hardpan.report.FindingReport;
import hardpan.report.Standing;

/**
 * The shape that stands beside a word, so that nothing is told by colour alone. Each is an SVG path
 * in a field of 12 by 12.
 */
public enum Mark {
  /** A diamond. */
  REFERENCE(Tone.REFERENCE, "M6 0 L12 6 L6 12 L0 6 Z"),
  /** A disc. */
  PLACED(Tone.PLACED, "M6 1 A5 5 0 1 1 5.99 1 Z"),
  /** A pentagon that points down: put there by a person. */
  BY_HAND(Tone.NOTE, "M1 1 L11 1 L11 6.5 L6 11.5 L1 6.5 Z"),
  /** Two bars: two places. */
  AMBIGUOUS(Tone.AMBIGUOUS, "M1 1 L5 1 L5 11 L1 11 Z M7 1 L11 1 L11 11 L7 11 Z"),
  /** A ring. */
  UNPLACED(Tone.ASTRAY, "M6 0.5 A5.5 5.5 0 1 1 5.99 0.5 Z M6 3 A3 3 0 1 0 6.01 3 Z"),
  /** A dash. */
  NOT_LINED_UP(Tone.ASTRAY, "M1 5 L11 5 L11 7.5 L1 7.5 Z"),
  /** A cross. */
  UNREADABLE(
      Tone.FAULT,
      "M2.5 0.5 L6 4 L9.5 0.5 L11.5 2.5 L8 6 L11.5 9.5 L9.5 11.5 L6 8 L2.5 11.5 L0.5 9.5 L4 6"
          + " L0.5 2.5 Z"),
  /** An octagon. */
  FAULT(Tone.FAULT, "M3.5 0 L8.5 0 L12 3.5 L12 8.5 L8.5 12 L3.5 12 L0 8.5 L0 3.5 Z"),
  /** A triangle. */
  WARNING(Tone.WARNING, "M6 0.5 L12 11.5 L0 11.5 Z"),
  /** A square. */
  NOTE(Tone.NOTE, "M1.5 1.5 L10.5 1.5 L10.5 10.5 L1.5 10.5 Z"),
  /** A tick. */
  DONE(Tone.PLACED, "M0.5 6.5 L2.5 4.5 L5 7 L9.5 1.5 L11.5 3.5 L5 11 Z");

  private final Tone tone;
  private final String path;

  Mark(Tone tone, String path) {
    this.tone = tone;
    this.path = path;
  }

  /** Its colour. */
  public Tone tone() {
    return tone;
  }

  /** Its outline. */
  public String path() {
    return path;
  }

  /** For a finding. */
  public static Mark of(FindingReport.Severity severity) {
    return switch (severity) {
      case NOTE -> NOTE;
      case WARNING -> WARNING;
      case FAULT -> FAULT;
    };
  }

  /** For the state of a source. */
  public static Mark of(Standing standing) {
    return switch (standing) {
      case REFERENCE -> REFERENCE;
      case PLACED -> PLACED;
      case AMBIGUOUS -> AMBIGUOUS;
      case UNPLACED -> UNPLACED;
      case NOT_LINED_UP -> NOT_LINED_UP;
      case UNREADABLE -> UNREADABLE;
    };
  }
}
