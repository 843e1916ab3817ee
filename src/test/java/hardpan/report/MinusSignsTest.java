package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class MinusSignsTest {
  @Test
  void negativeNumbersGetATrueMinusSign() {
    assertEquals(
        "correlation \u22121.00, bleed \u221221.4 dB, clock \u22123 ppm (\u22120.5).",
        MinusSigns.in("correlation -1.00, bleed -21.4 dB, clock -3 ppm (-0.5)."));
    assertEquals(
        "\u22127.78 dBu less \u221237.78\u00a0dBu",
        MinusSigns.in("-7.78 dBu less -37.78\u00a0dBu"));
    assertEquals("\u22120:12.35", Figures.clock(-12.345678, 2));
    assertEquals("about \u221252\u00a0dBFS", Figures.tied("about -52 dBFS"));
  }

  /** Names, ranges, options and what is typed are no negative numbers. */
  @ParameterizedTest
  @ValueSource(
      strings = {
        "CAM-A/CLIP-0001.MOV",
        "take -3.wav",
        "take -1.5.wav",
        "mix -3 dB.wav",
        "24-bit, 10-20 dB, 1-2.5 s",
        "--pin=-5.0 s",
        "-10dBV",
        "2026-05-03",
        "at -5 o'clock",
        "left - 3 dB"
      })
  void whatIsNoNegativeNumberStays(String text) {
    assertEquals(text, MinusSigns.in(text));
  }
}
