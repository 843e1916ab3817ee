package hardpan.bench;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.signal.Decibels;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class VerdictTrialsTest {
  private static final int RATE = 48_000;

  @Test
  void theSameSeedAndNumberMakeTheSameSound() {
    float[] once = SynthSounds.talk(new TrialDice(1, "x", 7), 3, RATE, 110);
    assertArrayEquals(once, SynthSounds.talk(new TrialDice(1, "x", 7), 3, RATE, 110));
    float[] other = SynthSounds.talk(new TrialDice(2, "x", 7), 3, RATE, 110);
    assertFalse(Arrays.equals(once, other));
    assertFalse(Arrays.equals(once, SynthSounds.talk(new TrialDice(1, "y", 7), 3, RATE, 110)));
  }

  /** A limiter that let a peak through, or flattened one, would spoil its trials. */
  @Test
  void theLimiterHoldsItsCeilingAndKeepsTopsRound() {
    float[] sound = SynthSounds.music(new TrialDice(3, "x", 1), 5, RATE);
    float[] held = TrialCraft.limit(TrialCraft.times(sound, 4), 0.5, 3, 100, RATE);
    assertTrue(TrialCraft.peak(held) <= 0.5 + 1e-6);
    int level = 0;
    for (int i = 2; i < held.length; i++) {
      boolean top = Math.abs(held[i]) > 0.49;
      level += top && held[i] == held[i - 1] && held[i] == held[i - 2] ? 1 : 0;
    }
    assertEquals(0, level);
  }

  @Test
  void humHasTheLevelAskedFor() {
    float[] hum = TrialCraft.hum(new TrialDice(4, "x", 1), 4 * RATE, RATE, 50, -40, 6, 0);
    double power = 0;
    for (float x : hum) {
      power += (double) x * x / hum.length;
    }
    assertEquals(-40, Decibels.ofPower(power), 0.1);
  }

  @Test
  void figuresReplaceTheirOwnPartOfAPageOnly(@TempDir Path folder) throws Exception {
    Path page = folder.resolve("page.md");
    Files.writeString(page, "# Page\n\ntext\n");
    String once = PageSection.in(page, "verdicts", "first");
    Files.writeString(page, once + "\nafter\n");
    String twice = PageSection.in(page, "verdicts", "second");
    assertTrue(once.startsWith("# Page\n\ntext\n"));
    assertTrue(once.contains("first"));
    assertFalse(twice.contains("first"));
    assertTrue(twice.contains("second") && twice.endsWith("after\n"));
  }
}
