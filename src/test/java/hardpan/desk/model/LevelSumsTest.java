package hardpan.desk.model;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

/** 0 dBu is 0.7746 V (ITU-R BS.645-2, section 1), 0 dBV is 1 V. */
class LevelSumsTest {
  @Test
  void aSourceAloneChoosesNoPad() {
    for (String source : new String[] {"", "4", "\u221210dBV"}) {
      assertThat(LevelSums.of(source, " ", ""))
          .containsExactly(
              "Not enough to choose a pad: fill in what the input takes, or how much too hot a"
                  + " clip was.");
    }
  }

  @Test
  void whatIsKnownDecides() {
    assertThat(LevelSums.of("", "", "17 dB"))
        .containsExactly(
            "Peaks 17.0 dB over the ceiling: a 25 dB pad brings them to 8.0 dB below it.",
            "+4 dBu less 25 dB is \u221221 dBu = 69.0 mV (0 dBu = 0.7746 V).");
    assertThat(LevelSums.of("\u221210dBV", "10mV", ""))
        .containsExactly(
            "\u22127.78 dBu less \u221237.78 dBu is 30 dB: a 30 dB pad fits.",
            "\u22127.78 dBu less 30 dB is \u221237.78 dBu = 10.0 mV (0 dBu = 0.7746 V).");
    assertThat(LevelSums.of("4", "10", "").get(0)).endsWith("no pad is needed.");
    assertThat(LevelSums.of("4", "10", "")).hasSize(1);
  }

  @Test
  void whatCannotBeReadIsSaid() {
    assertThat(LevelSums.of("loud", "", "").get(0)).startsWith("'loud' is not a level");
    assertThat(LevelSums.of("0V", "", "").get(0)).contains("volts must be above 0");
    assertThat(LevelSums.of("", "", "much").get(0)).startsWith("'much' is no number of dB");
    assertThat(LevelSums.of("140", "", "").get(0)).startsWith("'140' is beyond");
  }
}
