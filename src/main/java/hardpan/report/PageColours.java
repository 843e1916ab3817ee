package hardpan.report;

import java.util.List;
import java.util.Locale;

/**
 * Every colour of the page, in light and dark, and which stands on which. The strong ones are the
 * colour-blind-safe set of M. Okabe and K. Ito ("Color Universal Design", 2008); the page never
 * uses them without a shape or a word beside them.
 */
final class PageColours {
  /** Text on background: a contrast of 4.5 to 1 or more (WCAG 2.1, success criterion 1.4.3). */
  static final List<Pair> TEXT =
      List.of(
          new Pair(Tone.INK, Tone.PAPER),
          new Pair(Tone.INK, Tone.CARD),
          new Pair(Tone.SOFT, Tone.PAPER),
          new Pair(Tone.SOFT, Tone.CARD),
          new Pair(Tone.LINK, Tone.PAPER),
          new Pair(Tone.LINK, Tone.CARD),
          new Pair(Tone.ON_STRONG, Tone.FAULT),
          new Pair(Tone.ON_STRONG, Tone.WARNING),
          new Pair(Tone.ON_STRONG, Tone.NOTE),
          new Pair(Tone.ON_STRONG, Tone.PLACED),
          new Pair(Tone.ON_STRONG, Tone.REFERENCE),
          new Pair(Tone.ON_STRONG, Tone.AMBIGUOUS),
          new Pair(Tone.ON_STRONG, Tone.OUTSIDE));

  /** Drawing on background: 3 to 1 or more (WCAG 2.1, success criterion 1.4.11). */
  static final List<Pair> DRAWING =
      List.of(
          new Pair(Tone.INK, Tone.CARD),
          new Pair(Tone.SOFT, Tone.CARD),
          new Pair(Tone.EDGE, Tone.CARD),
          new Pair(Tone.EDGE, Tone.PAPER),
          new Pair(Tone.WAVE, Tone.CARD),
          new Pair(Tone.FAULT, Tone.CARD));

  private PageColours() {}

  /** One colour in its light and its dark form. */
  enum Tone {
    /** The page. */
    PAPER("#f6f4ef", "#14171a"),
    /** What lies on the page. */
    CARD("#ffffff", "#1d2226"),
    /** Text and outlines. */
    INK("#1a1c1e", "#eeece6"),
    /** Text of less weight. */
    SOFT("#50565c", "#b6bcc2"),
    /** Rules and table lines. */
    EDGE("#82888e", "#7d858d"),
    /** Links. */
    LINK("#005a8e", "#56b4e9"),
    /** Waveform; of every source alike, for shapes and words tell the rest. */
    WAVE("#34393e", "#ced1d0"),
    /** Text on the strong colours. */
    ON_STRONG("#000000", "#000000"),
    /** Vermillion. */
    FAULT("#d55e00", "#d55e00"),
    /** Orange. */
    WARNING("#e69f00", "#e69f00"),
    /** Yellow. */
    NOTE("#f0e442", "#f0e442"),
    /** Bluish green. */
    PLACED("#009e73", "#009e73"),
    /** Sky blue. */
    REFERENCE("#56b4e9", "#56b4e9"),
    /** Reddish purple. */
    AMBIGUOUS("#cc79a7", "#cc79a7"),
    /** Grey, for what has no place. */
    OUTSIDE("#b9bdc1", "#b9bdc1");

    private final String light;
    private final String dark;

    Tone(String light, String dark) {
      this.light = light;
      this.dark = dark;
    }

    String light() {
      return light;
    }

    String dark() {
      return dark;
    }

    /** Its name as a CSS variable, {@code --on-strong}. */
    String variable() {
      return "--" + name().toLowerCase(Locale.ROOT).replace('_', '-');
    }
  }

  /** One colour standing on another. */
  record Pair(Tone front, Tone back) {}

  /** The variables' declarations, light or dark. */
  static String declarations(boolean dark) {
    StringBuilder css = new StringBuilder();
    for (Tone tone : Tone.values()) {
      css.append(tone.variable()).append(':').append(dark ? tone.dark : tone.light).append(';');
    }
    return css.toString();
  }
}
