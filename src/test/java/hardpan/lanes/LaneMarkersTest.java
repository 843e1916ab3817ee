package hardpan.lanes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Span;
import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Finding;
import hardpan.verdict.Verdicts;
import hardpan.wave.CuePoint;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveHeader;
import hardpan.wave.WaveMetadata;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Findings as regions of a lane's file. */
@NullUnmarked
class LaneMarkersTest {
  private static final int RATE = 48_000;

  @TempDir Path folder;

  @Test
  void anUncorrectedLaneHasTheSourcesFrames() {
    Lane lane = lane(LaneSamples.placed(2, 5, false, 0), false, finding("hum", new Span(100, 300)));
    assertEquals(
        List.of(new CuePoint(1, 100, 200, "hum", "It says.")),
        LaneMarkers.of(PlannedFile.of(lane)).kept());
  }

  /**
   * A corrected lane starts on the reference's grid and runs on its clock: at -200 ppm a source's
   * frame 24,000 lies 4.8 frames earlier, on a grid that starts 0.4 frames after the source.
   */
  @Test
  void aCorrectedLaneHasItsOwn() {
    double offset = 2 - 0.4 / RATE;
    Lane lane =
        lane(
            LaneSamples.placed(offset, -200, false, 0),
            true,
            finding("hum", new Span(24_000, 36_000)));
    CuePoint point = LaneMarkers.of(PlannedFile.of(lane)).kept().get(0);
    // 24,000 x 0.9998 - 0.4 = 23,994.8; 36,000 x 0.9998 - 0.4 = 35,992.4.
    assertEquals(23_995, point.frame());
    assertEquals(35_992 - 23_995, point.lengthFrames());
  }

  @Test
  void aFindingOfTheWholeChannelCoversTheLane() {
    Lane lane = lane(null, false, finding("low-level"));
    assertEquals(
        List.of(new CuePoint(1, 0, 48_000, "low-level", "It says.")),
        LaneMarkers.of(PlannedFile.of(lane)).kept());
  }

  @Test
  void theWorstAreKeptWhenThereAreTooMany() {
    List<Span> many = new ArrayList<>();
    for (int i = 0; i < LaneMarkers.MOST + 7; i++) {
      many.add(new Span(10L * i, 10L * i + 5));
    }
    Finding notes = finding("note", many.toArray(new Span[0]));
    Finding fault =
        new Finding(
            "cut", Finding.Severity.FAULT, List.of(new Span(40_000, 41_000)), Map.of(), "Cut.", "");
    LaneMarkers markers = LaneMarkers.of(PlannedFile.of(lane(null, false, notes, fault)));
    assertEquals(LaneMarkers.MOST, markers.kept().size());
    assertEquals(8, markers.leftOut());
    assertTrue(markers.kept().stream().anyMatch(point -> point.label().equals("cut")));
    long before = -1;
    for (CuePoint point : markers.kept()) {
      assertTrue(point.frame() >= before);
      before = point.frame();
    }
  }

  /** A click in the source is found under its region in the corrected file. */
  @Test
  void aClickLiesUnderItsRegionInTheCorrectedFile() throws Exception {
    float[] sound = new float[RATE * 4];
    int click = RATE * 3 + 123;
    sound[click] = 0.5f;
    Path file =
        LaneSamples.wave(
            folder.resolve("a.wav"), WaveFormat.integer(24, RATE, 1), WaveMetadata.NONE, sound);
    LaneSource read = LaneSamples.source(file, LaneSamples.placed(0.3333, 500, false, 0), false);
    LaneSource source = withFindings(read, finding("click", new Span(click - 1, click + 2)));
    WrittenLane lane = LaneSamples.write(source, DriftCorrection.ON, folder).get(0);
    Path written = folder.resolve(lane.lane().fileName());
    float[] resampled = LaneSamples.floats(written);
    int peak = 0;
    for (int i = 0; i < resampled.length; i++) {
      peak = Math.abs(resampled[i]) > Math.abs(resampled[peak]) ? i : peak;
    }
    CuePoint point = WaveHeader.read(written).cuePoints().get(0);
    assertTrue(
        point.frame() <= peak && peak < point.frame() + point.lengthFrames(),
        peak + " in " + point);
    assertEquals(0, lane.leftOutMarkers());
  }

  private static Finding finding(String code, Span... spans) {
    return new Finding(
        code, Finding.Severity.NOTE, List.of(spans), Map.of(), "It says.", "Do this.");
  }

  private static Lane lane(Placement placement, boolean resample, Finding... findings) {
    LaneSource source =
        LaneSamples.named(
            "CAM-A",
            LaneSamples.facts(SourceFacts.Kind.CLIP, RATE, ""),
            verdicts(LaneSamples.audible(), findings),
            placement);
    return new Lane(
        source,
        "left",
        "microphone",
        true,
        "x.wav",
        List.of(0),
        resample,
        new Lane.Format(false, 24, RATE));
  }

  private static LaneSource withFindings(LaneSource source, Finding... findings) {
    return new LaneSource(
        source.path(),
        source.device(),
        source.runNumber(),
        source.facts(),
        source.frameCount(),
        verdicts(source.verdicts().channels().get(0), findings),
        source.placement(),
        source.isReference(),
        source.sound());
  }

  private static Verdicts verdicts(ChannelVerdict channel, Finding... findings) {
    return new Verdicts(List.of(channel.withFindings(List.of(findings))), null);
  }
}
