package hardpan.desk.model;

import java.util.List;
import java.util.Locale;

/**
 * Every colour of the window, in light and dark. The strong ones are the colour-blind-safe set of
 * M. Okabe and K. Ito ("Color Universal Design", 2008), darkened where a drawing on light ground
 * would have too little contrast; none is used without a shape or a word beside it.
 */
public enum Tone {
  /** The window. */
  PAPER("#f4f1ea", "#15181b"),
  /** What lies on it. */
  CARD("#ffffff", "#1e2327"),
  /** A band of the picture and the chosen row of a list. */
  BAND("#ebe6db", "#2a3137"),
  /** Text and outlines. */
  INK("#1a1c1e", "#eeece6"),
  /** Text of less weight. */
  SOFT("#4b5157", "#b9bfc5"),
  /** Lines round things that can be worked with. */
  EDGE("#747a80", "#868e96"),
  /** Thin lines that only part things. */
  HAIR("#d8d2c5", "#363d43"),
  /** The keyboard's ring and the chosen clip. */
  FOCUS("#0072b2", "#56b4e9"),
  /** The main button. */
  ACTION("#005f94", "#56b4e9"),
  /** Text on the main button. */
  ON_ACTION("#ffffff", "#101214"),
  /** Waveform of whatever has a place; how it came by it is told by a shape and a word. */
  WAVE("#34393e", "#ced1d0"),
  /** Waveform without a place. */
  WAVE_ASTRAY("#6d7379", "#9aa1a8"),
  /** Vermillion: damage. */
  FAULT("#c25500", "#e8762c"),
  /** Orange: listen first. */
  WARNING("#a06c00", "#e69f00"),
  /** Yellow: good to know. */
  NOTE("#857800", "#f0e442"),
  /** Bluish green: in its place. */
  PLACED("#007a58", "#1fb386"),
  /** Sky blue: the reference. */
  REFERENCE("#0072b2", "#56b4e9"),
  /** Reddish purple: fits more than once. */
  AMBIGUOUS("#b0528a", "#cc79a7"),
  /** Grey: has no place. */
  ASTRAY("#6d7379", "#9aa1a8");

  /** How much of itself is left of what cannot be used now; the style sheet says the same. */
  static final double DISABLED_OPACITY = 0.7;

  /** Text on ground: 4.5 to 1 or more (WCAG 2.2, success criterion 1.4.3). */
  static final List<Pair> TEXT =
      List.of(
          new Pair(INK, PAPER),
          new Pair(INK, CARD),
          new Pair(INK, BAND),
          new Pair(SOFT, PAPER),
          new Pair(SOFT, CARD),
          new Pair(SOFT, BAND),
          new Pair(PAPER, INK),
          new Pair(ON_ACTION, ACTION));

  /** Drawing on ground: 3 to 1 or more (WCAG 2.2, success criterion 1.4.11). */
  static final List<Pair> DRAWING =
      List.of(
          new Pair(EDGE, PAPER),
          new Pair(EDGE, CARD),
          new Pair(EDGE, BAND),
          new Pair(FOCUS, PAPER),
          new Pair(FOCUS, CARD),
          new Pair(FOCUS, BAND),
          new Pair(ACTION, PAPER),
          new Pair(ACTION, CARD),
          new Pair(ACTION, BAND),
          new Pair(WAVE, CARD),
          new Pair(WAVE, PAPER),
          new Pair(WAVE_ASTRAY, CARD),
          new Pair(FAULT, CARD),
          new Pair(FAULT, BAND),
          new Pair(FAULT, PAPER),
          new Pair(WARNING, PAPER),
          new Pair(NOTE, PAPER),
          new Pair(REFERENCE, PAPER),
          new Pair(AMBIGUOUS, PAPER),
          new Pair(ASTRAY, PAPER),
          new Pair(INK, PAPER),
          new Pair(INK, CARD),
          new Pair(INK, BAND),
          new Pair(WARNING, CARD),
          new Pair(WARNING, BAND),
          new Pair(NOTE, CARD),
          new Pair(NOTE, BAND),
          new Pair(PLACED, CARD),
          new Pair(PLACED, BAND),
          new Pair(PLACED, PAPER),
          new Pair(REFERENCE, CARD),
          new Pair(REFERENCE, BAND),
          new Pair(AMBIGUOUS, CARD),
          new Pair(AMBIGUOUS, BAND),
          new Pair(ASTRAY, CARD),
          new Pair(ASTRAY, BAND));

  private final String light;
  private final String dark;

  Tone(String light, String dark) {
    this.light = light;
    this.dark = dark;
  }

  /** One colour standing on another. */
  record Pair(Tone front, Tone back) {}

  /** The colour as {@code #rrggbb}. */
  public String hex(boolean inDark) {
    return inDark ? dark : light;
  }

  /** Its name in the style sheet, {@code -hp-on-action}. */
  public String variable() {
    return "-hp-" + name().toLowerCase(Locale.ROOT).replace('_', '-');
  }

  /** All of them as style declarations for a root. */
  public static String declarations(boolean inDark) {
    StringBuilder style = new StringBuilder();
    for (Tone tone : values()) {
      style.append(tone.variable()).append(": ").append(tone.hex(inDark)).append("; ");
    }
    return style.toString();
  }
}
