package hardpan.report;

/**
 * Text into markup. What comes out is safe between tags and inside quoted attributes, and legal
 * both as HTML and as XML 1.0.
 */
final class Html {
  /** First strong isolate and pop directional isolate (Unicode Standard Annex 9). */
  private static final String ISOLATE = "\u2068";

  private static final String POP = "\u2069";

  private Html() {}

  /** Escapes; control characters, direction overrides and lone surrogates become U+FFFD. */
  static String text(String raw) {
    StringBuilder safe = new StringBuilder(raw.length() + 16);
    raw.codePoints()
        .forEach(
            point -> {
              switch (point) {
                case '&' -> safe.append("&amp;");
                case '<' -> safe.append("&lt;");
                case '>' -> safe.append("&gt;");
                case '"' -> safe.append("&quot;");
                case '\'' -> safe.append("&#39;");
                case '\n', '\t' -> safe.append(' ');
                default -> safe.appendCodePoint(isHarmless(point) ? point : 0xFFFD);
              }
            });
    return safe.toString();
  }

  /** A file or person's name in running text: its own direction, and breakable after a slash. */
  static String name(String raw) {
    return "<bdi>" + text(raw).replace("/", "/<wbr/>") + "</bdi>";
  }

  /** A name where no element may stand: in an attribute, an SVG text or a title. */
  static String isolated(String raw) {
    return ISOLATE + text(raw) + POP;
  }

  /** Whether a code point may be shown as it is. */
  static boolean isHarmless(int point) {
    return !Character.isISOControl(point) && !isUnfitForXml(point) && !steersLayout(point);
  }

  /** Surrogates without a partner, and the two noncharacters XML 1.0 forbids. */
  private static boolean isUnfitForXml(int point) {
    return (point >= 0xD800 && point <= 0xDFFF) || point == 0xFFFE || point == 0xFFFF;
  }

  /** Direction embeddings, overrides and isolates; line and paragraph separators. */
  private static boolean steersLayout(int point) {
    return (point >= 0x2028 && point <= 0x202E) || (point >= 0x2066 && point <= 0x2069);
  }
}
