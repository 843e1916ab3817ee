package hardpan.base;

import static org.junit.jupiter.api.Assertions.assertEquals;

import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class UsualPadsTest {
  @ParameterizedTest
  @CsvSource({"-50, 10", "0, 10", "10, 10", "10.01, 15", "24, 25", "40, 40", "40.1, 40", "NaN, 40"})
  void theSmallestThatIsEnough(double leastDb, int padDb) {
    assertEquals(padDb, UsualPads.atLeast(leastDb));
  }
}
