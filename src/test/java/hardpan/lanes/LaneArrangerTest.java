package hardpan.lanes;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.lineup.Placement;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.IxmlDocument;
import hardpan.wave.WaveFileReader;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveHeader;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Which sound lies where in which file, in every layout. */
@NullUnmarked
class LaneArrangerTest {
  private static final int RATE = 48_000;
  private static final long EVENING = 19L * 3600 * RATE;

  @TempDir Path folder;

  /** Two clips of camera A, one of camera B, one that has no place. */
  private List<LaneSource> shoot() throws IOException {
    return List.of(
        clip("CAM-A", 1, 16, LaneSamples.placed(2.5, 0, false, 0), 1, 2, 4),
        clip("CAM-A", 2, 24, LaneSamples.placed(8.25, 0, false, 0), 3, 4, 3),
        clip("CAM-B", 1, 16, LaneSamples.placed(-0.75, 0, false, 0), 5, 6, 5),
        clip("CAM-C", 1, 16, Placement.refused("Nothing in common."), 7, 8, 4));
  }

  private LaneSource clip(
      String device, int run, int bits, Placement place, int left, int right, double seconds)
      throws IOException {
    Path file = folder.resolve(device + run + ".mov");
    LaneSamples.clip(
        file,
        "mov",
        "pcm_s" + bits + "le",
        RATE,
        LaneSamples.speech(left, RATE, seconds, 0.4, bits),
        LaneSamples.speech(right, RATE, seconds, 0.4, bits));
    return of(LaneSamples.source(file, place, false), device, run);
  }

  private static LaneSource of(LaneSource source, String device, int run) {
    return new LaneSource(
        device + "/" + run + ".mov",
        device,
        run,
        source.facts(),
        source.frameCount(),
        source.verdicts(),
        source.placement(),
        source.isReference(),
        source.sound());
  }

  private static int[] sound(int seed, double seconds, int bits) {
    return LaneSamples.leftJustified(LaneSamples.speech(seed, RATE, seconds, 0.4, bits));
  }

  private List<WrittenLane> write(Layout layout, boolean poly, List<LaneSource> sources)
      throws IOException {
    Arrangement arrangement = new Arrangement(layout, poly, NameTemplate.USUAL);
    List<PlannedFile> files = LaneSamples.files(sources, DriftCorrection.AUTO, arrangement);
    Path out = Files.createDirectories(folder.resolve("out"));
    List<WrittenLane> written = new ArrayList<>();
    for (PlannedFile file : files) {
      assertFalse(Files.exists(out.resolve(file.name())), file.name());
    }
    // As the hand-over does it: files of one source or device together.
    List<List<PlannedFile>> batches = new ArrayList<>();
    for (PlannedFile file : files) {
      String first = file.sources().get(0).device() + file.sources().size();
      List<PlannedFile> same =
          batches.stream()
              .filter(
                  b ->
                      (b.get(0).sources().get(0).device() + b.get(0).sources().size())
                          .equals(first))
              .filter(b -> b.get(0).sources().size() > 1)
              .findFirst()
              .orElse(null);
      if (same == null) {
        batches.add(new ArrayList<>(List.of(file)));
      } else {
        same.add(file);
      }
    }
    LaneClock clock = LaneClock.of(LaneSamples.stamped(EVENING, "2026-05-16T19:00:00Z"), -1);
    for (List<PlannedFile> batch : batches) {
      written.addAll(LaneSamples.write(batch, out, clock));
    }
    return written;
  }

  private Path file(String name) {
    return folder.resolve("out").resolve(name);
  }

  private static int[][] samples(Path file) throws IOException {
    try (WaveFileReader reader = WaveFileReader.open(file)) {
      int[][] all =
          new int[reader.header().format().channelCount()][(int) reader.header().frameCount()];
      reader.readIntegersAt(0, all, all[0].length);
      return all;
    }
  }

  private static List<String> names(List<WrittenLane> lanes) {
    return lanes.stream().map(lane -> lane.lane().fileName()).distinct().toList();
  }

  /** What lies at a place is the sound, what lies elsewhere is silence. */
  private static void onlyAt(int[] all, Object... startsAndSounds) {
    int[] wanted = new int[all.length];
    for (int i = 0; i < startsAndSounds.length; i += 2) {
      int[] sound = (int[]) startsAndSounds[i + 1];
      System.arraycopy(sound, 0, wanted, (int) startsAndSounds[i], sound.length);
    }
    assertArrayEquals(wanted, all);
  }

  /**
   * The earliest sound begins at -0.75 s, the latest ends at 11.25 s: all files run from -1 s to 12
   * s, 13 s long.
   */
  @Test
  void fromTheCommonStart() throws IOException {
    List<WrittenLane> lanes = write(Layout.START, false, shoot());
    assertEquals(
        List.of(
            "CAM-A_1_left.wav",
            "CAM-A_1_right.wav",
            "CAM-A_2_left.wav",
            "CAM-A_2_right.wav",
            "CAM-B_1_left.wav",
            "CAM-B_1_right.wav",
            "CAM-C_1_left_unplaced.wav",
            "CAM-C_1_right_unplaced.wav"),
        names(lanes));
    for (WrittenLane lane : lanes) {
      WaveHeader header = WaveHeader.read(file(lane.lane().fileName()));
      assertEquals(List.of(), header.oddities());
      if (lane.startFrameOnReference() == null) {
        assertEquals(4 * RATE, header.frameCount());
        continue;
      }
      assertEquals(13 * RATE, header.frameCount(), lane.lane().fileName());
      assertEquals(13 * RATE, lane.fileFrameCount());
      assertEquals(EVENING - RATE, header.bext().timeReferenceSamples());
      assertEquals("18-59-59", header.bext().originationTime());
      assertEquals(
          header.bext().timeReferenceSamples() + lane.lane().slot().startFrame(),
          lane.timeReferenceSamples());
    }
    assertEquals((long) (3.5 * RATE), lanes.get(0).lane().slot().startFrame());
    onlyAt(samples(file("CAM-A_1_left.wav"))[0], (int) (3.5 * RATE), sound(1, 4, 16));
    onlyAt(samples(file("CAM-A_2_right.wav"))[0], (int) (9.25 * RATE), sound(4, 3, 24));
    onlyAt(samples(file("CAM-B_1_left.wav"))[0], RATE / 4, sound(5, 5, 16));
    onlyAt(samples(file("CAM-C_1_left_unplaced.wav"))[0], 0, sound(7, 4, 16));
  }

  /** One file a device and channel; camera A's has 16 and 24 bits in it and takes 24. */
  @Test
  void joinedByDevice() throws IOException {
    List<WrittenLane> lanes = write(Layout.DEVICE, false, shoot());
    assertEquals(
        List.of(
            "CAM-A_1-2_left.wav", "CAM-A_1-2_right.wav",
            "CAM-B_1_left.wav", "CAM-B_1_right.wav",
            "CAM-C_1_left_unplaced.wav", "CAM-C_1_right_unplaced.wav"),
        names(lanes));
    onlyAt(
        samples(file("CAM-A_1-2_left.wav"))[0],
        (int) (3.5 * RATE),
        sound(1, 4, 16),
        (int) (9.25 * RATE),
        sound(3, 3, 24));
    onlyAt(
        samples(file("CAM-A_1-2_right.wav"))[0],
        (int) (3.5 * RATE),
        sound(2, 4, 16),
        (int) (9.25 * RATE),
        sound(4, 3, 24));
    WaveHeader header = WaveHeader.read(file("CAM-A_1-2_left.wav"));
    assertEquals(24, header.format().containerBits());
    assertEquals(13 * RATE, header.frameCount());
    BroadcastExtension bext = header.bext();
    assertEquals(EVENING - RATE, bext.timeReferenceSamples());
    assertTrue(bext.description().contains("from 2 sources of CAM-A"), bext.description());
    assertEquals(
        List.of(
            "A=PCM,F=48000,W=16,M=dual-mono,T=pcm_s16le in mov; CAM-A/1.mov",
            "A=PCM,F=48000,W=24,M=dual-mono,T=pcm_s24le in mov; CAM-A/2.mov",
            "A=PCM,F=48000,W=24,M=mono,T=Hardpan test; channel 1",
            "A=PCM,F=48000,W=24,M=mono,T=Hardpan test; 2 sources in their places; silence where"
                + " nothing was recorded"),
        bext.codingHistory().lines().toList());
    IxmlDocument.FileSet set = header.ixmlDocument().fileSet();
    assertEquals(2, set.totalFiles());
    assertEquals("CAM-A", set.familyName());
    List<WrittenLane> left =
        lanes.stream().filter(l -> l.lane().fileName().equals("CAM-A_1-2_left.wav")).toList();
    assertEquals(
        List.of(4L * RATE, 3L * RATE), left.stream().map(WrittenLane::frameCount).toList());
    assertEquals(left.get(0).sha256(), left.get(1).sha256());
  }

  @ParameterizedTest
  @ValueSource(strings = {"CLIP", "START", "DEVICE"})
  void polyFilesHoldTheSameSamples(String layout) throws IOException {
    List<WrittenLane> lanes = write(Layout.valueOf(layout), true, shoot());
    for (WrittenLane lane : lanes) {
      int[][] all = samples(file(lane.lane().fileName()));
      assertEquals(2, all.length);
      LaneSource source = lane.lane().source();
      int seed =
          switch (source.device() + source.runNumber()) {
                case "CAM-A1" -> 1;
                case "CAM-A2" -> 3;
                case "CAM-B1" -> 5;
                default -> 7;
              }
              + lane.lane().channels().get(0);
      double seconds = (double) source.frameCount() / RATE;
      int[] wanted = sound(seed, seconds, source.runNumber() == 2 ? 24 : 16);
      int from = (int) lane.lane().slot().startFrame();
      assertArrayEquals(
          wanted,
          Arrays.copyOfRange(
              all[lane.lane().slot().channel()], from, from + (int) lane.frameCount()),
          layout + " " + source.path());
    }
    String first = layout.equals("DEVICE") ? "CAM-A_1-2_poly.wav" : "CAM-A_1_poly.wav";
    assertEquals(first, names(lanes).get(0));
    WaveHeader header = WaveHeader.read(file(first));
    assertEquals(List.of("left", "right"), header.channelNames());
    assertEquals(0, header.format().channelMask());
    assertEquals("A", header.ixmlDocument().fileSet().index());
    // The loudness of two microphones side by side is none; their true peak is known.
    assertNull(header.bext().loudness().integratedLufs());
    assertTrue(header.bext().loudness().maxTruePeakDbtp() < 0);
    assertTrue(
        header.bext().codingHistory().contains("M=dual-mono,T=Hardpan test; 2 lanes side by side"),
        header.bext().codingHistory());
  }

  /** EBU Tech 3306: more than two channels need the extensible format; no speakers are named. */
  @Test
  void aRecordersFourChannelsInOnePolyFile() throws IOException {
    float[][] four = new float[4][];
    for (int i = 0; i < 4; i++) {
      four[i] = LaneSamples.speech(20 + i, RATE, 2, 0.4, 24);
    }
    Path file =
        LaneSamples.wave(
            folder.resolve("rec.wav"), WaveFormat.integer(24, RATE, 4), WaveMetadata.NONE, four);
    List<WrittenLane> lanes =
        write(Layout.CLIP, true, List.of(LaneSamples.source(file, null, true)));
    assertEquals(4, lanes.size());
    int[][] all = samples(file(lanes.get(0).lane().fileName()));
    for (int i = 0; i < 4; i++) {
      assertArrayEquals(LaneSamples.leftJustified(four[i]), all[i]);
      assertEquals(i, lanes.get(i).lane().slot().channel());
    }
  }

  /** A fast camera's next part begins 10 ms before the last one ends; the earlier one is cut. */
  @Test
  void whatOverlapsALittleIsCut() throws IOException {
    List<LaneSource> parts =
        List.of(
            clip("CAM-A", 1, 16, LaneSamples.placed(1, 0, false, 0), 1, 2, 4),
            clip("CAM-A", 2, 16, LaneSamples.placed(4.99, 0, false, 0), 3, 4, 2));
    List<WrittenLane> lanes = write(Layout.DEVICE, false, parts);
    assertEquals(List.of("CAM-A_1-2_left.wav", "CAM-A_1-2_right.wav"), names(lanes));
    onlyAt(
        samples(file("CAM-A_1-2_left.wav"))[0],
        0,
        Arrays.copyOf(sound(1, 4, 16), (int) (3.99 * RATE)),
        (int) (3.99 * RATE),
        sound(3, 2, 16));
    assertEquals((long) (3.99 * RATE), lanes.get(0).frameCount());
  }

  /** Two clips at once under one device's name are two files, in every layout. */
  @ParameterizedTest
  @ValueSource(booleans = {false, true})
  void whatOverlapsMuchGoesBeside(boolean poly) throws IOException {
    List<LaneSource> both =
        List.of(
            clip("CAM-A", 1, 16, LaneSamples.placed(1, 0, false, 0), 1, 2, 4),
            clip("CAM-A", 2, 16, LaneSamples.placed(2, 0, false, 0), 3, 4, 4));
    List<WrittenLane> lanes = write(Layout.DEVICE, poly, both);
    assertEquals(poly ? 2 : 4, names(lanes).size());
    for (WrittenLane lane : lanes) {
      assertEquals(4L * RATE, lane.frameCount());
    }
  }

  /** A device whose clips have two sample rates is written at the reference's. */
  @Test
  void mixedRatesTakeTheReferences() throws IOException {
    float[] slow = LaneSamples.speech(31, 44_100, 4, 0.2, 16);
    float[] other = LaneSamples.speech(32, 44_100, 4, 0.2, 16);
    Path file = folder.resolve("slow.mov");
    LaneSamples.clip(file, "mov", "pcm_s16le", 44_100, slow, other);
    List<LaneSource> sources =
        List.of(
            clip("CAM-A", 1, 16, LaneSamples.placed(1, 0, false, 0), 1, 2, 4),
            of(LaneSamples.source(file, LaneSamples.placed(6, 0, false, 0), false), "CAM-A", 2));
    List<WrittenLane> lanes = write(Layout.DEVICE, false, sources);
    assertEquals(2, names(lanes).size());
    WaveHeader header = WaveHeader.read(file(names(lanes).get(0)));
    assertEquals(RATE, header.format().rateHz());
    assertEquals(9 * RATE, header.frameCount());
    WrittenLane resampled = lanes.get(1);
    assertTrue(resampled.lane().resample());
    assertEquals(4.0 * RATE, (double) resampled.frameCount(), 1);
    int[] all = samples(file(names(lanes).get(0)))[0];
    assertArrayEquals(
        sound(1, 4, 16), Arrays.copyOfRange(all, 0, 4 * RATE), "what had the rate is untouched");
    // Parseval: the same level after the change of the rate, less what lies above 22 kHz.
    assertEquals(
        rms(LaneSamples.leftJustified(slow)),
        rms(Arrays.copyOfRange(all, 5 * RATE, 9 * RATE)),
        0.02);
  }

  private static double rms(int[] sound) {
    double sum = 0;
    for (int value : sound) {
      sum += (double) value * value;
    }
    return Math.sqrt(sum / sound.length) / 0x1p31;
  }

  /** A source that cannot be read any more costs its own place in a joined lane, nothing else. */
  @Test
  void aSourceThatFailsLeavesSilence() throws IOException {
    List<LaneSource> sources = new ArrayList<>(shoot().subList(0, 2));
    LaneSource second = sources.get(1);
    sources.set(
        0,
        new LaneSource(
            sources.get(0).path(),
            "CAM-A",
            1,
            sources.get(0).facts(),
            sources.get(0).frameCount(),
            sources.get(0).verdicts(),
            sources.get(0).placement(),
            false,
            () -> {
              throw new hardpan.base.MediaAccessException("It is gone.", new IOException("gone"));
            }));
    List<PlannedFile> files =
        LaneSamples.files(
            sources,
            DriftCorrection.AUTO,
            new Arrangement(Layout.DEVICE, false, NameTemplate.USUAL));
    LaneClock clock = LaneClock.of(null, -1);
    List<String> failed = new ArrayList<>();
    Path out = Files.createDirectories(folder.resolve("out"));
    List<WrittenLane> written =
        new LaneWriter(
                clock,
                new LaneLabels("x", "Hardpan test", LaneSamples.MADE_AT, files, java.util.Map.of()),
                true)
            .write(
                files,
                out,
                (source, failure) -> failed.add(source.path()),
                hardpan.base.Monitor.SILENT);
    assertEquals(List.of(sources.get(0).path()), failed);
    assertTrue(written.stream().allMatch(lane -> lane.lane().isOf(second)));
    onlyAt(samples(out.resolve("CAM-A_1-2_left.wav"))[0], (int) (6.25 * RATE), sound(3, 3, 24));
  }
}
