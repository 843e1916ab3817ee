package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;

import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

@NullUnmarked
class PictureCountTest {
  /** Drop-frame leaves out the names 00 and 01 of a minute that is no tenth (SMPTE ST 12-1). */
  @ParameterizedTest
  @CsvSource({
    "10:12:00:00 at 25 a second, 0, 10:12:00:00",
    "10:12:00:00 at 25 a second, 1.99, 10:12:01:24",
    "10:12:00:00 at 25 a second, 2, 10:12:02:00",
    "23:59:59:24 at 25 a second, 0.04, 00:00:00:00",
    "'00:00:59;29 at 30000/1001 a second, drop-frame', 0.034, 00:01:00;02",
    "'00:09:59;29 at 30000/1001 a second, drop-frame', 0.034, 00:10:00;00",
    "01:00:00:00 at 24000/1001 a second, 1.002, 01:00:01:00",
  })
  void labelsAreCounted(String raw, double seconds, String label) {
    PictureCount count = PictureCount.parse(raw);
    assertNotNull(count);
    assertEquals(label, count.labelAt(seconds));
  }

  @Test
  void everyPictureOfAnHourStartsWhereItsLabelSays() {
    PictureCount count = PictureCount.parse("10:00:00:00 at 30000/1001 a second");
    for (int picture = 0; picture < 108_000; picture += 7) {
      String label = count.labelAt(picture * count.pictureSeconds());
      assertEquals(String.format("%02d", picture % 30), label.substring(9));
    }
  }

  @Test
  void whatCannotBeCountedIsLeft() {
    assertNull(PictureCount.parse("noon"));
    assertNull(PictureCount.parse("10:00:00:00 at 17 a second"));
    assertNull(PictureCount.parse("00:01:00;00 at 30000/1001 a second, drop-frame"));
    assertNull(PictureCount.parse("10:00:00:00 at 25/0 a second"));
  }
}
