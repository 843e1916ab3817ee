package hardpan.wave;

import com.code_intelligence.jazzer.junit.FuzzTest;

/**
 * Replays the saved inputs as an ordinary test; searches for new ones with {@code JAZZER_FUZZ=1}.
 * Allowed outcomes: success or one of the typed exceptions.
 */
class WaveHeaderFuzzTest {
  @FuzzTest(maxDuration = "10m")
  void headerAndSamples(byte[] file) {
    WaveDamageTest.readsOrFailsTyped(file);
  }
}
