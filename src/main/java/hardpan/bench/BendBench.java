package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lanes.DriftCorrection;
import hardpan.lineup.ClockBend;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.report.LaneReport;
import hardpan.report.Report;
import hardpan.shoot.HandOver;
import hardpan.shoot.Scratch;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSource;
import hardpan.shoot.ShootSteps;
import hardpan.signal.SincInterpolator;
import hardpan.signal.Statistics;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.SplittableRandom;
import java.util.function.DoubleUnaryOperator;
import org.jspecify.annotations.Nullable;

/**
 * How far the lanes of clips with bent clocks lie from the reference, with the bend followed and
 * without. Sound is known at every moment by a formula, and a clip's samples are that formula at
 * the moments its clock takes them. The whole way is gone: line-up, lanes, hand-over; then windows
 * of the written lanes are correlated with the reference's own file.
 */
public final class BendBench {
  private static final long SEED = 20_261_125;
  private static final int RATE_HZ = 16_000;
  private static final double REFERENCE_SECONDS = 1100;
  private static final double DRIFT_PPM = 30;
  private static final double NOISE = 2e-3;

  /** Way of the sound, as time and periods of a body's movements; common practice, no source. */
  private static final double SWAY_SECONDS = 12e-6;

  private static final double[] SWAYS_SECONDS = {3.7, 5.3, 7.1};
  private static final int BLOCK = 1 << 14;
  private static final int WINDOW = 2 * RATE_HZ;
  private static final double EVERY_SECONDS = 20;
  private static final int MOST_LAG = 12 * RATE_HZ / 1000;

  /** The courses of clocks: seconds beside a straight line, by source seconds. */
  private static final List<Course> COURSES =
      List.of(
          new Course("keeps straight", 650, s -> 0),
          new Course("+2 ppm, from the middle on -2 ppm", 700, s -> tent(2, 700, s)),
          new Course("+1.2 ppm, from the middle on -1.2 ppm", 1000, s -> tent(1.2, 1000, s)),
          new Course("+5 ppm, from the middle on -5 ppm", 650, s -> tent(5, 650, s)),
          new Course("+10 ppm, from the middle on -10 ppm", 650, s -> tent(10, 650, s)),
          new Course("+20 ppm, from the middle on -20 ppm", 650, s -> tent(20, 650, s)),
          new Course(
              "+20 ppm, -20 ppm and +20 ppm, each for a third",
              990,
              s -> 20e-6 * Math.min(s, Math.abs(s - 660))),
          new Course("0.2 ms x (1 - exp(-t / 250 s))", 900, s -> warm(0.2e-3, 250, s)),
          new Course("0.5 ms x (1 - exp(-t / 250 s))", 900, s -> warm(0.5e-3, 250, s)),
          new Course("1 ms x (1 - exp(-t / 250 s))", 900, s -> warm(1e-3, 250, s)),
          new Course("3 ms x (1 - exp(-t / 250 s))", 900, s -> warm(3e-3, 250, s)),
          new Course(
              "1 ms x (1 - exp(-t / 250 s)), and who speaks sways by some 5 mm",
              900,
              s -> warm(1e-3, 250, s) + sway(s)),
          new Course("jumps by 0.3 ms after 300 s", 700, s -> s < 300 ? 0 : 0.3e-3),
          new Course("jumps by 3 ms after 300 s", 700, s -> s < 300 ? 0 : 3e-3));

  private final Monitor monitor;

  /** A bench. */
  public BendBench(Monitor monitor) {
    this.monitor = monitor;
  }

  /**
   * A clock.
   *
   * @param words for the table
   * @param seconds length of its clip
   * @param beside seconds beside a straight line
   */
  private record Course(String words, double seconds, DoubleUnaryOperator beside) {
    double offsetSeconds() {
      return 20.123_456 + seconds / 100;
    }

    double eventSeconds(double sourceSeconds) {
      return offsetSeconds()
          + sourceSeconds * (1 + DRIFT_PPM * 1e-6)
          + beside.applyAsDouble(sourceSeconds);
    }
  }

  /** Absolute distances of windows. */
  private record Off(double medianMs, double largestMs, int windows) {
    String cells() {
      return String.format(Locale.ROOT, "%.4f | %.4f", medianMs, largestMs);
    }
  }

  private static double tent(double ppm, double seconds, double at) {
    return ppm * 1e-6 * Math.min(at, seconds - at);
  }

  private static double sway(double at) {
    double sum = 0;
    for (double period : SWAYS_SECONDS) {
      sum += SWAY_SECONDS * Math.sin(2 * Math.PI * at / period);
    }
    return sum;
  }

  private static double warm(double by, double withinSeconds, double at) {
    return by * (1 - Math.exp(-at / withinSeconds));
  }

  /**
   * Measures and gives the section.
   *
   * @return Markdown
   * @throws MediaException if a file cannot be read back
   * @throws IOException if no temporary folder can be used
   * @throws ShootException if the hand-over fails
   */
  public String page() throws MediaException, IOException, ShootException {
    Path folder = Files.createTempDirectory("hardpan-bends-");
    try (Scratch scratch = Scratch.create()) {
      Path shootFolder = folder.resolve("shoot");
      make(shootFolder);
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, monitor);
      Shoot bent =
          steps.lineUp(
              steps.read(steps.find(List.of(shootFolder))), shootFolder.resolve("REC/event.wav"));
      Map<String, Off> followed = lanes(bent, folder, "bent");
      Map<String, Off> before = lanes(straightened(bent), folder, "straight");
      List<String> rows = new ArrayList<>();
      for (int i = 0; i < COURSES.size(); i++) {
        rows.add(row(COURSES.get(i), path(i), bent, before, followed));
      }
      return """
          ## Bent clocks

          Measured by `hardpan bench bends`, seed %d: sound known by a formula (12 tones whose pitch and level swing), a
          reference of %.0f s and clips of 16 kHz whose samples are that formula where their clocks take them, %.0f ppm
          and a bend off, with white noise of %.0f dBFS. Lined up and handed over with clocks corrected where it matters
          (`--drift auto`), once by the straight lines alone and once along the bends. Then windows of 2 s every %.0f s of
          the written lanes are correlated with the reference's file; the figures are their distances from it in ms.

          | clock, beside its straight line | clip | told: largest, pieces | straight: median | straight: largest | bent: median | bent: largest | windows |
          |---|---|---|---|---|---|---|---|
          %s

          "none" is told where the line-up's windows prove no bend; such lanes are written by the straight line both times. A clock
          that jumps has none: pieces that meet cannot say a jump, and where a jump explains the windows about as well none is told. It
          is placed by the longer part. Smooth courses are followed by as many pieces as the windows prove, up to nine; where the
          one who speaks moves, fewer are proved, for the windows scatter by the moves.
          """
          .formatted(
              SEED,
              REFERENCE_SECONDS,
              DRIFT_PPM,
              20 * Math.log10(NOISE),
              EVERY_SECONDS,
              String.join("\n", rows));
    } finally {
      FolderTree.delete(folder);
    }
  }

  private static String path(int course) {
    return "CAM-" + (course + 1) + "/take.wav";
  }

  private static String row(
      Course course, String path, Shoot shoot, Map<String, Off> before, Map<String, Off> after) {
    Placement place =
        shoot.sources().stream()
            .filter(source -> source.path().endsWith(path))
            .map(ShootSource::placement)
            .findFirst()
            .orElse(null);
    ClockBend bend = place == null ? null : place.notes().bend();
    Off straight = before.get(path);
    Off bent = after.get(path);
    String told =
        place == null || place.state() != Placement.State.PLACED
            ? "not placed"
            : bend == null
                ? "none"
                : String.format(
                    Locale.ROOT, "%.2f ms, %d", bend.largestMs(), bend.knots().size() - 1);
    return String.format(
        Locale.ROOT,
        "| %s | %.0f s | %s | %s | %s | %s |",
        course.words,
        course.seconds,
        told,
        straight == null ? " | " : straight.cells(),
        bent == null ? " | " : bent.cells(),
        bent == null ? "" : Integer.toString(bent.windows));
  }

  private void make(Path folder) throws IOException {
    Event event = new Event(new SplittableRandom(SEED));
    Path recorder = Files.createDirectories(folder.resolve("REC"));
    write(recorder.resolve("event.wav"), REFERENCE_SECONDS, s -> event.at(s));
    for (int i = 0; i < COURSES.size(); i++) {
      Course course = COURSES.get(i);
      monitor.progress("making clips", (i + 1.0) / (COURSES.size() + 1));
      Path file = folder.resolve(path(i));
      Path parent = file.getParent();
      if (parent != null) {
        Files.createDirectories(parent);
      }
      SplittableRandom noise = new SplittableRandom(SEED + i + 1);
      write(
          file,
          course.seconds,
          s -> 0.7 * event.at(course.eventSeconds(s)) + NOISE * noise.nextGaussian());
    }
  }

  private void write(Path file, double seconds, DoubleUnaryOperator sound) throws IOException {
    try (WaveFileWriter writer =
        WaveFileWriter.create(file, WaveFormat.integer(24, RATE_HZ, 1), WaveMetadata.NONE)) {
      long frames = Math.round(seconds * RATE_HZ);
      float[][] block = new float[1][BLOCK];
      for (long at = 0; at < frames; at += BLOCK) {
        monitor.checkCancelled();
        int count = (int) Math.min(BLOCK, frames - at);
        for (int i = 0; i < count; i++) {
          block[0][i] = (float) sound.applyAsDouble((double) (at + i) / RATE_HZ);
        }
        writer.writeFloats(block, count);
      }
      writer.finish();
    }
  }

  /** The same places without their bends. */
  private static Shoot straightened(Shoot shoot) {
    List<ShootSource> sources = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      sources.add(
          new ShootSource(
              source.file(),
              source.path(),
              source.kind(),
              source.device(),
              source.runNumber(),
              source.error(),
              source.analysis(),
              straightened(source.placement())));
    }
    return new Shoot(
        shoot.name(),
        sources,
        shoot.leftOut(),
        shoot.referencePath(),
        shoot.intake(),
        shoot.runs());
  }

  private static @Nullable Placement straightened(@Nullable Placement placement) {
    if (placement == null) {
      return null;
    }
    Placement.Notes notes = placement.notes();
    return placement.with(
        new Placement.Notes(
            notes.otherPlaces(), notes.later(), notes.byPicture(), notes.flightSeconds(), null));
  }

  /** Hands over and measures: distances by path of the clip. */
  private Map<String, Off> lanes(Shoot shoot, Path folder, String name)
      throws MediaException, IOException, ShootException {
    Path target = folder.resolve(name);
    Report report =
        HandOver.write(
                shoot,
                new HandOver.Options(
                    target,
                    false,
                    DriftCorrection.AUTO,
                    ReaderChoice.BEST,
                    OffsetDateTime.now(ZoneOffset.UTC)),
                monitor)
            .report();
    Map<String, Off> all = new HashMap<>();
    for (int i = 0; i < COURSES.size(); i++) {
      for (LaneReport lane : report.lanes()) {
        Long start = lane.startFrameOnReference();
        if (lane.source().endsWith(path(i)) && start != null) {
          all.put(
              path(i),
              off(target.resolve(lane.file()), start, folder.resolve("shoot/REC/event.wav")));
        }
      }
    }
    return all;
  }

  private Off off(Path laneFile, long start, Path referenceFile) throws MediaException {
    List<Double> distances = new ArrayList<>();
    float[][] lane = new float[1][WINDOW];
    float[][] there = new float[1][WINDOW + 2 * MOST_LAG];
    try (SourceReader own = SourceOpener.open(laneFile);
        SourceReader reference = SourceOpener.open(referenceFile)) {
      for (long at = RATE_HZ; ; at += Math.round(EVERY_SECONDS * RATE_HZ)) {
        monitor.checkCancelled();
        long from = start + at - MOST_LAG;
        if (own.readAt(at, lane, WINDOW) < WINDOW
            || reference.readAt(from, there, there[0].length) < there[0].length) {
          break;
        }
        distances.add(Math.abs(lag(lane[0], there[0])) * 1000 / RATE_HZ);
      }
    }
    double[] all = distances.stream().mapToDouble(Double::doubleValue).toArray();
    return new Off(Statistics.median(all), Arrays.stream(all).max().orElse(0), all.length);
  }

  /** Frames by which the reference has the window later; correlation between its samples too. */
  private static double lag(float[] window, float[] reference) {
    float[] correlation = new float[2 * MOST_LAG + 1];
    int best = 0;
    for (int lag = 0; lag < correlation.length; lag++) {
      double sum = 0;
      for (int i = 0; i < window.length; i++) {
        sum += (double) window[i] * reference[i + lag];
      }
      correlation[lag] = (float) sum;
      best = correlation[lag] > correlation[best] ? lag : best;
    }
    SincInterpolator between = SincInterpolator.fullBand();
    double top = best;
    for (double step : new double[] {0.1, 0.01, 0.001}) {
      double centre = top;
      for (int i = -10; i <= 10; i++) {
        double at = centre + i * step;
        top = between.at(correlation, at) > between.at(correlation, top) ? at : top;
      }
    }
    return top - MOST_LAG;
  }

  /** Twelve tones; their pitch swings by a tenth and their level comes and goes. */
  private static final class Event {
    private static final int TONES = 12;
    private static final double LOWEST_HZ = 200;
    private static final double HIGHEST_HZ = 6000;

    private final double[] hz = new double[TONES];
    private final double[] swingHz = new double[TONES];
    private final double[] swing = new double[TONES];
    private final double[] levelHz = new double[TONES];
    private final double[] phase = new double[3 * TONES];

    Event(SplittableRandom dice) {
      for (int i = 0; i < TONES; i++) {
        double share = (i + dice.nextDouble()) / TONES;
        hz[i] = LOWEST_HZ * Math.pow(HIGHEST_HZ / LOWEST_HZ, share);
        swingHz[i] = dice.nextDouble(0.5, 4);
        swing[i] = 0.1 * hz[i] / swingHz[i] / (2 * Math.PI);
        levelHz[i] = dice.nextDouble(0.1, 3);
      }
      Arrays.setAll(phase, i -> dice.nextDouble());
    }

    double at(double seconds) {
      double sum = 0;
      for (int i = 0; i < TONES; i++) {
        double turned =
            hz[i] * seconds + swing[i] * sine(swingHz[i] * seconds + phase[i]) + phase[TONES + i];
        sum += (1 + sine(levelHz[i] * seconds + phase[2 * TONES + i])) * sine(turned);
      }
      return 0.4 * sum / TONES;
    }

    private static double sine(double turns) {
      return Math.sin(2 * Math.PI * (turns - Math.floor(turns)));
    }
  }
}
