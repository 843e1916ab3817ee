package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;

import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The words are common practice, no source; AC-3 is the name in ATSC A/52. */
@NullUnmarked
class CodecWordsTest {
  @ParameterizedTest
  @CsvSource({
    "pcm_s16le, 16, PCM 16 bit",
    "pcm_s16be, , PCM 16 bit",
    "pcm_s32le, 24, PCM 24 bit",
    "pcm_u8, 8, PCM 8 bit",
    "pcm_f32le, 32, PCM 32 bit float",
    "pcm_mulaw, , G.711 \u00b5-law",
    "aac, , AAC",
    "ac3, , AC-3",
    "flac, 24, 'FLAC, 24 bit'",
    "nellymoser, , nellymoser",
    ", 24, 24 bit"
  })
  void codecsAreSaidAsPeopleSayThem(String codec, Integer bits, String words) {
    assertEquals(words, CodecWords.of(codec, bits));
  }

  @Test
  void whatIsNotKnownIsNotSaid() {
    assertNull(CodecWords.of(null, null));
  }
}
