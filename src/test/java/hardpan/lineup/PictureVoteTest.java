package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.lineup.PictureVote.Heard;
import hardpan.lineup.Placement.State;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;

/**
 * Invented cameras before a stage. Truth: a camera 12 m away hears 35 ms late (343.2 m/s), so by
 * sound its first frame lies 35 ms too early.
 */
@NullUnmarked
class PictureVoteTest {
  private static final double FLIGHT = 12 / 343.2;
  private final Map<String, Heard> heard = new LinkedHashMap<>();

  private void add(
      String id, String device, double offset, int channel, int referenceChannel, Later... later) {
    Placement placement =
        new Placement(
                State.PLACED,
                offset,
                0.0,
                false,
                0.99,
                0.01,
                60.0,
                channel,
                referenceChannel,
                "Heard.",
                List.of(new Placement.Window(1, offset, true)))
            .with(new Placement.Notes(List.of(), Arrays.asList(later), false, null, null));
    heard.put(id, new Heard(device, placement));
  }

  private Placement seen(String id) {
    Placement seen = PictureVote.seen(heard, Set.of()).get(id);
    if (seen == null) {
      throw new AssertionError(id);
    }
    return seen;
  }

  private static Later ownLater(int channel, double seconds) {
    return new Later(false, channel, seconds);
  }

  @Test
  void aClipHeardThroughTheAirGoesLaterByItsFlight() {
    add("wired", "CAM", 10, 0, 0, ownLater(1, FLIGHT));
    add("far", "CAM", 100 - FLIGHT, 1, 0);
    Placement far = seen("far");
    assertEquals(100, far.offsetSeconds(), 1e-9);
    assertEquals(100, far.windows().get(0).delaySeconds(), 1e-9);
    assertTrue(far.notes().byPicture());
    assertEquals(FLIGHT, far.notes().flightSeconds(), 1e-9);
    assertTrue(far.why().contains("35.0 ms after"), far.why());
    Placement wired = seen("wired");
    assertEquals(10, wired.offsetSeconds(), 1e-9);
    assertEquals(0, wired.notes().flightSeconds(), 1e-9);
  }

  @Test
  void aClipHeldAgainstALateChannelOfTheReferenceGoesEarlierByThat() {
    add("wired", "CAM", 10, 0, 0, ownLater(1, FLIGHT), new Later(true, 3, 0.01));
    add("far", "CAM", 100 - FLIGHT + 0.01, 1, 3);
    assertEquals(100, seen("far").offsetSeconds(), 1e-9);
  }

  @Test
  void whatWasNotMeasuredStaysAndSaysSo() {
    add("alone", "PHONE", 50, 0, 0);
    add("wired", "CAM", 10, 0, 0, ownLater(1, FLIGHT));
    Placement alone = seen("alone");
    assertEquals(50, alone.offsetSeconds());
    assertFalse(alone.notes().byPicture());
    assertNull(alone.notes().flightSeconds());
    assertTrue(alone.why().contains("is not known"), alone.why());
  }

  @Test
  void measurementsThatContradictAreNotUsed() {
    add("one", "CAM", 10, 0, 0, ownLater(1, FLIGHT));
    add("two", "CAM", 20, 0, 0, ownLater(1, FLIGHT + 0.02));
    add("far", "CAM", 100, 1, 0);
    assertEquals(100, seen("far").offsetSeconds());
    assertFalse(seen("far").notes().byPicture());
  }

  @Test
  void twoSpeakersMicrophonesAreNotTakenForADistance() {
    add("first speaks", "CAM", 10, 0, 0, ownLater(1, 0.006));
    add("second speaks", "CAM", 20, 1, 1, ownLater(0, 0.006));
    add("again", "CAM", 30, 1, 1);
    assertEquals(30, seen("again").offsetSeconds());
    assertFalse(seen("again").notes().byPicture());
  }

  @Test
  void pinnedAndUnplacedSourcesStay() {
    add("wired", "CAM", 10, 0, 0, ownLater(1, FLIGHT));
    add("far", "CAM", 100, 1, 0);
    heard.put("none", new Heard("CAM", Placement.unplaced("Nothing in common.", 0.9)));
    Map<String, Placement> seen = PictureVote.seen(heard, Set.of("far"));
    for (String id : List.of("far", "none")) {
      Heard before = heard.get(id);
      assertSame(before == null ? null : before.placement(), seen.get(id));
    }
  }
}
