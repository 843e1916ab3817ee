package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import hardpan.shoot.DeviceRules.Rule;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

@NullUnmarked
class DeviceRulesTest {
  @ParameterizedTest
  @CsvSource({
    "C0001.MP4, CARD/DCIM/C0001.MP4, true",
    "C*.MP4, CARD/DCIM/C0001.MP4, true",
    "c*.MP4, CARD/DCIM/C0001.MP4, false",
    "C000?.MP4, CARD/C0001.MP4, true",
    "C000?.MP4, CARD/C00012.MP4, false",
    "CARD, CARD/DCIM/C0001.MP4, true",
    "DCIM, CARD/DCIM/C0001.MP4, true",
    "CARD/DCIM, CARD/DCIM/C0001.MP4, true",
    "CARD/*.MP4, CARD/C0001.MP4, true",
    "CARD/*.MP4, CARD/DCIM/C0001.MP4, false",
    "CARD/**/*.MP4, CARD/DCIM/C0001.MP4, true",
    "CARD/**/*.MP4, CARD/C0001.MP4, true",
    "**.MP4, CARD/DCIM/C0001.MP4, true",
    "**/IMG_*, a/b/IMG_1.mov, true",
    "CARD, CARD-2/C0001.MP4, false",
    "C(1).mov, x/C(1).mov, true",
    "C.mov, x/Cxmov, false",
    "./CARD/, CARD/a.mov, true",
  })
  void patternsFitPathsAndFolders(String pattern, String path, boolean fits) {
    assertEquals(fits, Rule.parse("A=" + pattern).fits(path));
  }

  @Test
  void theFirstRuleThatFitsCounts() {
    DeviceRules rules =
        new DeviceRules(List.of(Rule.parse("A=CARD/x*"), Rule.parse(" B = CARD=1/* ")));
    assertEquals(Optional.of("A"), rules.deviceOf("CARD/x1.mov"));
    assertEquals(Optional.of("B"), rules.deviceOf("CARD=1/x1.mov"));
    assertEquals(Optional.empty(), rules.deviceOf("other/y.mov"));
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "A", "=x", "A=", " = ", "A=/"})
  void halfRulesAreRefused(String text) {
    assertThrows(IllegalArgumentException.class, () -> Rule.parse(text));
  }
}
