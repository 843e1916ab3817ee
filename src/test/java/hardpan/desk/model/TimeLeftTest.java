package hardpan.desk.model;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class TimeLeftTest {
  /** What is left takes as long as what is done took, share for share. */
  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      value = {
        "0.5; 1; ''",
        "0.01; 60; ''",
        "1; 60; ''",
        "0.5; 9; a few more seconds",
        "0.9; 90; a few more seconds",
        "0.5; 31; about 40 s left",
        "0.25; 20; about 1 min left",
        "0.1; 20; about 3 min left",
        "0.02; 72; about 59 min left"
      })
  void timeLeftIsSaidWhenItIsKnown(double share, long takenSeconds, String words) {
    TimeLeft left = new TimeLeft(5_000_000_000L);
    assertThat(left.words(share, (5 + takenSeconds) * 1_000_000_000L)).isEqualTo(words);
  }
}
