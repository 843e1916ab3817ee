package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Placement;
import hardpan.media.DecodePass;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.shoot.PlacedExcess;
import hardpan.signal.Decibels;
import hardpan.signal.Statistics;
import hardpan.verdict.Clipping;
import hardpan.verdict.VerdictListener;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;

/**
 * Feeds that were cut off in a camera and recorded uncut on a recorder, and how well the excess is
 * read off the two.
 */
final class PlacedTrials {
  private static final double BEFORE_SECONDS = 2;

  private final TrialSounds sounds;
  private final long seed;
  private final List<Double> errors = new ArrayList<>();
  private final List<Double> signed = new ArrayList<>();
  private int refused;
  private int unseen;

  PlacedTrials(TrialSounds sounds, long seed) {
    this.sounds = sounds;
    this.seed = seed;
  }

  /** Makes one, measures it and counts it. Safe to call from several threads. */
  void run(int index, Path folder) throws MediaException, IOException {
    TrialDice dice = new TrialDice(seed, "placed", index);
    int rateHz = 48_000;
    float[] feed = sounds.any(dice, dice.between(8, 16), rateHz);
    double excessDb = dice.between(2, 28);
    double ceiling = Decibels.toAmplitude(dice.between(-8, 0));
    float[] hot = TrialCraft.toPeak(feed, ceiling * Decibels.toAmplitude(excessDb));
    float[] noise = TrialCraft.noise(dice, hot.length, dice.between(-95, -75));
    float[] cut = TrialCraft.sum(TrialCraft.cut(hot, ceiling, ceiling), noise);
    double between = dice.between(0, 1) / rateHz;
    float[] recorded = new float[hot.length + (int) (2 * BEFORE_SECONDS * rateHz)];
    System.arraycopy(hot, 0, recorded, (int) (BEFORE_SECONDS * rateHz), hot.length);
    recorded = TrialCraft.later(recorded, between, rateHz);
    TrialCraft.toPeak(recorded, Decibels.toAmplitude(dice.between(-30, -3)));
    recorded =
        TrialCraft.sum(recorded, TrialCraft.noise(dice, recorded.length, dice.between(-100, -85)));
    // As exactly as line-up places a direct feed.
    double offset = BEFORE_SECONDS + between + 5e-6 * dice.normal();
    String own = Thread.currentThread().getId() + ".mov";
    TrialCodec codec = TrialCodec.draw(dice);
    Path camera = write(folder.resolve("camera-" + own), codec, rateHz, cut);
    Path recorder = write(folder.resolve("recorder-" + own), TrialCodec.PCM24, rateHz, recorded);
    try (SourceReader clip = SourceOpener.open(camera);
        SourceReader recording = SourceOpener.open(recorder)) {
      VerdictListener listener = new VerdictListener(clip.facts());
      DecodePass.run(clip, List.of(listener), Monitor.SILENT);
      Clipping clipping = listener.finish().channels().get(0).clipping();
      Placement place =
          new Placement(
              Placement.State.PLACED,
              offset,
              0.0,
              false,
              1,
              0.01,
              (double) hot.length / rateHz,
              0,
              0,
              "",
              List.of());
      OptionalDouble told = OptionalDouble.empty();
      if (clipping.clipped()) {
        told =
            PlacedExcess.measure(
                clip, 0, clipping, recording, 0, recorded.length, place, Monitor.SILENT);
      }
      count(clipping.clipped(), told, excessDb);
    } finally {
      Files.deleteIfExists(camera);
      Files.deleteIfExists(recorder);
    }
  }

  private synchronized void count(boolean seen, OptionalDouble told, double excessDb) {
    if (!seen) {
      unseen++;
    } else if (told.isEmpty()) {
      refused++;
    } else {
      errors.add(Math.abs(told.getAsDouble() - excessDb));
      signed.add(told.getAsDouble() - excessDb);
    }
  }

  private static Path write(Path file, TrialCodec codec, int rateHz, float[] sound)
      throws MediaException {
    float[][] planar = {sound, sound};
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, codec.settings(rateHz, 2))) {
      writer.write(planar, sound.length);
    }
    return file;
  }

  /** Middle size of the errors in dB; NaN for none. */
  double medianDb() {
    return Statistics.median(array(errors));
  }

  int told() {
    return errors.size();
  }

  String text() {
    return String.format(
        Locale.ROOT,
        """
        Excess with a placed recorder (2 to 28 dB, any codec): %d told, median of the size %.2f dB, nine of
        ten within %.2f dB, median with its sign %.2f dB; %d were not told because recorder and camera
        did not agree closely enough, %d because the cut was not seen.
        """,
        errors.size(),
        medianDb(),
        errors.isEmpty() ? Double.NaN : Statistics.quantile(array(errors), 0.9),
        Statistics.median(array(signed)),
        refused,
        unseen);
  }

  private static double[] array(List<Double> values) {
    return values.stream().mapToDouble(x -> x).toArray();
  }
}
