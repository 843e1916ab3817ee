package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.signal.SeamTest;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;

/**
 * Measures how often the sound at a cut is judged rightly: true cuts through recorded voices and
 * music, gaps of up to 40 ms, and takes that do not belong together.
 */
public final class RunsBench {
  private static final long SEED = 20_260_517;
  private static final int CUTS = 200;
  private static final double SECONDS = 120;
  private static final int LONGEST_GAP = 1920;
  private static final int FADE = 256;

  private final Path voices;
  private final Path music;
  private final Monitor monitor;

  /**
   * A bench.
   *
   * @param voices folder with recorded voices
   * @param music folder with recorded music
   * @param monitor progress and cancel
   */
  public RunsBench(Path voices, Path music, Monitor monitor) {
    this.voices = voices;
    this.music = music;
    this.monitor = monitor;
  }

  /** What is done at a cut. */
  private enum Cut {
    TRUE("the same take, cut"),
    GAP("a gap of 1 to 1,920 frames"),
    OTHER_TAKE("another take"),
    FADED_IN("another take, faded in as by a decoder's first packet");

    private final String words;

    Cut(String words) {
      this.words = words;
    }
  }

  /**
   * Measures and gives a part of the page.
   *
   * @throws MediaException if the recordings cannot be read
   */
  public String page() throws MediaException {
    List<String> rows = new ArrayList<>();
    int scene = 0;
    for (boolean isMusic : new boolean[] {false, true}) {
      for (int channels : new int[] {1, 2}) {
        for (double noise : new double[] {1e-4, 1e-3}) {
          float[][] sound = scene(isMusic, channels, noise, SEED + scene++);
          for (Cut cut : Cut.values()) {
            monitor.checkCancelled();
            monitor.progress("judging cuts", rows.size() / 32.0);
            rows.add(row(isMusic, noise, sound, cut, SEED + rows.size()));
          }
        }
      }
    }
    return """
        ## Joins of parts

        Only the test of the sound at the cut is measured here, on uncompressed sound. The rules for compressed streams, time
        stamps and files side by side (docs/decisions/0014-joins-by-sound-and-stream.md) have tests, but no measured error rate.

        Measured by `hardpan bench runs`, seed %d: %d cuts each through two minutes of recorded voices (folder
        `%s`) and recorded music (folder `%s`), one or two channels, 16 bits, with a room's
        white noise of -80 or -60 dBFS; places are random, pauses included. *proved*: the sound goes on; *cannot tell*: such
        parts are joined only if their time stamps agree or the file before is full, and are marked; *refused*: it
        does not go on. The voices are short recordings end to end, so a few of the true cuts fall on a real break.

        | sound | channels | noise | cut | proved | cannot tell | refused |
        |---|---|---|---|---|---|---|
        %s
        """
        .formatted(SEED, CUTS, voices, music, String.join("\n", rows));
  }

  private float[][] scene(boolean isMusic, int channels, double noise, long seed)
      throws MediaException {
    SplittableRandom dice = new SplittableRandom(seed);
    float[][] sound = new float[channels][];
    for (int c = 0; c < channels; c++) {
      sound[c] = new SoundPool(isMusic ? music : voices, seed + 31L * c).take(SECONDS);
      for (int i = 0; i < sound[c].length; i++) {
        double x = 0.7 * sound[c][i] + noise * dice.nextGaussian();
        sound[c][i] = (float) (Math.rint(x * 32_768) / 32_768);
      }
    }
    return sound;
  }

  private static String row(boolean isMusic, double noise, float[][] sound, Cut cut, long seed) {
    SplittableRandom dice = new SplittableRandom(seed);
    int reach = SeamTest.USEFUL_FRAMES;
    int places = sound[0].length - 2 * reach - LONGEST_GAP;
    Map<SeamTest.Answer, Integer> answers = new EnumMap<>(SeamTest.Answer.class);
    for (int i = 0; i < CUTS; i++) {
      int end = reach + dice.nextInt(places);
      int start =
          switch (cut) {
            case TRUE -> end;
            case GAP -> end + dice.nextInt(1, LONGEST_GAP + 1);
            case OTHER_TAKE, FADED_IN -> reach + dice.nextInt(places);
          };
      float[][] after = part(sound, start, reach);
      if (cut == Cut.FADED_IN) {
        fadeIn(after);
      }
      SeamTest.Result result = SeamTest.test(part(sound, end - reach, reach), after);
      answers.merge(result.answer(), 1, Integer::sum);
    }
    return String.format(
        Locale.ROOT,
        "| %s | %d | %.0f dBFS | %s | %.2f %% | %.2f %% | %.2f %% |",
        isMusic ? "music" : "voices",
        sound.length,
        20 * Math.log10(noise),
        cut.words,
        100.0 * answers.getOrDefault(SeamTest.Answer.GOES_ON, 0) / CUTS,
        100.0 * answers.getOrDefault(SeamTest.Answer.CANNOT_TELL, 0) / CUTS,
        100.0 * answers.getOrDefault(SeamTest.Answer.BROKEN, 0) / CUTS);
  }

  private static void fadeIn(float[][] sound) {
    for (float[] channel : sound) {
      for (int i = 0; i < FADE; i++) {
        double rise = Math.sin(0.5 * Math.PI * (i + 0.5) / FADE);
        channel[i] *= (float) (rise * rise * rise * rise);
      }
    }
  }

  private static float[][] part(float[][] sound, int start, int count) {
    float[][] part = new float[sound.length][];
    for (int c = 0; c < part.length; c++) {
      part[c] = Arrays.copyOfRange(sound[c], start, start + count);
    }
    return part;
  }
}
