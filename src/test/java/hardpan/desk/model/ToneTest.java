package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.Locale;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Collectors;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ToneTest {
  /** WCAG 2.2: black on white is 21 to 1; #767676 is the lightest grey on white that passes AA. */
  @Test
  void contrastIsComputedAsPublished() {
    assertEquals(21, contrast("#000000", "#ffffff"), 1e-9);
    assertEquals(4.54, contrast("#767676", "#ffffff"), 0.005);
    assertTrue(contrast("#777777", "#ffffff") < 4.5);
  }

  /** WCAG 2.2, success criterion 1.4.3: 4.5 to 1. */
  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void textCanBeRead(boolean dark) {
    for (Tone.Pair pair : Tone.TEXT) {
      double contrast = contrast(pair.front().hex(dark), pair.back().hex(dark));
      assertTrue(contrast >= 4.5, pair + " " + contrast);
    }
  }

  /** WCAG 2.2, success criterion 1.4.11: 3 to 1. */
  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void drawingCanBeSeen(boolean dark) {
    for (Tone.Pair pair : Tone.DRAWING) {
      double contrast = contrast(pair.front().hex(dark), pair.back().hex(dark));
      assertTrue(contrast >= 3, pair + " " + contrast);
    }
  }

  /** Fields of a picture go from the waveform's colour to that of text; all must be seen. */
  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void everyShadeBetweenSparseAndDenseCanBeSeen(boolean dark) {
    String sparse = Tone.WAVE.hex(dark);
    String dense = Tone.INK.hex(dark);
    for (int step = 0; step <= 20; step++) {
      StringBuilder mixed = new StringBuilder("#");
      for (int at = 1; at < 7; at += 2) {
        int from = Integer.parseInt(sparse.substring(at, at + 2), 16);
        int to = Integer.parseInt(dense.substring(at, at + 2), 16);
        mixed.append(String.format(Locale.ROOT, "%02x", from + (to - from) * step / 20));
      }
      double contrast = contrast(mixed.toString(), Tone.CARD.hex(dark));
      assertTrue(contrast >= 3, mixed + " " + contrast);
    }
  }

  /**
   * The standard asks nothing of what cannot be used now (1.4.3, incidental); who looks for it
   * still has to read what it is. A control lies on paper, card or band and pales with its own
   * ground.
   */
  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void whatCannotBeUsedNowCanStillBeRead(boolean dark) {
    for (Tone.Pair pair : Tone.TEXT) {
      for (Tone behind : new Tone[] {Tone.PAPER, Tone.CARD, Tone.BAND}) {
        String front = paled(pair.front(), behind, dark);
        double contrast = contrast(front, paled(pair.back(), behind, dark));
        assertTrue(contrast >= 3, pair + " on " + behind + " " + contrast);
      }
    }
  }

  private static String paled(Tone tone, Tone behind, boolean dark) {
    StringBuilder mixed = new StringBuilder("#");
    for (int at = 1; at < 7; at += 2) {
      int from = Integer.parseInt(behind.hex(dark).substring(at, at + 2), 16);
      int to = Integer.parseInt(tone.hex(dark).substring(at, at + 2), 16);
      long part = Math.round(from + (to - from) * Tone.DISABLED_OPACITY);
      mixed.append(String.format(Locale.ROOT, "%02x", part));
    }
    return mixed.toString();
  }

  @Test
  void theStyleSheetPalesByThatMuchAndNothingElse() throws IOException {
    Matcher used = Pattern.compile("-fx-opacity: ([0-9.]+)").matcher(sheet());
    int paled = 0;
    while (used.find()) {
      double opacity = Double.parseDouble(used.group(1));
      paled += opacity == Tone.DISABLED_OPACITY ? 1 : 0;
      assertTrue(opacity == 1 || opacity == Tone.DISABLED_OPACITY, used.group());
    }
    assertEquals(1, paled);
  }

  /** Every colour of text that the style sheet gives, on every ground it gives in the same rule. */
  @Test
  void everyColourOfTextInTheStyleSheetIsAmongThose() throws IOException {
    Matcher rules = Pattern.compile("\\{([^}]*)\\}").matcher(sheet());
    int texts = 0;
    while (rules.find()) {
      String rule = rules.group(1);
      Tone front = tone(rule, "-fx-text-fill");
      Tone back = tone(rule, "-fx-background-color");
      if (front != null && back != null) {
        assertTrue(Tone.TEXT.contains(new Tone.Pair(front, back)), rule);
        texts++;
      } else if (front != null) {
        assertTrue(front == Tone.INK || front == Tone.SOFT || front == Tone.ON_ACTION, rule);
      }
      Tone chosen = tone(rule, "-fx-highlight-text-fill");
      Tone ground = tone(rule, "-fx-highlight-fill");
      assertEquals(chosen == null, ground == null, rule);
      if (chosen != null && ground != null) {
        assertTrue(Tone.TEXT.contains(new Tone.Pair(chosen, ground)), rule);
        texts++;
      }
      Tone prompt = tone(rule, "-fx-prompt-text-fill");
      assertTrue(prompt == null || back != null, rule);
      if (prompt != null && back != null) {
        assertTrue(Tone.TEXT.contains(new Tone.Pair(prompt, back)), rule);
        texts++;
      }
    }
    assertTrue(texts > 6, "only " + texts);
  }

  private static @Nullable Tone tone(String rule, String property) {
    Matcher value = Pattern.compile(property + ": *(-hp-[a-z-]+)").matcher(rule);
    if (!value.find()) {
      return null;
    }
    return Arrays.stream(Tone.values())
        .filter(tone -> tone.variable().equals(value.group(1)))
        .findFirst()
        .orElseThrow();
  }

  @Test
  void everyMarkCanBeSeenOnEveryGroundItStandsOn() {
    for (Mark mark : Mark.values()) {
      for (Tone ground : new Tone[] {Tone.CARD, Tone.BAND, Tone.PAPER}) {
        assertTrue(Tone.DRAWING.contains(new Tone.Pair(mark.tone(), ground)), mark + " " + ground);
      }
    }
  }

  @Test
  void noTwoMarksShareAShape() {
    Set<String> shapes = Arrays.stream(Mark.values()).map(Mark::path).collect(Collectors.toSet());
    assertEquals(Mark.values().length, shapes.size());
  }

  @Test
  void theStyleSheetUsesTheTonesAndNoOtherColour() throws IOException {
    String css = sheet();
    assertFalse(
        Pattern.compile("#[0-9a-fA-F]{3}|rgb|hsb|: *(white|black|gr[ae]y)").matcher(css).find());
    Set<String> known =
        Arrays.stream(Tone.values()).map(Tone::variable).collect(Collectors.toSet());
    Matcher used = Pattern.compile("-hp-[a-z-]+").matcher(css);
    int count = 0;
    while (used.find()) {
      assertTrue(known.contains(used.group()), used.group());
      count++;
    }
    assertTrue(count > 20);
  }

  @Test
  void everyMarkHasItsColourInTheStyleSheet() throws IOException {
    String css = sheet();
    for (Mark mark : Mark.values()) {
      String name = mark.tone().variable().substring("-hp-".length());
      assertTrue(css.contains(".hp-tone-" + name + " {"), name);
    }
  }

  private static String sheet() throws IOException {
    try (InputStream in = Tone.class.getResourceAsStream("/hardpan/desk/desk.css")) {
      return new String(in.readAllBytes(), StandardCharsets.UTF_8);
    }
  }

  /** Contrast ratio of WCAG 2.2, from relative luminance as defined there. */
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
