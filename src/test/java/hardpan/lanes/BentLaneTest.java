package hardpan.lanes;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.SourceClock;
import hardpan.base.Span;
import hardpan.lineup.ClockBend;
import hardpan.lineup.Placement;
import hardpan.verdict.Finding;
import hardpan.verdict.Verdicts;
import hardpan.wave.CuePoint;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveHeader;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/**
 * Lanes of clocks that bend. A sum of tones is known at every moment of the reference; the source
 * has it at the moments its clock takes, and the lane must have it at the reference's own.
 */
@NullUnmarked
class BentLaneTest {
  private static final double SECONDS = 4;

  @TempDir Path folder;

  private static Placement placed(double offset, double ppm, double... kneesMs) {
    List<ClockBend.Knot> knots = new ArrayList<>();
    double largest = 0;
    for (int i = 0; i < kneesMs.length; i++) {
      double at = 0.2 + i * (SECONDS - 0.4) / (kneesMs.length - 1);
      knots.add(new ClockBend.Knot(at, kneesMs[i] / 1000));
      largest = Math.max(largest, Math.abs(kneesMs[i]));
    }
    return LaneSamples.placed(offset, ppm, false, 0)
        .with(
            new Placement.Notes(
                List.of(), List.of(), false, null, new ClockBend(knots, 0.01, largest)));
  }

  /** Where a moment of the source lies, by the knots' own words. */
  private static double referenceSeconds(
      double offset, double ppm, double[] kneesMs, double seconds) {
    double width = (SECONDS - 0.4) / (kneesMs.length - 1);
    double place = (seconds - 0.2) / width;
    int piece = (int) Math.max(0, Math.min(kneesMs.length - 2, Math.floor(place)));
    double besideMs = kneesMs[piece] + (place - piece) * (kneesMs[piece + 1] - kneesMs[piece]);
    return offset + seconds * (1 + ppm * 1e-6) + besideMs / 1000;
  }

  private static double[] hz(long seed) {
    double[] hz = new Random(seed).doubles(60, 20, 16_000).toArray();
    hz[0] = 16_000;
    return hz;
  }

  private static double tones(double[] hz, double seconds) {
    double sum = 0;
    for (int i = 0; i < hz.length; i++) {
      sum += Math.sin(2 * Math.PI * hz[i] * seconds + i);
    }
    return 0.4 * sum / Math.sqrt(hz.length);
  }

  private Path recorded(double offset, double ppm, double[] kneesMs, double[] hz, int rateHz)
      throws IOException {
    float[] in = new float[(int) (rateHz * SECONDS)];
    for (int i = 0; i < in.length; i++) {
      in[i] = (float) tones(hz, referenceSeconds(offset, ppm, kneesMs, (double) i / rateHz));
    }
    return LaneSamples.wave(
        folder.resolve("rec.wav"), WaveFormat.float32(rateHz, 1), WaveMetadata.NONE, in);
  }

  /** Error in dB below the sound at the reference's own moments. */
  private double errorDb(WrittenLane lane, double[] hz) throws IOException {
    float[] out = LaneSamples.floats(folder.resolve(lane.lane().fileName()));
    assertEquals(lane.frameCount(), out.length);
    double error = 0;
    double power = 0;
    for (int i = 1000; i < out.length - 1000; i++) {
      double wanted = tones(hz, (lane.startFrameOnReference() + i) / 48_000.0);
      error += (out[i] - wanted) * (out[i] - wanted);
      power += wanted * wanted;
    }
    return 10 * Math.log10(error / power);
  }

  @ParameterizedTest
  @CsvSource({
    "48000, 1.2345678, 60, 0.036",
    "48000, -0.7654321, -45, -0.036",
    "48000, 0, 0, 0.15",
    "44100, 0.333333, 60, 0.2",
    "96000, -2.0000001, -20, -0.1",
  })
  void aBentLaneLiesOnTheReferencesGrid(int rateHz, double offset, double ppm, double kneeMs)
      throws IOException {
    double[] kneesMs = {0.05, kneeMs, -0.7 * kneeMs, 0.1, 0.02};
    double[] hz = hz(72);
    Path file = recorded(offset, ppm, kneesMs, hz, rateHz);
    Placement placement = placed(offset, ppm, kneesMs);
    WrittenLane lane =
        LaneSamples.write(LaneSamples.source(file, placement, false), DriftCorrection.ON, folder)
            .get(0);
    assertTrue(lane.lane().followsBend());
    double first = referenceSeconds(offset, ppm, kneesMs, 0);
    double end = referenceSeconds(offset, ppm, kneesMs, SECONDS);
    assertEquals((long) Math.ceil(first * 48_000 - 1e-9), lane.startFrameOnReference());
    double frames = Math.ceil(end * 48_000 - 1e-6) - lane.startFrameOnReference();
    assertEquals(frames, (double) lane.frameCount(), 1);
    assertEquals(lane.lane().expectedFrames(), lane.frameCount());
    double db = errorDb(lane, hz);
    assertTrue(db < -100, "error " + db + " dB");
    assertTrue(
        new LaneStory(PlannedFile.of(lane.lane()), "x").note().contains("along a bend of up to"));
    // The same source by its straight line: the bend is to be heard.
    Path other = Files.createDirectory(folder.resolve("straight"));
    LaneSource straight =
        LaneSamples.source(file, LaneSamples.placed(offset, ppm, false, 0), false);
    List<WrittenLane> without = LaneSamples.write(straight, DriftCorrection.ON, other);
    if (without.get(0).lane().resample()) {
      Files.copy(
          other.resolve(without.get(0).lane().fileName()),
          folder.resolve(without.get(0).lane().fileName()),
          StandardCopyOption.REPLACE_EXISTING);
      assertTrue(errorDb(without.get(0), hz) > -30);
    }
  }

  /** A bend that is none gives the samples of the straight line, but for rounding. */
  @Test
  void aBendOfNothingChangesNothing() throws IOException {
    double[] kneesMs = {0, 0, 0};
    Path file = recorded(0.25, 35, kneesMs, hz(73), 48_000);
    WrittenLane bent =
        LaneSamples.write(
                LaneSamples.source(file, placed(0.25, 35, kneesMs), false),
                DriftCorrection.ON,
                folder)
            .get(0);
    float[] along = LaneSamples.floats(folder.resolve(bent.lane().fileName()));
    Path other = Files.createDirectory(folder.resolve("straight"));
    WrittenLane straight =
        LaneSamples.write(
                LaneSamples.source(file, LaneSamples.placed(0.25, 35, false, 0), false),
                DriftCorrection.ON,
                other)
            .get(0);
    assertFalse(straight.lane().followsBend());
    assertEquals(straight.startFrameOnReference(), bent.startFrameOnReference());
    assertEquals(straight.timeReferenceSamples(), bent.timeReferenceSamples());
    assertArrayEquals(LaneSamples.floats(other.resolve(straight.lane().fileName())), along, 1e-6f);
  }

  /** A click under its marker, at the time the clock says. */
  @Test
  void markersFollowTheBend() throws Exception {
    int rate = 48_000;
    float[] sound = new float[(int) (rate * SECONDS)];
    int click = rate * 2;
    sound[click] = 0.5f;
    Path file =
        LaneSamples.wave(
            folder.resolve("a.wav"), WaveFormat.integer(24, rate, 1), WaveMetadata.NONE, sound);
    double[] kneesMs = {0, 5, 0};
    LaneSource read = LaneSamples.source(file, placed(0.3333, 20, kneesMs), false);
    Finding finding =
        new Finding(
            "click",
            Finding.Severity.NOTE,
            List.of(new Span(click - 1, click + 2)),
            Map.of(),
            "It says.",
            "Do this.");
    LaneSource source =
        new LaneSource(
            read.path(),
            read.device(),
            read.runNumber(),
            read.facts(),
            read.frameCount(),
            new Verdicts(
                List.of(read.verdicts().channels().get(0).withFindings(List.of(finding))), null),
            read.placement(),
            false,
            read.sound());
    WrittenLane lane = LaneSamples.write(source, DriftCorrection.ON, folder).get(0);
    Path written = folder.resolve(lane.lane().fileName());
    float[] resampled = LaneSamples.floats(written);
    int peak = 0;
    for (int i = 0; i < resampled.length; i++) {
      peak = Math.abs(resampled[i]) > Math.abs(resampled[peak]) ? i : peak;
    }
    double wanted = referenceSeconds(0.3333, 20, kneesMs, (double) click / rate) * rate;
    assertEquals(wanted - lane.startFrameOnReference(), peak, 0.51);
    CuePoint point = WaveHeader.read(written).cuePoints().get(0);
    assertTrue(
        point.frame() <= peak && peak < point.frame() + point.lengthFrames(),
        peak + " in " + point);
  }

  @Test
  void aBendCountsWhereClocksAreCorrectedIfItMatters() throws IOException {
    SourceClock much =
        SourceClock.bent(5, 1, new double[] {0, 500, 1000}, new double[] {0, 9.6e-3, 0});
    assertTrue(DriftCorrection.AUTO.applies(much, 1000));
    assertFalse(DriftCorrection.AUTO.applies(much, 400));
    assertFalse(DriftCorrection.AUTO.applies(SourceClock.straight(5, 1), 1000));
    assertTrue(
        DriftCorrection.ON.applies(
            SourceClock.bent(5, 0, new double[] {0, 1}, new double[] {0, 1e-6}), 1));
    assertFalse(DriftCorrection.OFF.applies(much, 1000));
    Path file = recorded(0.25, 0, new double[] {0, 0, 0}, hz(74), 48_000);
    LaneSource source = LaneSamples.source(file, placed(0.25, 0, 0, 0.5, 0), false);
    Lane lane = LaneSamples.plan(List.of(source), DriftCorrection.AUTO).get(0);
    assertFalse(lane.resample());
    assertEquals(12_000, lane.startFrameOnReference());
    assertTrue(
        new LaneStory(PlannedFile.of(lane), "x")
            .note()
            .contains("clock +0.000 ppm and a bend of up to 0.50 ms, not corrected"));
  }
}
