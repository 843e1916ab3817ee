package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.HashSet;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class PageColoursTest {
  /** WCAG 2.1: 21 for black on white; #767676 on white is the known grey just above 4.5. */
  @Test
  void theContrastSumItself() {
    assertEquals(21, contrast("#000000", "#ffffff"), 1e-9);
    assertEquals(1, contrast("#d55e00", "#d55e00"), 1e-9);
    assertEquals(4.54, contrast("#767676", "#ffffff"), 0.005);
    assertTrue(contrast("#777777", "#ffffff") < 4.5);
  }

  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void textStandsOutByFourAndAHalf(boolean dark) {
    for (PageColours.Pair pair : PageColours.TEXT) {
      double contrast = contrast(hex(pair.front(), dark), hex(pair.back(), dark));
      assertTrue(contrast >= 4.5, pair + (dark ? " dark " : " light ") + contrast);
    }
  }

  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void drawingsStandOutByThree(boolean dark) {
    for (PageColours.Pair pair : PageColours.DRAWING) {
      double contrast = contrast(hex(pair.front(), dark), hex(pair.back(), dark));
      assertTrue(contrast >= 3, pair + (dark ? " dark " : " light ") + contrast);
    }
  }

  /** What the style sheet colours must be among the pairs above, and nothing bypasses them. */
  @Test
  void theStyleSheetUsesTheseColoursOnly() {
    String css = PageStyle.css();
    Set<String> text = new HashSet<>();
    Set<String> backs = new HashSet<>();
    for (PageColours.Pair pair : PageColours.TEXT) {
      text.add(pair.front().variable());
      backs.add(pair.back().variable());
    }
    Set<String> drawn = new HashSet<>();
    PageColours.DRAWING.forEach(pair -> drawn.add(pair.front().variable()));
    // The body of a box and the card itself are backgrounds, drawn as shapes.
    drawn.add(PageColours.Tone.CARD.variable());
    assertUsed(css, "(?<![a-z-])color:var\\(([a-z-]+)\\)", text);
    assertUsed(css, "background:var\\(([a-z-]+)\\)", backs);
    assertUsed(css, "(?:fill|stroke):var\\(([a-z-]+)\\)", drawn);
    String rules = css.substring(css.indexOf("*{box-sizing"));
    assertFalse(Pattern.compile("#[0-9a-fA-F]{3}|rgb|hsl").matcher(rules).find());
  }

  /** The eight of Okabe and Ito (2008), as published; from memory. */
  @Test
  void strongColoursAreTheColourBlindSafeOnes() {
    Set<String> published =
        Set.of(
            "#000000", "#e69f00", "#56b4e9", "#009e73", "#f0e442", "#0072b2", "#d55e00", "#cc79a7");
    for (PageColours.Tone tone :
        new PageColours.Tone[] {
          PageColours.Tone.FAULT,
          PageColours.Tone.WARNING,
          PageColours.Tone.NOTE,
          PageColours.Tone.PLACED,
          PageColours.Tone.REFERENCE,
          PageColours.Tone.AMBIGUOUS
        }) {
      assertTrue(published.contains(tone.light()), tone.name());
      assertTrue(published.contains(tone.dark()), tone.name());
    }
  }

  private static void assertUsed(String css, String pattern, Set<String> allowed) {
    Matcher matcher = Pattern.compile(pattern).matcher(css);
    int count = 0;
    while (matcher.find()) {
      assertTrue(allowed.contains(matcher.group(1)), matcher.group());
      count++;
    }
    assertTrue(count > 1, pattern);
  }

  private static String hex(PageColours.Tone tone, boolean dark) {
    return dark ? tone.dark() : tone.light();
  }

  /** Contrast ratio of WCAG 2.1, from relative luminance as defined there. */
  private static double contrast(String one, String other) {
    double a = luminance(one) + 0.05;
    double b = luminance(other) + 0.05;
    return Math.max(a, b) / Math.min(a, b);
  }

  private static double luminance(String hex) {
    return 0.2126 * linear(hex, 1) + 0.7152 * linear(hex, 3) + 0.0722 * linear(hex, 5);
  }

  private static double linear(String hex, int at) {
    double value = Integer.parseInt(hex.substring(at, at + 2), 16) / 255.0;
    return value <= 0.03928 ? value / 12.92 : Math.pow((value + 0.055) / 1.055, 2.4);
  }
}
