package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

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

/** A compressed stream cut into files reads as the uncut one decodes. */
@NullUnmarked
class CutStreamTest {
  private static final int RATE = 48_000;

  /** Bytes of a transport stream's packet (ISO/IEC 13818-1, section 2.4.3). */
  private static final int TRANSPORT_PACKET = 188;

  @TempDir Path folder;

  @ParameterizedTest
  @ValueSource(strings = {"aac", "ac3"})
  void transportStreamCutBetweenPackets(String codec) throws IOException {
    float[][] sound = MediaSamples.speechLike(5, RATE, 2, 12 * RATE);
    Path whole = folder.resolve("whole.mts");
    MediaSamples.write(whole, MediaSamples.settings("mpegts", codec, RATE, 2), sound);
    float[][] uncut = MediaSamples.readAll(whole);
    byte[] bytes = Files.readAllBytes(whole);
    int packets = bytes.length / TRANSPORT_PACKET;
    List<Path> parts = new ArrayList<>();
    int[] cuts = {0, packets * 2 / 5 + 1, packets * 7 / 10, packets};
    for (int i = 0; i < 3; i++) {
      byte[] part =
          Arrays.copyOfRange(bytes, cuts[i] * TRANSPORT_PACKET, cuts[i + 1] * TRANSPORT_PACKET);
      parts.add(Files.write(folder.resolve("part" + i + ".mts"), part));
    }
    try (FfmpegReader joined = FfmpegReader.openCut(parts)) {
      assertSame(uncut, MediaSamples.readAll(joined));
      assertJumps(uncut, joined);
    }
    long start = 0;
    for (int i = 0; i < 2; i++) {
      float[][] own = MediaSamples.readAll(parts.get(i));
      StreamCut cut = StreamCut.between(parts.get(i), own[0].length, parts.get(i + 1));
      assertEquals(StreamCut.Kind.CLOCK_GOES_ON, cut.kind());
      start += cut.startFrame();
      // Decoded by itself the next part is the same from its third packet on, but for the noise
      // that either codec's decoder puts where the encoder sent none.
      float[][] next = MediaSamples.readAll(parts.get(i + 1));
      int from = 2 * 1536;
      float[] there = Arrays.copyOfRange(uncut[0], (int) start + from, (int) start + from + 9000);
      assertArrayEquals(there, Arrays.copyOfRange(next[0], from, from + 9000), 0.02f);
    }
  }

  @Test
  void movieFilesOfOneRunningEncoder() throws IOException {
    float[][] sound = MediaSamples.speechLike(6, RATE, 2, 12 * RATE);
    Path whole = folder.resolve("whole.mts");
    MediaSamples.write(whole, MediaSamples.settings("mpegts", "aac", RATE, 2), sound);
    Path one = FfmpegStreamCutter.copy(whole, 0, 100_000, folder.resolve("one.mp4"));
    float[][] uncut = MediaSamples.readAll(one);
    int[] cuts = {0, 170, 401, 100_000};
    List<Path> parts = new ArrayList<>();
    int sum = 0;
    for (int i = 0; i < 3; i++) {
      Path part = folder.resolve("part" + i + ".mp4");
      parts.add(FfmpegStreamCutter.copy(whole, cuts[i], cuts[i + 1], part));
      sum += MediaSamples.readAll(part)[0].length;
    }
    assertEquals(uncut[0].length, sum);
    try (FfmpegReader joined = FfmpegReader.openCut(parts)) {
      assertSame(uncut, MediaSamples.readAll(joined));
      assertJumps(uncut, joined);
      assertEquals(0, joined.concealedFrames());
    }
    float[][] alone = MediaSamples.readAll(parts.get(1));
    float[] there = Arrays.copyOfRange(uncut[0], 170 * 1024, 170 * 1024 + alone[0].length);
    assertFalse(Arrays.equals(there, alone[0]), "the first packet lacks the one before it");
    StreamCut cut = StreamCut.between(parts.get(0), 170 * 1024, parts.get(1));
    assertEquals(new StreamCut(StreamCut.Kind.MAY_RUN_ON, 170 * 1024), cut);
  }

  @Test
  void filesWithTheirOwnEncoderSaySo() throws IOException {
    List<Path> parts = new ArrayList<>();
    for (int i = 0; i < 2; i++) {
      Path part = folder.resolve("own" + i + ".mp4");
      float[][] sound = MediaSamples.speechLike(7 + i, RATE, 2, 3 * RATE);
      parts.add(MediaSamples.write(part, MediaSamples.settings("mp4", "aac", RATE, 2), sound));
    }
    StreamCut cut = StreamCut.between(parts.get(0), 3 * RATE, parts.get(1));
    assertEquals(StreamCut.Kind.OWN_START, cut.kind());
  }

  private static void assertSame(float[][] uncut, float[][] joined) {
    assertEquals(uncut.length, joined.length);
    for (int c = 0; c < uncut.length; c++) {
      assertArrayEquals(uncut[c], joined[c], "channel " + c);
    }
    assertTrue(uncut[0].length > RATE);
  }

  private static void assertJumps(float[][] uncut, SourceReader joined) throws IOException {
    float[][] block = new float[2][5000];
    for (int at : new int[] {450_000, 30_000, 300_000, 171 * 1024, 0}) {
      assertEquals(5000, joined.readAt(at, block, 5000));
      assertArrayEquals(Arrays.copyOfRange(uncut[1], at, at + 5000), block[1], "at " + at);
    }
  }
}
