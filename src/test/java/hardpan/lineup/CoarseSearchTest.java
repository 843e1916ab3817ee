package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.signal.TestSounds;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

class CoarseSearchTest {
  private static final int RATE = 16_000;

  private static Scene scene;
  private static float[] event;
  private static Candidate reference;

  @BeforeAll
  static void record(@TempDir Path folder) throws Exception {
    scene = new Scene(folder);
    event = TestSounds.talk(71, 600, RATE);
    reference = scene.source("REC", RATE, event);
  }

  private static float[] heard(double offset, double seconds, int rateHz) {
    double ratio = RATE / (double) rateHz;
    return TestSounds.read(event, offset * RATE, ratio, (int) (seconds * rateHz));
  }

  @ParameterizedTest
  @CsvSource({
    "300.4, 6, 16000",
    "300.4, 60, 16000",
    "0, 8, 16000",
    "592, 8, 16000",
    "-10, 20, 16000",
    "585, 30, 16000",
    "-5, 610, 16000",
    "-400, 1200, 16000",
    "123.4, 20, 8000",
    "123.4, 20, 22050",
    "123.4, 20, 44100"
  })
  void theTruePlaceComesFirst(double offset, double seconds, int rateHz) throws Exception {
    float[] clip = heard(offset, seconds, rateHz);
    // Elsewhere the clip holds something else.
    float[] other = TestSounds.talk(72, seconds, rateHz);
    for (int i = 0; i < clip.length; i++) {
      double at = offset + i / (double) rateHz;
      clip[i] = at < 0 || at >= 600 ? other[i] : clip[i];
    }
    Candidate source = scene.source("CAM", rateHz, clip);
    List<CoarseSearch.Place> places = CoarseSearch.places(source, reference, 6, Monitor.SILENT);
    assertEquals(offset, places.get(0).offsetSeconds(), 0.05);
  }

  @Test
  void noMorePlacesThanWantedComeBestFirst() throws Exception {
    Candidate source = scene.source("CAM", RATE, TestSounds.talk(73, 30, RATE));
    List<CoarseSearch.Place> places = CoarseSearch.places(source, reference, 3, Monitor.SILENT);
    assertEquals(3, places.size());
    double last = Double.POSITIVE_INFINITY;
    for (CoarseSearch.Place place : places) {
      assertEquals(true, place.score() <= last);
      last = place.score();
    }
  }

  @Test
  void aPlaceStandsAloneIfItIsLikelyAndNoOtherComesNear() {
    CoarseSearch.Place likely = new CoarseSearch.Place(10, 14);
    assertTrue(CoarseSearch.standsAlone(List.of(likely), 1));
    assertTrue(CoarseSearch.standsAlone(List.of(likely, new CoarseSearch.Place(99, 7)), 1));
    assertFalse(CoarseSearch.standsAlone(List.of(likely, new CoarseSearch.Place(99, 7.1)), 1));
    assertFalse(CoarseSearch.standsAlone(List.of(new CoarseSearch.Place(10, 7.9)), 1));
    assertFalse(CoarseSearch.standsAlone(List.of(), 1));
    assertTrue(CoarseSearch.standsAlone(List.of(likely), 4));
    assertFalse(CoarseSearch.standsAlone(List.of(likely), 5));
  }
}
