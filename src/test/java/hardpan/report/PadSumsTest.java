package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.OptionalInt;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class PadSumsTest {
  /**
   * 0.775 V for 0 dBu: ITU-R BS.645-2, section 1. The others are worked by hand: 1.2277 V is 0.7746
   * x 10^0.2 (10^0.2 = 1.58489), 21.83 mV is 0.774597 V / 10^1.55 (10^1.55 = 35.4813), 0.3162 V is
   * 10^-0.5 V, the nominal level of -10 dBV gear.
   */
  @ParameterizedTest
  @CsvSource({"0, 0.774597", "4, 1.22766", "-31, 0.0218311", "-60, 0.000774597", "20, 7.74597"})
  void voltsOfALevel(double dbu, double volts) {
    assertEquals(volts, PadSums.voltsFromDbu(dbu), volts * 1e-5);
    assertEquals(dbu, PadSums.dbuFromVolts(volts), 1e-4);
  }

  /** 0 dBV is 1 V, which is 20 log10(1 / 0.774597) = 2.218 dBu; -10 dBV is -7.782 dBu. */
  @Test
  void levelsInDbv() {
    assertEquals(2.2185, PadSums.dbuFromDbv(0), 1e-4);
    assertEquals(-7.7815, PadSums.dbuFromDbv(-10), 1e-4);
    assertEquals(0.316228, PadSums.voltsFromDbu(PadSums.dbuFromDbv(-10)), 1e-6);
  }

  @Test
  void theSumAsASentence() {
    assertEquals(
        "+4 dBu less 35 dB is -31 dBu = 21.8 mV (0 dBu = 0.7746 V).", PadSums.sentence(4, 35));
    assertEquals(
        "-7.78 dBu less 20 dB is -27.78 dBu = 31.6 mV (0 dBu = 0.7746 V).",
        PadSums.sentence(-7.78, 20));
    assertEquals("+4 dBu less 4 dB is 0 dBu = 775 mV (0 dBu = 0.7746 V).", PadSums.sentence(4, 4));
    assertEquals(
        "+24 dBu less 0 dB is +24 dBu = 12.3 V (0 dBu = 0.7746 V).", PadSums.sentence(24, 0));
  }

  @Test
  void voltagesInAFittingUnit() {
    assertEquals("1.00 V", PadSums.volts(1));
    assertEquals("1.00 V", PadSums.volts(0.9996));
    assertEquals("999 mV", PadSums.volts(0.9994));
    assertEquals("1.00 mV", PadSums.volts(0.001));
    assertEquals("775 µV", PadSums.volts(0.000774597));
    assertEquals("0 µV", PadSums.volts(0));
  }

  /** Worked by hand: the smallest of 10, 15 ... 40 that is at least 6 and at most 12 dB more. */
  @ParameterizedTest
  @CsvSource({
    "-2, 10",
    "0, 10",
    "4, 10",
    "4.01, 15",
    "9, 15",
    "9.5, 20",
    "14, 20",
    "19, 25",
    "19.2, 30",
    "24, 30",
    "29, 35",
    "33.9, 40",
    "34, 40"
  })
  void theNextUsualPad(double excessDb, int padDb) {
    assertEquals(OptionalInt.of(padDb), PadSums.usualPadDb(excessDb));
    double headroomDb = padDb - excessDb;
    assertTrue(headroomDb >= 6 && headroomDb <= 12, "headroom " + headroomDb);
  }

  @ParameterizedTest
  @CsvSource({"-2.01", "-30", "34.01", "60", "NaN", "Infinity", "-Infinity"})
  void noUsualPad(double excessDb) {
    assertEquals(OptionalInt.empty(), PadSums.usualPadDb(excessDb));
  }

  @Test
  void adviceInASentence() {
    assertEquals(
        "Peaks 19.2 dB over the ceiling: a 30 dB pad brings them to 10.8 dB below it.",
        PadSums.adviceSentence(19.2));
    assertTrue(PadSums.adviceSentence(45).contains("turn the source's output down"));
    assertTrue(PadSums.adviceSentence(-20).contains("no pad is needed"));
    assertTrue(PadSums.adviceSentence(Double.NaN).contains("not known"));
    assertEquals(
        "Peaks 1.0 dB below the ceiling: a 10 dB pad brings them to 11.0 dB below it.",
        PadSums.adviceSentence(-1));
  }

  /** Worked by hand: differences of levels in dB, and the usual values of 10 to 40 dB. */
  @ParameterizedTest
  @CsvSource(
      delimiter = '|',
      textBlock =
          """
          4   | -31 | +4 dBu less -31 dBu is 35 dB: a 35 dB pad fits.
          4   | -30 | +4 dBu less -30 dBu is 34 dB: a 35 dB pad fits.
          4   | 4   | +4 dBu less +4 dBu is 0 dB: the input takes it as it is; no pad is needed.
          -20 | 0   | -20 dBu less 0 dBu is -20 dB: the input takes it as it is; no pad is needed.
          """)
  void howMuchAnInputIsOffered(double sourceDbu, double inputDbu, String sentence) {
    assertEquals(sentence, PadSums.inputSentence(sourceDbu, inputDbu));
  }

  @Test
  void moreThanOneUsualPadTakes() {
    assertEquals(
        "+20 dBu less -40 dBu is 60 dB: more than the largest usual pad; turn the source's output"
            + " down by 20 dB and use a 40 dB pad.",
        PadSums.inputSentence(20, -40));
  }
}
