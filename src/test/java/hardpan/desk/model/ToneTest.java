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
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ToneTest {
  /** WCAG 2.1: black on white is 21 to 1; #767676 is the lightest grey on white that passes AA. */
  @Test
  void contrastIsComputedAsPublished() {
    assertEquals(21, contrast("#000000", "#ffffff"), 1e-9);
    assertEquals(4.54, contrast("#767676", "#ffffff"), 0.005);
    assertTrue(contrast("#777777", "#ffffff") < 4.5);
  }

  /** WCAG 2.1, success criterion 1.4.3: 4.5 to 1. */
  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void textCanBeRead(boolean dark) {
    for (Tone.Pair pair : Tone.TEXT) {
      double contrast = contrast(pair.front().hex(dark), pair.back().hex(dark));
      assertTrue(contrast >= 4.5, pair + " " + contrast);
    }
  }

  /** WCAG 2.1, success criterion 1.4.11: 3 to 1. */
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
