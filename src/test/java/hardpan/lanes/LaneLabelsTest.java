package hardpan.lanes;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.lineup.Placement;
import hardpan.media.FfmpegReader;
import hardpan.signal.FrameRate;
import hardpan.signal.Timecode;
import hardpan.wave.BextLoudness;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.IxmlDocument;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveHeader;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import javax.sound.sampled.AudioFormat;
import javax.sound.sampled.AudioInputStream;
import javax.sound.sampled.AudioSystem;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What a lane's file says of itself, read back by three readers. */
@NullUnmarked
class LaneLabelsTest {
  private static final int RATE = 48_000;
  private static final long EVENING = 19L * 3600 * RATE;

  @TempDir Path folder;

  @Test
  void threeReadersAgreeOnALane() throws Exception {
    float[] sound = LaneSamples.speech(91, RATE, 1, 0.4, 24);
    Path source = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s24le", RATE, sound, sound);
    WrittenLane lane =
        write(LaneSamples.source(source, LaneSamples.placed(2.5, 3, false, 0), false)).get(0);
    Path file = folder.resolve(lane.lane().fileName());
    assertEquals(120_000, lane.startFrameOnReference());
    assertEquals(EVENING + 120_000, lane.timeReferenceSamples());

    WaveHeader header = WaveHeader.read(file);
    assertEquals(List.of(), header.oddities());
    assertEquals(EVENING + 120_000, header.bext().timeReferenceSamples());

    try (FfmpegReader reader = FfmpegReader.open(file)) {
      assertEquals(EVENING + 120_000, reader.facts().timeReferenceSamples());
      assertEquals("pcm_s24le", reader.facts().codec());
      int[][] read = new int[1][sound.length];
      assertEquals(sound.length, reader.readIntegersAt(0, read, sound.length));
      assertArrayEquals(LaneSamples.leftJustified(sound), read[0]);
    }

    try (AudioInputStream stream = AudioSystem.getAudioInputStream(file.toFile())) {
      assertEquals(AudioFormat.Encoding.PCM_SIGNED, stream.getFormat().getEncoding());
      assertEquals(RATE, stream.getFormat().getSampleRate());
      assertEquals(24, stream.getFormat().getSampleSizeInBits());
      assertEquals(sound.length, stream.getFrameLength());
      byte[] bytes = stream.readAllBytes();
      int[] wanted = LaneSamples.leftJustified(sound);
      for (int i = 0; i < wanted.length; i++) {
        int low = (bytes[3 * i] & 0xFF) | ((bytes[3 * i + 1] & 0xFF) << 8);
        int value = low | (bytes[3 * i + 2] << 16);
        assertEquals(wanted[i], value << 8, "at " + i);
      }
    }
  }

  @Test
  void aFloatLaneIsReadByOthersToo() throws Exception {
    float[] sound = LaneSamples.speech(92, RATE, 1, 3, 24);
    Path source =
        LaneSamples.wave(
            folder.resolve("r.wav"), WaveFormat.float32(RATE, 1), WaveMetadata.NONE, sound);
    WrittenLane lane = write(LaneSamples.source(source, null, true)).get(0);
    Path file = folder.resolve(lane.lane().fileName());
    try (AudioInputStream stream = AudioSystem.getAudioInputStream(file.toFile())) {
      assertEquals(AudioFormat.Encoding.PCM_FLOAT, stream.getFormat().getEncoding());
      ByteBuffer bytes = ByteBuffer.wrap(stream.readAllBytes()).order(ByteOrder.LITTLE_ENDIAN);
      for (float value : sound) {
        assertEquals(value, bytes.getFloat());
      }
    }
    try (FfmpegReader reader = FfmpegReader.open(file)) {
      float[][] read = new float[1][sound.length];
      assertEquals(sound.length, reader.readAt(0, read, sound.length));
      assertArrayEquals(sound, read[0]);
    }
  }

  /** EBU Tech 3285 v2 for the chunk, EBU R 98 for the history, EBU R 99 for the reference. */
  @Test
  void theBroadcastExtensionIsComplete() throws IOException {
    float[] left = LaneSamples.speech(93, RATE, 4, 0.4, 16);
    float[] right = LaneSamples.speech(94, RATE, 4, 0.4, 16);
    Path source =
        LaneSamples.clip(folder.resolve("a,b.mov"), "mov", "pcm_s16le", RATE, left, right);
    WrittenLane lane =
        write(LaneSamples.source(source, LaneSamples.placed(0.25, 5, false, 0), false)).get(1);
    BroadcastExtension bext = bext(lane);
    assertEquals(2, bext.version());
    assertEquals("Hardpan", bext.originator());
    assertEquals("2026-05-16", bext.originationDate());
    assertEquals("19-00-00", bext.originationTime());
    assertTrue(bext.originatorReference().matches("XXHPNCAMA[A-Z0-9]{8}190000[0-9]{9}"));
    assertNotNull(bext.umid());
    assertTrue(bext.description().startsWith("CAM-A right | Harvest supper | from CAM-A/a,b.mov"));
    List<String> history = bext.codingHistory().lines().toList();
    assertEquals(2, history.size());
    assertEquals(
        "A=PCM,F=48000,W=16,M=dual-mono,T=pcm_s16le in mov; CAM-A/a;b.mov", history.get(0));
    assertEquals("A=PCM,F=48000,W=16,M=mono,T=Hardpan test; channel 2", history.get(1));
  }

  @Test
  void theHistoryTellsWhatWasDone() throws IOException {
    float[] left = LaneSamples.speech(95, RATE, 4, 0.9, 24);
    Path source =
        LaneSamples.clip(
            folder.resolve("a.mp4"), "mp4", "aac", RATE, left, LaneSamples.inverted(left));
    LaneSource inverted =
        LaneSamples.source(source, LaneSamples.placed(0.25, 61.25, true, 0), false);
    WrittenLane lane = LaneSamples.write(inverted, DriftCorrection.ON, folder, clock()).get(0);
    List<String> history = bext(lane).codingHistory().lines().toList();
    assertTrue(history.get(0).startsWith("A=PCM,F=48000,M=dual-mono,T=decoded from aac in "));
    assertEquals(
        "A=PCM,F=48000,W=24,M=mono,T=Hardpan test; half difference of channels 2 and 1",
        history.get(1));
    assertEquals(
        "A=PCM,F=48000,W=24,M=mono,T=Hardpan test; resampled +61.250 ppm; 32 bit float",
        history.get(2));
    assertEquals(3, history.size());
  }

  /** A lane keeps the sound as it came; that it is upside down is written down. */
  @Test
  void theHistoryTellsOfPolarity() throws IOException {
    float[] left = LaneSamples.speech(102, RATE, 4, 0.4, 16);
    float[] right = LaneSamples.speech(103, RATE, 4, 0.4, 16);
    Path source = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s16le", RATE, left, right);
    List<WrittenLane> lanes =
        write(LaneSamples.source(source, LaneSamples.placed(1, 0, true, 1), false));
    assertFalse(bext(lanes.get(0)).codingHistory().contains("polarity"));
    assertTrue(
        bext(lanes.get(1))
            .codingHistory()
            .contains("channel 2; polarity against the reference left as it is"));
  }

  /**
   * ITU-R BS.1770: a sine of 997 Hz at 0 dBFS in one channel reads -3.01 LKFS, so one of -20 dBFS
   * reads -23.01, in every window; its true peak is -20 dBTP.
   */
  @Test
  void theLoudnessIsMeasuredAsWritten() throws IOException {
    float[] sine = new float[RATE * 5];
    for (int i = 0; i < sine.length; i++) {
      sine[i] = (float) (0.1 * Math.sin(2 * Math.PI * 997 * i / RATE));
    }
    for (DriftCorrection correction : DriftCorrection.values()) {
      for (boolean isFloat : new boolean[] {false, true}) {
        String name = correction + "-" + isFloat;
        WaveFormat format = isFloat ? WaveFormat.float32(RATE, 1) : WaveFormat.integer(24, RATE, 1);
        Path source =
            LaneSamples.wave(folder.resolve(name + ".wav"), format, WaveMetadata.NONE, sine);
        LaneSource clip = LaneSamples.source(source, LaneSamples.placed(0.25, 40, false, 0), false);
        Path out = Files.createDirectory(folder.resolve(name));
        WrittenLane lane = LaneSamples.write(clip, correction, out, clock()).get(0);
        BextLoudness loudness =
            WaveHeader.read(out.resolve(lane.lane().fileName())).bext().loudness();
        assertEquals(-23.01, loudness.integratedLufs(), 0.02, name);
        assertEquals(-23.01, loudness.maxMomentaryLufs(), 0.05, name);
        assertEquals(-23.01, loudness.maxShortTermLufs(), 0.02, name);
        assertEquals(-20.0, loudness.maxTruePeakDbtp(), 0.05, name);
        assertNotNull(loudness.rangeLu());
      }
    }
  }

  /** EBU Tech 3285 s3: what is not known is 0x7FFF; half a second has no short-term loudness. */
  @Test
  void shortLanesLeaveLoudnessFieldsUnused() throws IOException {
    float[] sound = LaneSamples.speech(104, RATE, 0.5, 0.4, 16);
    Path source = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s16le", RATE, sound, sound);
    WrittenLane lane =
        write(LaneSamples.source(source, LaneSamples.placed(1, 0, false, 0), false)).get(0);
    BextLoudness loudness = bext(lane).loudness();
    assertNotNull(loudness.integratedLufs());
    assertNull(loudness.maxShortTermLufs());
    assertNull(loudness.rangeLu());
  }

  /** iXML 3.01, FILE_SET: the lanes of one clip name the same family and count through. */
  @Test
  void theLanesOfAClipAreASet() throws IOException {
    float[] left = LaneSamples.speech(105, RATE, 4, 0.4, 16);
    float[] right = LaneSamples.speech(106, RATE, 4, 0.4, 16);
    Path source = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s16le", RATE, left, right);
    List<WrittenLane> lanes =
        write(LaneSamples.source(source, LaneSamples.placed(1, 0, false, 0), false));
    IxmlDocument.FileSet first = ixml(lanes.get(0)).fileSet();
    IxmlDocument.FileSet second = ixml(lanes.get(1)).fileSet();
    assertEquals(2, first.totalFiles());
    assertEquals(first.familyUid(), second.familyUid());
    assertEquals("CAM-A 1", first.familyName());
    assertEquals("1", first.index());
    assertEquals("2", second.index());
    assertNotEquals(ixml(lanes.get(0)).fileUid(), ixml(lanes.get(1)).fileUid());
    assertEquals("2026-05-16", ixml(lanes.get(0)).tape());
  }

  /** iXML 3.01, SPEED: the rate as a fraction, and the flag; nothing where it is not known. */
  @Test
  void theTimecodeRateIsThatOfThePicture() throws IOException {
    float[] sound = LaneSamples.speech(107, RATE, 1, 0.4, 16);
    Path file = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s16le", RATE, sound, sound);
    LaneSource source = LaneSamples.source(file, LaneSamples.placed(1, 0, false, 0), false);
    assertEquals("", ixml(write(source).get(0)).speed().timecodeRate());
    List<PlannedFile> plan =
        LaneSamples.files(List.of(source), DriftCorrection.AUTO, Arrangement.USUAL);
    Timecode picture = new Timecode(new FrameRate(30_000, 1001), true);
    LaneLabels labels =
        new LaneLabels("x", "y", LaneSamples.MADE_AT, plan, Map.of(source.path(), picture));
    String xml = labels.metadata(plan.get(0), clock(), 5L).ixml();
    assertTrue(xml.contains("<TIMECODE_RATE>30000/1001</TIMECODE_RATE>"), xml);
    assertTrue(xml.contains("<TIMECODE_FLAG>DF</TIMECODE_FLAG>"), xml);
  }

  /** EBU Tech 3285 allows ASCII only; iXML is UTF-8 and keeps every letter. */
  @Test
  void namesArePlainInBextAndWholeInIxml() throws IOException {
    float[] sound = LaneSamples.speech(108, RATE, 1, 0.4, 16);
    Path source =
        LaneSamples.clip(
            folder.resolve("Gespr\u00e4ch \u6771\u4eac.mov"),
            "mov",
            "pcm_s16le",
            RATE,
            sound,
            sound);
    WrittenLane lane =
        write(LaneSamples.source(source, LaneSamples.placed(1, 0, false, 0), false)).get(0);
    BroadcastExtension bext = bext(lane);
    assertTrue(bext.description().contains("from CAM-A/Gesprach ??.mov"), bext.description());
    assertTrue(bext.codingHistory().contains("CAM-A/Gesprach ??.mov"));
    assertTrue(ixml(lane).note().contains("Gespr\u00e4ch \u6771\u4eac.mov"), ixml(lane).note());
  }

  @Test
  void theIxmlNamesTheParentAndTheTrack() throws IOException {
    float[] sound = LaneSamples.speech(96, RATE, 1, 0.4, 16);
    Path source =
        LaneSamples.clip(folder.resolve("m\u00fcller.mov"), "mov", "pcm_s16le", RATE, sound, sound);
    WrittenLane lane =
        write(LaneSamples.source(source, LaneSamples.placed(1, 0, false, 0), false)).get(0);
    WaveHeader header = WaveHeader.read(folder.resolve(lane.lane().fileName()));
    IxmlDocument ixml = header.ixmlDocument();
    assertEquals("m\u00fcller.mov", ixml.history().parentFileName());
    assertEquals(lane.lane().fileName(), ixml.history().originalFileName());
    assertEquals("Harvest supper", ixml.project());
    assertEquals("CAM-A", ixml.scene());
    assertEquals("1", ixml.take());
    assertEquals(lane.timeReferenceSamples(), ixml.speed().timestampSamples());
    assertEquals(RATE, ixml.speed().timestampRateHz());
    assertEquals(List.of(new IxmlDocument.Track(1, 1, "mono", "")), ixml.tracks());
    assertEquals("mono", header.info().get("INAM"));
    assertEquals("Hardpan test", header.info().get("ISFT"));
  }

  @Test
  void aLaneAt44100CountsAtItsOwnRate() throws IOException {
    float[] sound = LaneSamples.speech(97, 44_100, 1, 0.4, 16);
    Path source =
        LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s16le", 44_100, sound, sound);
    WrittenLane lane =
        write(LaneSamples.source(source, LaneSamples.placed(10, 0, false, 0), false)).get(0);
    assertEquals(44_100, lane.lane().format().rateHz());
    assertEquals(441_000, lane.startFrameOnReference());
    assertEquals((19L * 3600 + 10) * 44_100, lane.timeReferenceSamples());
    assertEquals((19L * 3600 + 10) * 44_100, bext(lane).timeReferenceSamples());
  }

  @Test
  void aLaneWithoutAPlaceSaysSo() throws IOException {
    float[] sound = LaneSamples.speech(98, RATE, 1, 0.4, 16);
    Path source = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s16le", RATE, sound, sound);
    Placement refused = Placement.refused("Nothing in common with the reference.");
    WrittenLane lane = write(LaneSamples.source(source, refused, false)).get(0);
    assertNull(lane.startFrameOnReference());
    assertNull(lane.timeReferenceSamples());
    BroadcastExtension bext = bext(lane);
    assertEquals(0, bext.timeReferenceSamples());
    assertTrue(bext.description().contains("NOT LINED UP"), bext.description());
    assertTrue(bext.description().contains("Nothing in common"), bext.description());
    assertTrue(lane.lane().fileName().contains("unplaced"));
    IxmlDocument ixml = WaveHeader.read(folder.resolve(lane.lane().fileName())).ixmlDocument();
    assertNull(ixml.speed().timestampSamples());
  }

  @Test
  void withoutALineUpARecordersOwnStampStays() throws IOException {
    float[] sound = LaneSamples.speech(99, RATE, 1, 0.4, 16);
    BroadcastExtension stamp =
        BroadcastExtension.of("", "", "", "2026-05-16", "18-00-00", 123_456_789L, null, "");
    Path source =
        LaneSamples.wave(
            folder.resolve("r.wav"),
            WaveFormat.integer(16, RATE, 1),
            new WaveMetadata(stamp, null, Map.of(), List.of()),
            sound);
    WrittenLane lane = write(LaneSamples.source(source, null, false)).get(0);
    assertEquals(123_456_789L, bext(lane).timeReferenceSamples());
    assertEquals("18-00-00", bext(lane).originationTime());
    assertNull(lane.startFrameOnReference());
  }

  @Test
  void identifiersDifferFromLaneToLaneAndRepeat() throws IOException {
    float[] left = LaneSamples.speech(100, RATE, 4, 0.4, 16);
    float[] right = LaneSamples.speech(101, RATE, 4, 0.4, 16);
    Path source = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s16le", RATE, left, right);
    LaneSource clip = LaneSamples.source(source, LaneSamples.placed(1, 0, false, 0), false);
    List<WrittenLane> lanes = write(clip);
    assertNotEquals(bext(lanes.get(0)).umid(), bext(lanes.get(1)).umid());
    Path again = Files.createDirectory(folder.resolve("again"));
    List<WrittenLane> second = LaneSamples.write(clip, DriftCorrection.AUTO, again, clock());
    assertEquals(lanes.get(0).sha256(), second.get(0).sha256(), "the same input, the same bytes");
    assertEquals(lanes.get(1).sha256(), second.get(1).sha256());
  }

  private List<WrittenLane> write(LaneSource source) throws IOException {
    return LaneSamples.write(source, DriftCorrection.AUTO, folder, clock());
  }

  private static LaneClock clock() {
    return LaneClock.of(LaneSamples.stamped(EVENING, "2026-05-16T19:00:00Z"), 0);
  }

  private IxmlDocument ixml(WrittenLane lane) throws IOException {
    return WaveHeader.read(folder.resolve(lane.lane().fileName())).ixmlDocument();
  }

  private BroadcastExtension bext(WrittenLane lane) throws IOException {
    return WaveHeader.read(folder.resolve(lane.lane().fileName())).bext();
  }
}
