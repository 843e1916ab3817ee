package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.base.SourceClock;
import hardpan.lanes.ClockResampler;
import hardpan.lanes.SourcePositions;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.signal.LeastSquares;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.concurrent.CancellationException;

/**
 * Corrects the clock of pure tones and looks what came out: the tone's own level, and everything
 * that is not the tone (images, noise). SoX does the same on the same samples where it is
 * installed.
 */
public final class ResamplerBench {
  private static final int RATE_HZ = 48_000;
  private static final int SECONDS = 8;
  private static final double AMPLITUDE = 0.9;
  private static final double PHASE = 0.3;
  private static final double[] TONES_HZ = {97, 997, 4999, 9973, 14_983, 17_989, 19_997};
  private static final double[] CLOCKS_PPM = {50, -100};
  private static final double[] BENT_PPM = {20, -20, 5, -35};
  private static final int BENT_SECONDS = SECONDS / 4;
  private static final int SKIPPED = RATE_HZ / 2;

  private final Monitor monitor;

  /** A bench. */
  public ResamplerBench(Monitor monitor) {
    this.monitor = monitor;
  }

  /** What is left of a tone. */
  private record Rest(double gainDb, double restDb) {}

  /**
   * Measures and gives the section.
   *
   * @return Markdown
   * @throws MediaException if a file cannot be read back
   * @throws IOException if no temporary folder can be used
   */
  public String page() throws MediaException, IOException {
    Path folder = Files.createTempDirectory("hardpan-resampler-");
    try {
      List<String> rows = new ArrayList<>();
      double worstGain = 0;
      double worstRest = -300;
      boolean hasSox = false;
      for (double ppm : CLOCKS_PPM) {
        for (double tone : TONES_HZ) {
          monitor.checkCancelled();
          float[] sound = tone(tone);
          double speed = 1 + ppm * 1e-6;
          Rest own = rest(own(sound, speed), tone * speed);
          float[] theirs = sox(folder, sound, ppm);
          hasSox |= theirs.length > 0;
          worstGain = Math.max(worstGain, Math.abs(own.gainDb()));
          worstRest = Math.max(worstRest, own.restDb());
          rows.add(
              String.format(
                  Locale.ROOT,
                  "| %+.0f ppm | %.0f | %+.6f | %.1f | %s |",
                  ppm,
                  tone,
                  own.gainDb(),
                  own.restDb(),
                  theirs.length == 0 ? "| " : words(rest(theirs, tone * speed))));
        }
      }
      List<String> bentRows = new ArrayList<>();
      double worstBentGain = 0;
      double worstBentRest = -300;
      double worstNanoseconds = 0;
      for (double tone : TONES_HZ) {
        monitor.checkCancelled();
        Bent bent = bent(tone);
        worstBentGain = Math.max(worstBentGain, Math.abs(bent.gainDb()));
        worstBentRest = Math.max(worstBentRest, bent.restDb());
        worstNanoseconds = Math.max(worstNanoseconds, Math.abs(bent.nanoseconds()));
        bentRows.add(
            String.format(
                Locale.ROOT,
                "| %.0f | %+.6f | %.1f | %+.4f |",
                tone,
                bent.gainDb(),
                bent.restDb(),
                bent.nanoseconds()));
      }
      return """
          ## Correcting clocks

          Measured by `hardpan bench resampler`: tones of %d s at %.1f dBFS, 48 kHz, 32-bit float, through the resampler that
          lanes are written with, and %s. The tone is fitted (level, phase,
          frequency) to all but the first and last half second; "rest" is everything else, in dB below the tone: images, noise and
          rounding. Bounds wanted: the level within 0.01 dB up to 20 kHz, the rest below -120 dB.

          **Level within %.6f dB, rest below %.1f dB.**

          | clock | tone in Hz | level in dB | rest in dB | SoX: level | SoX: rest |
          |---|---|---|---|---|---|
          %s

          The same through a clock that bends by %s, beginning at 0, against the tone at the very moments of the
          lane (level, phase and offset are fitted to it, no frequency); "phase" is what the fitted one is off, as time.

          **Level within %.6f dB, rest below %.1f dB, phase within %.4f ns.**

          | tone in Hz | level in dB | rest in dB | phase in ns |
          |---|---|---|---|
          %s
          """
          .formatted(
              SECONDS,
              20 * Math.log10(AMPLITUDE),
              hasSox
                  ? "through SoX on the same samples (`sox in.wav -r 48000 -e floating-point -b 32"
                      + " out.wav speed S rate -v`)"
                  : "SoX was not there to compare",
              worstGain,
              worstRest,
              String.join("\n", rows),
              bentWords(),
              worstBentGain,
              worstBentRest,
              worstNanoseconds,
              String.join("\n", bentRows));
    } finally {
      FolderTree.delete(folder);
    }
  }

  private static String words(Rest rest) {
    return String.format(Locale.ROOT, "%+.6f | %.1f", rest.gainDb(), rest.restDb());
  }

  private static float[] tone(double frequencyHz) {
    float[] sound = new float[SECONDS * RATE_HZ];
    for (int i = 0; i < sound.length; i++) {
      sound[i] = (float) (AMPLITUDE * Math.sin(2 * Math.PI * frequencyHz / RATE_HZ * i + PHASE));
    }
    return sound;
  }

  private static float[] own(float[] sound, double speed) {
    ClockResampler resampler = new ClockResampler(speed, 0);
    float[] first = resampler.add(sound, sound.length);
    float[] last = resampler.finish();
    float[] all = Arrays.copyOf(first, first.length + last.length);
    System.arraycopy(last, 0, all, first.length, last.length);
    return all;
  }

  /** What is left of a tone whose moments are known. */
  private record Bent(double gainDb, double restDb, double nanoseconds) {}

  private static String bentWords() {
    List<String> words = new ArrayList<>();
    for (double ppm : BENT_PPM) {
      words.add(String.format(Locale.ROOT, "%+.0f ppm", ppm));
    }
    return String.join(", ", words) + ", each for " + BENT_SECONDS + " s";
  }

  /** A tone through a clock that bends. */
  private static Bent bent(double frequencyHz) {
    double[] knots = new double[BENT_PPM.length + 1];
    double[] beside = new double[BENT_PPM.length + 1];
    for (int i = 0; i < BENT_PPM.length; i++) {
      knots[i + 1] = knots[i] + BENT_SECONDS;
      beside[i + 1] = beside[i] + BENT_SECONDS * BENT_PPM[i] * 1e-6;
    }
    ClockResampler resampler =
        new ClockResampler(
            SourcePositions.of(SourceClock.bent(0, 0, knots, beside), RATE_HZ, RATE_HZ, 0));
    float[] sound = tone(frequencyHz);
    float[] out = resampler.add(sound, sound.length);
    LeastSquares task = new LeastSquares(3);
    for (int i = SKIPPED; i < out.length - SKIPPED; i++) {
      double turn = turn(frequencyHz, i);
      task.add(new int[] {0, 1, 2}, new double[] {Math.sin(turn), Math.cos(turn), 1}, out[i], 1);
    }
    task.solve();
    double left = 0;
    for (int i = SKIPPED; i < out.length - SKIPPED; i++) {
      double turn = turn(frequencyHz, i);
      double x =
          out[i] - task.value(0) * Math.sin(turn) - task.value(1) * Math.cos(turn) - task.value(2);
      left += x * x;
    }
    double amplitude = Math.hypot(task.value(0), task.value(1));
    double power = left / (out.length - 2 * SKIPPED);
    return new Bent(
        20 * Math.log10(amplitude / AMPLITUDE),
        10 * Math.log10(Math.max(power, 1e-30) / (amplitude * amplitude / 2)),
        1e9 * Math.atan2(task.value(1), task.value(0)) / (2 * Math.PI * frequencyHz));
  }

  /** The tone's phase where a frame of the lane lies, by going through the clock's pieces. */
  private static double turn(double frequencyHz, int frame) {
    double left = (double) frame / RATE_HZ;
    double source = 0;
    int piece = 0;
    while (piece + 1 < BENT_PPM.length && left > BENT_SECONDS * (1 + BENT_PPM[piece] * 1e-6)) {
      left -= BENT_SECONDS * (1 + BENT_PPM[piece] * 1e-6);
      source += BENT_SECONDS;
      piece++;
    }
    source += left / (1 + BENT_PPM[piece] * 1e-6);
    return 2 * Math.PI * frequencyHz * source + PHASE;
  }

  /** The same by SoX; empty if it is not installed. */
  private static float[] sox(Path folder, float[] sound, double ppm)
      throws MediaException, IOException {
    Path in = folder.resolve("in.wav");
    Path out = folder.resolve("out.wav");
    Files.deleteIfExists(in);
    Files.deleteIfExists(out);
    try (WaveFileWriter writer =
        WaveFileWriter.create(in, WaveFormat.float32(RATE_HZ, 1), WaveMetadata.NONE)) {
      writer.writeFloats(new float[][] {sound}, sound.length);
      writer.finish();
    }
    List<String> command =
        List.of(
            "sox",
            in.toString(),
            "-r",
            Integer.toString(RATE_HZ),
            "-e",
            "floating-point",
            "-b",
            "32",
            out.toString(),
            "speed",
            String.format(Locale.ROOT, "%.6f", 1 + ppm * 1e-6),
            "rate",
            "-v");
    Process process;
    try {
      process = new ProcessBuilder(command).redirectErrorStream(true).start();
    } catch (IOException e) {
      // Not installed.
      return new float[0];
    }
    try {
      process.getInputStream().transferTo(OutputStream.nullOutputStream());
      if (process.waitFor() != 0) {
        return new float[0];
      }
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      throw new CancellationException("interrupted");
    }
    try (SourceReader reader = SourceOpener.open(out)) {
      float[][] block = new float[1][SECONDS * RATE_HZ];
      int got = reader.readAt(0, block, block[0].length);
      return Arrays.copyOf(block[0], Math.max(0, got));
    }
  }

  /** Fits the tone and measures what is left. */
  private static Rest rest(float[] sound, double frequencyHz) {
    double omega = 2 * Math.PI * frequencyHz / RATE_HZ;
    int from = SKIPPED;
    int to = sound.length - SKIPPED;
    double middle = 0.5 * (from + to);
    double[] fit = new double[3];
    for (int round = 0; round < 3; round++) {
      LeastSquares task = new LeastSquares(4);
      for (int i = from; i < to; i++) {
        double sine = Math.sin(omega * (i - middle));
        double cosine = Math.cos(omega * (i - middle));
        double time = (i - middle) / (to - from);
        double turned = time * (fit[0] * cosine - fit[1] * sine);
        task.add(new int[] {0, 1, 2, 3}, new double[] {sine, cosine, 1, turned}, sound[i], 1);
      }
      task.solve();
      fit = new double[] {task.value(0), task.value(1), task.value(2)};
      omega += round == 0 ? 0 : task.value(3) / (to - from);
    }
    double left = 0;
    for (int i = from; i < to; i++) {
      double x =
          sound[i]
              - fit[0] * Math.sin(omega * (i - middle))
              - fit[1] * Math.cos(omega * (i - middle))
              - fit[2];
      left += x * x;
    }
    double amplitude = Math.hypot(fit[0], fit[1]);
    double power = left / (to - from);
    return new Rest(
        20 * Math.log10(amplitude / AMPLITUDE),
        10 * Math.log10(Math.max(power, 1e-30) / (amplitude * amplitude / 2)));
  }
}
