package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.media.SourceReader;
import hardpan.signal.TestSounds;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is believed where single windows prove nothing. */
class FineSearchTest {
  private static final int RATE = 48_000;
  private static final double OFFSET_SECONDS = 31.37;
  private static final double DRIFT = 20e-6;

  private static Scene scene;
  private static float[] event;
  private static Candidate reference;

  @BeforeAll
  static void record(@TempDir Path folder) throws Exception {
    scene = new Scene(folder);
    event = TestSounds.talk(51, 120, RATE);
    reference = scene.source("REC", RATE, event);
  }

  /**
   * Twelve seconds that come and go in loudness as the event does, but are mostly noise: what is
   * left of a voice in a crowd behind a poor codec.
   *
   * @param share how much of the true sound is in it, against the noise
   */
  private static Candidate clip(double share, long seed) throws Exception {
    int count = 12 * RATE;
    float[] sound = TestSounds.read(event, OFFSET_SECONDS * RATE, 1 + DRIFT, count);
    float[] noise = TestSounds.noise(seed, count, 1);
    double envelope = 0;
    for (int i = 0; i < count; i++) {
      envelope = Math.max(Math.abs(sound[i]), envelope * (1 - 1 / (0.01 * RATE)));
      noise[i] *= (float) envelope;
    }
    return scene.source("CAM", RATE, TestSounds.sum(noise, TestSounds.gain(sound, share)));
  }

  private static @Nullable Measured found(Candidate clip, double offsetSeconds, boolean alone)
      throws Exception {
    try (SourceReader reader = reference.sound().open()) {
      FineSearch fine = search(clip, reader);
      Proof proof = fine.prove(offsetSeconds, alone);
      return proof == null ? null : fine.measure(proof);
    }
  }

  private static FineSearch search(Candidate clip, SourceReader reader) throws Exception {
    return new FineSearch(
        clip,
        new ReferenceWindows(reader, reference, clip.rateHz()),
        reference.channels(),
        Monitor.SILENT);
  }

  @Test
  void weakAgreementIsBelievedOnlyWhereThePlaceStandsAloneAndTheLineLiesThere() throws Exception {
    int rescued = 0;
    for (int seed = 1; seed <= 6; seed++) {
      Candidate clip = clip(0.07, seed);
      Measured plain = found(clip, OFFSET_SECONDS, false);
      Measured alone = found(clip, OFFSET_SECONDS, true);
      if (plain == null && alone != null) {
        rescued++;
        double middle = 6;
        assertEquals(
            OFFSET_SECONDS + DRIFT * middle, alone.line().at(middle), 0.001, "seed " + seed);
        assertNull(found(clip, OFFSET_SECONDS + 0.2, true), "seed " + seed);
      }
    }
    assertTrue(rescued >= 3, rescued + " of 6");
  }

  @Test
  void whatAgreesWellIsBelievedEitherWay() throws Exception {
    Candidate clip = clip(1, 7);
    for (boolean alone : new boolean[] {false, true}) {
      Measured measured = found(clip, OFFSET_SECONDS, alone);
      assertNotNull(measured);
      assertEquals(OFFSET_SECONDS, measured.line().intercept(), 0.0005);
    }
  }

  /** Not the bound alone: far more than what a stranger's windows come to by chance. */
  @Test
  void noiseThatComesAndGoesAlikeIsNotBelievedAndStaysWellBelow() throws Exception {
    double highest = 0;
    for (int seed = 11; seed <= 26; seed++) {
      try (SourceReader reader = reference.sound().open()) {
        FineSearch fine = search(clip(0, seed), reader);
        assertNull(fine.prove(OFFSET_SECONDS, true), "seed " + seed);
        highest = Math.max(highest, fine.highestStack());
      }
    }
    assertTrue(highest > 3 && highest < 7.5, "highest of 16: " + highest);
  }

  @Test
  void whatIsBelievedSoIsNeverBeyondDoubt() throws Exception {
    for (int seed = 1; seed <= 6; seed++) {
      try (SourceReader reader = reference.sound().open()) {
        FineSearch fine = search(clip(0.07, seed), reader);
        boolean plain = fine.prove(OFFSET_SECONDS, false) != null;
        Proof proof = fine.prove(OFFSET_SECONDS, true);
        if (!plain && proof != null) {
          assertTrue(proof.line().isWeak());
          assertFalse(proof.isSure() || proof.isPlain(), "seed " + seed);
        }
      }
    }
  }
}
