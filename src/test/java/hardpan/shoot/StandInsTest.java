package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.media.ReaderChoice;
import hardpan.report.ChannelReport;
import hardpan.report.FindingReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.signal.Decibels;
import hardpan.wave.WaveFormat;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.TestInstance.Lifecycle;
import org.junit.jupiter.api.io.TempDir;

/**
 * A talk on a console's feed, cut off in the camera's left, 12 dB lower in its right, and on a
 * recorder that was switched off before the end.
 */
@TestInstance(Lifecycle.PER_CLASS)
class StandInsTest {
  private static final int RATE = 48_000;
  private static final double CEILING = 0.5;
  private static final double TOO_HOT_DB = 9;
  private static final int CLIP_FROM = 5 * RATE;
  private static final int RECORDER_TO = 40 * RATE;

  private Report report;
  private float[] feed;

  @BeforeAll
  void readAndPlace(@TempDir Path folder) throws Exception {
    feed = ShootSamples.speech(11, RATE, 60);
    float peak = 0;
    for (int i = CLIP_FROM; i < RECORDER_TO; i++) {
      peak = Math.max(peak, Math.abs(feed[i]));
    }
    float gain = (float) (CEILING * Decibels.toAmplitude(TOO_HOT_DB) / peak);
    float[] left = new float[50 * RATE];
    float[] right = new float[50 * RATE];
    for (int i = 0; i < left.length; i++) {
      float hot = gain * feed[CLIP_FROM + i];
      left[i] = (float) Math.max(-CEILING, Math.min(CEILING, hot));
      right[i] = 0.25f * hot;
    }
    ShootSamples.clip(folder.resolve("CAM-A/a1.mov"), "mov", "pcm_s16le", RATE, left, right);
    float[] recorded = Arrays.copyOf(feed, RECORDER_TO);
    for (int i = 0; i < recorded.length; i++) {
      recorded[i] *= 0.3f / peak;
    }
    ShootSamples.wave(folder.resolve("REC/lectern.wav"), WaveFormat.integer(24, RATE, 1), recorded);
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      Shoot shoot = steps.read(steps.find(List.of(folder)));
      shoot = steps.lineUp(shoot, folder.resolve("REC/lectern.wav"));
      report = ReportMaker.report(shoot, List.of(), ShootSamples.MADE_AT);
    }
  }

  private FindingReport clipping() {
    for (SourceReport source : report.sources()) {
      for (ChannelReport channel : source.channels()) {
        for (FindingReport finding : channel.findings()) {
          if (finding.code().equals("clipping")) {
            assertEquals("CAM-A/a1.mov", source.path());
            assertEquals(0, channel.index());
            return finding;
          }
        }
      }
    }
    throw new AssertionError("nothing is said of clipping");
  }

  private static double number(@Nullable Object value) {
    assertNotNull(value);
    return ((Number) value).doubleValue();
  }

  @Test
  void eachPassageNamesItsOwnCleanCopies() {
    Object standIns = clipping().evidence().get("standIns");
    assertNotNull(standIns);
    boolean withRecorder = false;
    boolean withoutRecorder = false;
    for (Object each : (List<?>) standIns) {
      Map<?, ?> line = (Map<?, ?>) each;
      List<?> copies = (List<?>) line.get("cleanCopies");
      double end = number(line.get("endSeconds"));
      double start = number(line.get("startSeconds"));
      assertNotNull(copies);
      assertTrue(copies.contains("CAM-A/a1.mov (right)"), copies.toString());
      boolean recorded = copies.stream().anyMatch(copy -> copy.toString().startsWith("REC/"));
      withRecorder |= recorded;
      withoutRecorder |= !recorded;
      assertEquals(recorded ? end <= 35 : end > 35, true, start + " to " + end);
    }
    assertTrue(withRecorder && withoutRecorder);
    assertTrue(clipping().remedy().startsWith("Take CAM-A/a1.mov (right) instead: "));
  }

  @Test
  void theExcessIsReadOffTheRecorder() {
    assertEquals("recorder", clipping().evidence().get("excessFrom"));
    Object excess = clipping().evidence().get("excessDb");
    assertEquals(TOO_HOT_DB, number(excess), 0.2);
  }

  @Test
  void theSafetyTrackItselfIsNotCalledCut() {
    for (SourceReport source : report.sources()) {
      for (ChannelReport channel : source.channels()) {
        boolean damaged = source.path().startsWith("CAM") && channel.index() == 0;
        assertEquals(damaged, channel.clipping().clipped(), source.path() + channel.index());
      }
    }
    assertFalse(report.sources().isEmpty());
  }
}
