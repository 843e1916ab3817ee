package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertSame;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.lineup.Placement.State;
import hardpan.lineup.StampVote.Sibling;
import hardpan.lineup.StampVote.Stamp;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/**
 * A camera whose clock is 7200 s and a bit ahead of the reference, and a clip of it that fits at
 * 100 s and at 340 s.
 */
@NullUnmarked
class StampVoteTest {
  private static final double AHEAD = 7200.4;

  private static Placement placed(double offset, double confidence) {
    return new Placement(
        State.PLACED, offset, 3.0, false, confidence, 0.01, 20.0, 0, 0, "Heard.", List.of());
  }

  private static Placement twice() {
    return new Placement(
            State.AMBIGUOUS, 100.0, 3.0, false, 0.5, 0.01, 20.0, 0, 0, "Two fit.", List.of())
        .with(
            new Placement.Notes(
                List.of(new Placement.Other(340, 3, true, 0.45)), List.of(), false, null, null));
  }

  private static List<Stamp> stamp(double seconds) {
    return List.of(new Stamp("name", seconds));
  }

  private static List<Sibling> siblings(double... errors) {
    List<Sibling> siblings = new ArrayList<>();
    for (int i = 0; i < errors.length; i++) {
      double offset = 1000.0 * (i + 1);
      siblings.add(new Sibling(placed(offset, 0.99), stamp(offset + AHEAD + errors[i])));
    }
    return siblings;
  }

  @Test
  void aClockKnownFromOthersDecidesAndSaysSo() {
    Placement first = StampVote.decided(twice(), stamp(100 + AHEAD + 1), siblings(0, 0.7, -0.6));
    assertEquals(State.PLACED, first.state());
    assertEquals(100, first.offsetSeconds());
    assertEquals(340, first.otherPlaces().get(0).offsetSeconds());
    assertTrue(first.confidence() < 0.8, "less sure than by sound alone");
    assertTrue(first.why().contains("The clock of its device, known from 3"), first.why());
    Placement second = StampVote.decided(twice(), stamp(340 + AHEAD - 2), siblings(0, 0.7));
    assertEquals(340, second.offsetSeconds());
    assertTrue(second.inverted());
    assertEquals(100, second.otherPlaces().get(0).offsetSeconds());
    assertEquals(0.55, second.otherPlaces().get(0).confidence(), 1e-9);
  }

  @ParameterizedTest
  @ValueSource(doubles = {3600, -3600, 86_400, -86_400 * 365.0, 0.5e9})
  void aClockThatIsAlwaysWrongDecidesAsWell(double wrong) {
    List<Sibling> siblings = siblings(wrong, wrong + 1, wrong - 1);
    Placement decided = StampVote.decided(twice(), stamp(340 + AHEAD + wrong), siblings);
    assertEquals(340, decided.offsetSeconds());
  }

  @ParameterizedTest
  @ValueSource(doubles = {3600, -3600, 7200, 86_400, -86_400, 31_536_000, 120, 25})
  void aStampThatLiesDecidesNothing(double lie) {
    Placement before = twice();
    assertSame(before, StampVote.decided(before, stamp(100 + AHEAD + lie), siblings(0, 0.7, -0.6)));
  }

  @Test
  void clocksThatAreNotKnownDecideNothing() {
    Placement before = twice();
    List<Stamp> own = stamp(100 + AHEAD);
    assertSame(before, StampVote.decided(before, own, siblings()));
    assertSame(before, StampVote.decided(before, own, siblings(0)), "one is not enough");
    assertSame(before, StampVote.decided(before, own, siblings(0, 0, 3600)), "set on the way");
    assertSame(before, StampVote.decided(before, List.of(), siblings(0, 0)));
    assertSame(before, StampVote.decided(before, List.of(new Stamp("tag", 100)), siblings(0, 0)));
    List<Sibling> doubtful =
        List.of(
            new Sibling(placed(1000, 0.6), stamp(1000 + AHEAD)),
            new Sibling(placed(2000, 0.6), stamp(2000 + AHEAD)),
            new Sibling(twice(), own));
    assertSame(before, StampVote.decided(before, own, doubtful));
  }

  @Test
  void twoKindsThatContradictDecideNothing() {
    Placement before = twice();
    List<Stamp> own = List.of(new Stamp("name", 100 + AHEAD), new Stamp("tag", 340));
    List<Sibling> siblings = new ArrayList<>();
    for (double offset : new double[] {1000, 2000}) {
      siblings.add(
          new Sibling(
              placed(offset, 0.99),
              List.of(new Stamp("name", offset + AHEAD), new Stamp("tag", offset))));
    }
    assertSame(before, StampVote.decided(before, own, siblings));
  }

  @Test
  void whatTheSoundPlacesOrRefusesIsNeverTouched() {
    Placement sound = placed(100, 0.99);
    assertSame(sound, StampVote.decided(sound, stamp(340 + AHEAD), siblings(0, 0)));
    Placement refused = Placement.unplaced("Nothing in common.", 0.9);
    assertSame(refused, StampVote.decided(refused, stamp(340 + AHEAD), siblings(0, 0)));
  }
}
