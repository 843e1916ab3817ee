package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;

import java.time.LocalDateTime;
import java.time.ZoneOffset;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Names made up after their structure; each can be read by eye. */
@NullUnmarked
class NameTimeTest {
  @ParameterizedTest
  @CsvSource({
    "20260214_183005.mp4, 2026-02-14T18:30:05",
    "VID_20260214_183005.mp4, 2026-02-14T18:30:05",
    "VID-20260214-183005-2.mp4, 2026-02-14T18:30:05",
    "20260214183005.wav, 2026-02-14T18:30:05",
    "P_20260214_183005123.mp4, 2026-02-14T18:30:05",
    "2026-02-14 18.30.05.mov, 2026-02-14T18:30:05",
    "2026-02-14_18-30-05.mkv, 2026-02-14T18:30:05",
    "2026-02-14T18-30-05.wav, 2026-02-14T18:30:05",
    "Take 2026-02-14 at 6.30.05 PM.m4a, 2026-02-14T18:30:05",
    "2026-02-14 at 12.00.05 AM.m4a, 2026-02-14T00:00:05",
    "REC 2026-02-14 18h30m05s.wav, 2026-02-14T18:30:05",
    "260214_183005.wav, 2026-02-14T18:30:05",
    "HALL-260214-183005_Tr1.wav, 2026-02-14T18:30:05",
    "C0012_20240229_000000.mp4, 2024-02-29T00:00",
  })
  void dateAndTimeAreFoundByTheirStructure(String name, String expected) {
    NameTime found = NameTime.parse(name);
    assertNotNull(found, name);
    assertEquals(LocalDateTime.parse(expected), found.local(), name);
    assertNull(found.offset());
    assertEquals(name.contains("260214") && !name.contains("20260214"), found.shortYear());
  }

  @Test
  void aZSaysThatItIsUtc() {
    assertEquals(ZoneOffset.UTC, NameTime.parse("20260214T183005Z.mp4").offset());
    assertNull(NameTime.parse("20260214T183005Zoo.mp4").offset());
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "C0001.MP4",
        "00000.MTS",
        "20260214.wav",
        "20261314_183005.mp4",
        "20260230_183005.mp4",
        "20260214_246005.mp4",
        "123456_789012.mp4",
        "120260214_183005.mp4",
        "20260214_1830051234567.mp4",
        "2026-02-14 at 13.30.05 PM.m4a",
        "take-01.wav",
        "",
      })
  void otherNumbersAreNoTimes(String name) {
    assertNull(NameTime.parse(name), name);
  }
}
