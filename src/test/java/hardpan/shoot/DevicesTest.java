package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.List;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

@NullUnmarked
class DevicesTest {
  @ParameterizedTest
  @CsvSource({
    "CAM-A/a1.mov|CAM-A/a2.mov|REC/t.wav, CAM-A|CAM-A|REC",
    "supper/CAM-A/a1.mov|supper/REC/t.wav, CAM-A|REC",
    "CAM-A/DCIM/100/a1.mov|CAM-B/DCIM/100/b1.mov, CAM-A|CAM-B",
    "CARDS/CAM-A/a.mov|CARDS/CAM-B/b.mov|REC/t.wav, CAM-A|CAM-B|REC",
    "CAM-A/sat/a.mov|CAM-A/sun/b.mov|CAM-B/sun/c.mov, sat|CAM-A-sun|CAM-B-sun",
    "DCIM/100ABCDE/a1.mov, a",
    "clip0001.mov|clip0002.mov|take-01.wav, clip|clip|take",
    "0001.mov|0002.mov, 0001|0002",
    "CAM-A/a1.mov, CAM-A",
    "a1.mov, a",
    "CAM-A/a1.mov|t.wav, CAM-A|t",
    "CAM-A/a1.mov|CAM-A/a2.mov, CAM-A|CAM-A",
    "A_01.mov|A_02.mov|B_01.mov, A|A|B",
    ".hidden|x., .hidden|x",
  })
  void devicesAreGuessedFromFoldersOrNames(String paths, String devices) {
    List<String> given = List.of(paths.split("\\|", -1));
    var guesses = Devices.guess(given);
    assertEquals(List.of(devices.split("\\|", -1)), given.stream().map(guesses::get).toList());
  }
}
