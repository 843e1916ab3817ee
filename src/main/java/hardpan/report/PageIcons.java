package hardpan.report;

import java.util.Locale;

/** The page's own signs: one shape a state, so that colour is never alone. */
final class PageIcons {
  /** Definitions, to stand once at the head of the body. */
  static final String SYMBOLS =
      """
      <svg class="symbols" aria-hidden="true" focusable="false">
      <symbol id="i-fault" viewBox="0 0 16 16"><path d="M5 1h6l4 4v6l-4 4H5l-4-4V5z M5.5 5.5l5 5 M10.5 5.5l-5 5"/></symbol>
      <symbol id="i-warning" viewBox="0 0 16 16"><path d="M8 1.5L15 14.5H1z M8 6v4 M8 11.5v1.5"/></symbol>
      <symbol id="i-note" viewBox="0 0 16 16"><path d="M2 2h12v12H2z M5 6h6 M5 10h6"/></symbol>
      <symbol id="i-reference" viewBox="0 0 16 16"><path d="M1.5 2.5h13v11h-13z M5 6h6v4H5z"/></symbol>
      <symbol id="i-placed" viewBox="0 0 16 16"><path d="M1.5 4h13v8h-13z M4 8h8"/></symbol>
      <symbol id="i-ambiguous" viewBox="0 0 16 16"><path d="M5 5.5a3 3 0 1 1 4 2.8c-.8.4-1 .9-1 2 M8 12.2v2"/></symbol>
      <symbol id="i-unplaced" viewBox="0 0 16 16"><path d="M14 8A6 6 0 1 1 2 8a6 6 0 0 1 12 0z M4 12l8-8"/></symbol>
      <symbol id="i-not-lined-up" viewBox="0 0 16 16"><path d="M2 4h5 M9 8h5 M4 12h5"/></symbol>
      <symbol id="i-unreadable" viewBox="0 0 16 16"><path d="M3 3l10 10 M13 3L3 13"/></symbol>
      </svg>
      """;

  private PageIcons() {}

  /** A severity's badge: sign, word, colour. */
  static String badge(FindingReport.Severity severity) {
    return badge(severity.word(), severity.word());
  }

  /** A standing's badge. */
  static String badge(Standing standing) {
    return badge(standing.name().toLowerCase(Locale.ROOT).replace('_', '-'), standing.label());
  }

  private static String badge(String style, String label) {
    return "<span class=\"badge "
        + style
        + "\"><svg class=\"icon\" aria-hidden=\"true\" focusable=\"false\"><use href=\"#i-"
        + style
        + "\"/></svg>"
        + label
        + "</span>";
  }
}
