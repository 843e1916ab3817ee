package hardpan.demo;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.demo.DemoTruth.ChannelTruth;
import hardpan.demo.DemoTruth.PlacementTruth;
import hardpan.demo.DemoTruth.SourceTruth;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.wave.IxmlDocument;
import hardpan.wave.WaveFileReader;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDate;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CancellationException;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestInstance;
import org.junit.jupiter.api.io.TempDir;

/**
 * Makes the whole demo shoot once, decodes it the way the program does, and measures whether the
 * truth is true.
 */
@TestInstance(TestInstance.Lifecycle.PER_CLASS)
class DemoMakerTest {
  private static final DemoTruth TRUTH = DemoShoot.truth();
  private static final int BLOCK = 65536;

  private Path shoot = Path.of("");
  private Path media = Path.of("");
  private final Map<String, float[][]> decoded = new HashMap<>();

  @BeforeAll
  void make(@TempDir Path folder) throws MediaException {
    shoot = folder;
    media = DemoMaker.ensure(shoot, Monitor.SILENT);
  }

  @AfterAll
  void forget() {
    decoded.clear();
  }

  private float[][] sound(String path) throws MediaException {
    float[][] known = decoded.get(path);
    if (known != null) {
      return known;
    }
    SourceTruth truth = source(path);
    int most = (int) (truth.durationSeconds() * truth.rateHz()) + 4096;
    float[][] all = new float[truth.channels().size()][most];
    float[][] block = new float[all.length][BLOCK];
    int at = 0;
    try (SourceReader reader = SourceOpener.open(media.resolve(path))) {
      assertEquals(truth.rateHz(), reader.facts().rateHz());
      assertEquals(all.length, reader.facts().channelCount());
      for (int got = reader.readAt(0, block, BLOCK);
          got > 0;
          got = reader.readAt(at, block, BLOCK)) {
        for (int c = 0; c < all.length; c++) {
          System.arraycopy(block[c], 0, all[c], at, got);
        }
        at += got;
      }
    }
    double missing = truth.durationSeconds() * truth.rateHz() - at;
    assertTrue(missing <= 0 && missing > -2048, path + " has " + at + " frames");
    decoded.put(path, all);
    return all;
  }

  private static SourceTruth source(String path) {
    return TRUTH.sources().stream().filter(s -> s.path().equals(path)).findFirst().orElseThrow();
  }

  @Test
  void truthLiesBesideTheMedia() throws IOException {
    assertEquals(TRUTH, DemoTruth.read(shoot.resolve("truth.json")));
    long bytes = 0;
    for (SourceTruth source : TRUTH.sources()) {
      bytes += Files.size(media.resolve(source.path()));
    }
    assertTrue(bytes < 150_000_000, bytes + " bytes");
  }

  @Test
  void recorderSaysWhenItStartedAndWhatIsOnItsTracks() throws IOException {
    try (WaveFileReader reader = WaveFileReader.open(media.resolve(DemoShoot.REFERENCE))) {
      var bext = reader.header().bext();
      assertNotNull(bext);
      assertEquals((19 * 3600L + 30 * 60) * 48000, bext.timeReferenceSamples());
      assertEquals(LocalDate.of(2026, 5, 16), bext.date());
      String ixml = reader.header().ixml();
      assertNotNull(ixml);
      List<String> names =
          IxmlDocument.parse(ixml).document().tracks().stream()
              .map(IxmlDocument.Track::name)
              .toList();
      assertEquals(List.of("Lectern", "Lapel", "Board", "Room"), names);
      assertEquals(List.of(), reader.header().oddities());
    }
  }

  /** Every wire: both ends of the clip, every channel against its twin on the recorder. */
  @Test
  void wiredClipsLieWhereTheTruthSays() throws MediaException {
    float[][] reference = sound(DemoShoot.REFERENCE);
    int measured = 0;
    for (SourceTruth source : TRUTH.sources()) {
      PlacementTruth place = source.placement();
      if (place == null || !place.directFeed()) {
        continue;
      }
      for (ChannelTruth channel : source.channels()) {
        String twin = channel.cleanCopy();
        assertNotNull(twin);
        float[] clip = sound(source.path())[channel.index()];
        float[] clean = reference[Integer.parseInt(twin.substring(twin.indexOf('#') + 1))];
        boolean upsideDown = source.pair() != null && source.pair().equals("inverted");
        double sign = upsideDown && channel.index() == 1 ? -1 : 1;
        for (double start : places(source, place)) {
          LagMeter.Lag lag = lag(clip, source, start, clean, place, 40);
          String what = source.path() + " channel " + channel.index() + " at " + start + ": " + lag;
          assertEquals(0, lag.lagMs(), 0.005, what);
          assertTrue(sign * lag.score() > 12, what);
          measured++;
        }
      }
    }
    assertEquals(4 * 2 * 2, measured);
  }

  @Test
  void farCameraLiesWhereTheTruthSays() throws MediaException {
    SourceTruth far = source("CAM-D/HALL0019.MP4");
    PlacementTruth place = far.placement();
    assertNotNull(place);
    float[] board = sound(DemoShoot.REFERENCE)[2];
    for (int channel = 0; channel < 2; channel++) {
      for (double start : new double[] {0.5, 48, 85}) {
        LagMeter.Lag lag = lag(sound(far.path())[channel], far, start, board, place, 60);
        assertEquals(0, lag.lagMs(), 0.15, "channel " + channel + " at " + start + ": " + lag);
        assertTrue(lag.score() > 7, "channel " + channel + " at " + start + ": " + lag);
      }
    }
  }

  /** Ten seconds near both ends, the first inside the recording. */
  private static double[] places(SourceTruth source, PlacementTruth place) {
    Double offset = place.offsetSeconds();
    assertNotNull(offset);
    return new double[] {Math.max(0.2, 0.2 - offset), source.durationSeconds() - 10.2};
  }

  private static LagMeter.Lag lag(
      float[] clip,
      SourceTruth source,
      double start,
      float[] reference,
      PlacementTruth place,
      double searchMs) {
    Double offset = place.offsetSeconds();
    Double drift = place.driftPpm();
    assertNotNull(offset);
    assertNotNull(drift);
    return LagMeter.measure(clip, source.rateHz(), start, 10, reference, offset, drift, searchMs);
  }

  @Test
  void splitPairIsUncorrelatedWithBleedAsPlanned() throws MediaException {
    for (String path : List.of("CAM-A/CLIP0001.MOV", "CAM-A/CLIP0002.MOV")) {
      float[][] pair = sound(path);
      assertEquals(0, correlation(pair[0], pair[1]), 0.1, path);
    }
    // From 82 to 97 s only the second speaker talks; undo the camera's gains of 0.9 and 1.1.
    float[][] pair = sound("CAM-A/CLIP0002.MOV");
    double left = power(pair[0], 15 * 48000, 30 * 48000) / (0.9 * 0.9);
    double right = power(pair[1], 15 * 48000, 30 * 48000) / (1.1 * 1.1);
    assertEquals(-23, 10 * Math.log10(left / right), 3);
  }

  @Test
  void hotPairIsOneSignalClippedMostOfTheTime() throws MediaException {
    float[][] pair = sound("CAM-B/VID_0107.MP4");
    assertTrue(correlation(pair[0], pair[1]) > 0.999);
    int hit = 0;
    int blocks = pair[0].length / 4800;
    for (int b = 0; b < blocks; b++) {
      double peak = 0;
      for (int i = b * 4800; i < (b + 1) * 4800; i++) {
        peak = Math.max(peak, Math.abs(pair[0][i]));
      }
      if (peak > 0.85) {
        hit++;
      }
    }
    assertTrue(hit > 0.6 * blocks, hit + " of " + blocks);
  }

  /**
   * The excess as a person with the recorder's copy would find it: the gain between the two where
   * the camera is not clipped, times the copy's peak, over the ceiling.
   */
  @Test
  void hotPairsExcessIsTheTruths() throws MediaException {
    SourceTruth hot = source("CAM-B/VID_0107.MP4");
    PlacementTruth place = hot.placement();
    Double excessDb = hot.channels().get(0).excessDb();
    assertNotNull(place);
    assertNotNull(excessDb);
    Double offset = place.offsetSeconds();
    Double drift = place.driftPpm();
    assertNotNull(offset);
    assertNotNull(drift);
    float[] camera = sound(hot.path())[0];
    float[] board = sound(DemoShoot.REFERENCE)[2];
    double cross = 0;
    double own = 0;
    double peak = 0;
    int quiet = 0;
    for (int i = 0; i < hot.durationSeconds() * 48000; i++) {
      double at = (offset + i / 48000.0 * (1 + drift * 1e-6)) * 48000;
      int whole = (int) at;
      double twin = board[whole] + (at - whole) * (board[whole + 1] - board[whole]);
      peak = Math.max(peak, Math.abs(twin));
      quiet = Math.abs(camera[i]) > 0.5 ? 0 : quiet + 1;
      if (quiet > 480) {
        cross += camera[i] * twin;
        own += twin * twin;
      }
    }
    double measured = 20 * Math.log10(peak * cross / own / 0.89);
    assertEquals(excessDb, measured, 0.5);
  }

  @Test
  void balancedPairCancelsInMono() throws MediaException {
    float[][] pair = sound("CAM-C/00004.MTS");
    float[] sum = new float[pair[0].length];
    for (int i = 0; i < sum.length; i++) {
      sum[i] = pair[0][i] + pair[1][i];
    }
    double nullDb = 10 * Math.log10(power(sum, 0, sum.length) / power(pair[0], 0, pair[0].length));
    assertTrue(nullDb < -40, nullDb + " dB");
  }

  @Test
  void farPairIsStereoAndNotClipped() throws MediaException {
    float[][] pair = sound("CAM-D/HALL0019.MP4");
    assertEquals(0.45, correlation(pair[0], pair[1]), 0.25);
    for (float[] side : pair) {
      for (float sample : side) {
        assertTrue(Math.abs(sample) < 0.95, "peak " + sample);
      }
    }
  }

  /** Slid along the whole recording, the stranger never fits nearly as well as a true clip. */
  @Test
  void strangerFitsNowhere() throws MediaException {
    float[] stranger = sound("CAM-E/OLD_0342.MP4")[0];
    float[] own = sound("CAM-D/HALL0019.MP4")[0];
    float[] board = sound(DemoShoot.REFERENCE)[2];
    double best = 0;
    for (double offset = 0; offset < 168; offset += 1.9) {
      best =
          Math.max(
              best,
              Math.abs(
                  LagMeter.measure(stranger, 48000, 20, 10, board, offset - 20, 0, 1000).score()));
    }
    PlacementTruth place = source("CAM-D/HALL0019.MP4").placement();
    assertNotNull(place);
    Double offset = place.offsetSeconds();
    assertNotNull(offset);
    double fits = LagMeter.measure(own, 44100, 10, 10, board, offset, 52.6, 1000).score();
    assertTrue(best < 0.6 * fits, "stranger " + best + ", true " + fits);
  }

  private static double correlation(float[] a, float[] b) {
    double cross = 0;
    double powerA = 0;
    double powerB = 0;
    for (int i = 0; i < a.length; i++) {
      cross += a[i] * b[i];
      powerA += a[i] * a[i];
      powerB += b[i] * b[i];
    }
    return cross / Math.sqrt(powerA * powerB);
  }

  private static double power(float[] samples, int from, int to) {
    double power = 0;
    for (int i = from; i < to; i++) {
      power += samples[i] * samples[i];
    }
    return power / (to - from);
  }

  /** What is there stays untouched; what is missing comes back with the same bytes. */
  @Test
  void missingFileIsMadeAgainByteForByte() throws IOException {
    Path clip = media.resolve("CAM-A/CLIP0002.MOV");
    Path other = media.resolve("CAM-C/00004.MTS");
    byte[] before = Files.readAllBytes(clip);
    var otherTime = Files.getLastModifiedTime(other);
    Files.delete(clip);
    DemoMaker.ensure(shoot, Monitor.SILENT);
    assertArrayEquals(before, Files.readAllBytes(clip));
    assertEquals(otherTime, Files.getLastModifiedTime(other));
    var clipTime = Files.getLastModifiedTime(clip);
    DemoMaker.ensure(shoot, Monitor.SILENT);
    assertEquals(clipTime, Files.getLastModifiedTime(clip));
    try (var files = Files.list(media)) {
      assertEquals(
          List.of(DemoStamp.NAME, "CAM-A", "CAM-B", "CAM-C", "CAM-D", "CAM-E", "REC"),
          files.map(file -> String.valueOf(file.getFileName())).sorted().toList());
    }
  }

  @Test
  void cancellingLeavesNothingHalfMade(@TempDir Path empty) throws IOException {
    Monitor cancelled =
        new Monitor() {
          @Override
          public void progress(String stage, double fraction) {}

          @Override
          public boolean isCancelled() {
            return true;
          }
        };
    assertThrows(CancellationException.class, () -> DemoMaker.ensure(empty, cancelled));
    try (var files = Files.walk(empty)) {
      assertEquals(List.of(), files.filter(Files::isRegularFile).toList());
    }
  }
}
