package hardpan.lanes;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.lineup.Placement;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveHeader;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What a lane's samples are, held against the samples that went into the source. */
@NullUnmarked
class LaneSoundTest {
  private static final int RATE = 48_000;

  @TempDir Path folder;

  @ParameterizedTest
  @ValueSource(ints = {16, 24, 32})
  void wholeNumbersPassBitForBit(int bits) throws IOException {
    // Floats hold 25 bits of a sample; below that, whole numbers are written directly.
    Random random = new Random(bits);
    int[][] sound = new int[2][100_003];
    for (int[] channel : sound) {
      for (int i = 0; i < channel.length; i++) {
        channel[i] = random.nextInt() & (-1 << (32 - bits));
      }
      channel[0] = Integer.MIN_VALUE;
      channel[1] = Integer.MAX_VALUE & (-1 << (32 - bits));
    }
    Path file = folder.resolve("rec.wav");
    try (var writer =
        hardpan.wave.WaveFileWriter.create(
            file, WaveFormat.integer(bits, RATE, 2), WaveMetadata.NONE)) {
      writer.writeIntegers(sound, sound[0].length);
      writer.finish();
    }
    List<WrittenLane> lanes = write(file, null);
    assertEquals(2, lanes.size());
    for (int channel = 0; channel < 2; channel++) {
      Path lane = path(lanes.get(channel));
      assertEquals(bits, WaveHeader.read(lane).format().containerBits());
      assertArrayEquals(sound[channel], LaneSamples.integers(lane), "channel " + channel);
      assertEquals(sound[0].length, lanes.get(channel).frameCount());
      assertEquals(0, lanes.get(channel).clampedSamples());
    }
  }

  @Test
  void floatsPassBitForBitAlsoBeyondFullScale() throws IOException {
    Random random = new Random(4);
    float[] sound = new float[RATE * 2];
    for (int i = 0; i < sound.length; i++) {
      sound[i] = (float) (3 * random.nextGaussian());
    }
    sound[5] = Float.MIN_VALUE;
    sound[6] = -0f;
    Path file =
        LaneSamples.wave(
            folder.resolve("rec.wav"), WaveFormat.float32(RATE, 1), WaveMetadata.NONE, sound);
    WrittenLane lane = write(file, null).get(0);
    assertTrue(lane.lane().format().isFloat());
    float[] written = LaneSamples.floats(path(lane));
    for (int i = 0; i < sound.length; i++) {
      assertEquals(
          Float.floatToRawIntBits(sound[i]), Float.floatToRawIntBits(written[i]), "at " + i);
    }
  }

  @ParameterizedTest
  @CsvSource({"pcm_s16le, 16", "pcm_s24le, 24"})
  void aClipsTwoSignalsBecomeTwoLanesBitForBit(String codec, int bits) throws IOException {
    float[] left = LaneSamples.speech(1, RATE, 4, 0.5, bits);
    float[] right = LaneSamples.speech(2, RATE, 4, 0.4, bits);
    Path file = LaneSamples.clip(folder.resolve("a.mov"), "mov", codec, RATE, left, right);
    List<WrittenLane> lanes = write(file, null);
    assertEquals(List.of("left", "right"), lanes.stream().map(lane -> lane.lane().name()).toList());
    assertEquals(bits, lanes.get(0).lane().format().bits());
    assertArrayEquals(LaneSamples.leftJustified(left), LaneSamples.integers(path(lanes.get(0))));
    assertArrayEquals(LaneSamples.leftJustified(right), LaneSamples.integers(path(lanes.get(1))));
  }

  @Test
  void theSameSignalTwiceBecomesOneLane() throws IOException {
    float[] sound = LaneSamples.speech(3, RATE, 4, 0.5, 16);
    Path file = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s16le", RATE, sound, sound);
    List<WrittenLane> lanes = write(file, null);
    assertEquals(1, lanes.size());
    assertEquals("mono", lanes.get(0).lane().name());
    assertEquals(List.of(0), lanes.get(0).lane().channels());
    assertArrayEquals(LaneSamples.leftJustified(sound), LaneSamples.integers(path(lanes.get(0))));
  }

  /**
   * A balanced feed on tip and ring: left carries the signal, right its opposite, each with a noise
   * of its own. The lane is half the difference, upright as the reference hears it.
   */
  @ParameterizedTest
  @CsvSource({
    // channel measured, whether it is upside down there, whether left is upright
    "0, false, true",
    "0, true, false",
    "1, false, false",
    "1, true, true",
  })
  void anInvertedPairGivesHalfTheDifferenceUpright(
      int channel, boolean inverted, boolean leftUpright) throws IOException {
    float[] left = LaneSamples.speech(5, RATE, 4, 0.5, 16);
    float[] right = LaneSamples.inverted(left);
    Random random = new Random(6);
    for (int i = 0; i < right.length; i++) {
      right[i] += random.nextInt(7) * 0x1p-15f;
    }
    Path file = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s16le", RATE, left, right);
    List<WrittenLane> lanes = write(file, LaneSamples.placed(1.5, 0, inverted, channel));
    assertEquals(1, lanes.size());
    assertEquals(leftUpright ? List.of(0, 1) : List.of(1, 0), lanes.get(0).lane().channels());
    assertEquals(24, lanes.get(0).lane().format().bits());
    int[] wanted = new int[left.length];
    for (int i = 0; i < wanted.length; i++) {
      double half = 0.5 * ((double) left[i] - right[i]) * (leftUpright ? 1 : -1);
      wanted[i] = (int) Math.rint(half * 0x1p31);
    }
    assertArrayEquals(wanted, LaneSamples.integers(path(lanes.get(0))));
  }

  @Test
  void anInvertedPairOf24BitsIsRoundedToTheNearestStep() throws IOException {
    float[] left = LaneSamples.speech(7, RATE, 4, 0.9, 24);
    float[] right = LaneSamples.inverted(left);
    for (int i = 0; i < right.length; i += 2) {
      right[i] += 0x1p-23f;
    }
    left[100] = (float) (1 - 0x1p-23);
    right[100] = -1f;
    left[101] = -1f;
    right[101] = (float) (1 - 0x1p-23);
    Path file = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s24le", RATE, left, right);
    WrittenLane lane = write(file, LaneSamples.placed(0, 0, false, 0)).get(0);
    assertEquals(24, lane.lane().format().bits());
    int[] written = LaneSamples.integers(path(lane));
    for (int i = 0; i < written.length; i++) {
      double half = 0.5 * ((double) left[i] - right[i]) * 0x1p23;
      assertEquals(Math.min(half, 0x1p23 - 1), written[i] >> 8, 0.5, "at " + i);
    }
  }

  @Test
  void anUnplacedInvertedPairCountsAsTipHot() throws IOException {
    float[] left = LaneSamples.speech(8, RATE, 4, 0.5, 16);
    Path file =
        LaneSamples.clip(
            folder.resolve("a.mov"), "mov", "pcm_s16le", RATE, left, LaneSamples.inverted(left));
    WrittenLane lane = write(file, null).get(0);
    assertArrayEquals(LaneSamples.leftJustified(left), LaneSamples.integers(path(lane)));
  }

  @ParameterizedTest
  @CsvSource({"mp4, aac, a.mp4", "mpegts, ac3, a.mts"})
  void lossySoundBeyondFullScaleStaysWhole(String container, String codec, String name)
      throws IOException {
    float[] left = hardClipped(LaneSamples.speech(9, RATE, 4, 6, 24));
    float[] right = hardClipped(LaneSamples.speech(10, RATE, 4, 6, 24));
    Path file = LaneSamples.clip(folder.resolve(name), container, codec, RATE, left, right);
    float[][] decoded = LaneSamples.decoded(file);
    List<WrittenLane> lanes = write(file, null);
    assertEquals(2, lanes.size());
    for (int channel = 0; channel < 2; channel++) {
      assertTrue(peak(decoded[channel]) > 1, "the decoder must overshoot for this test");
      assertTrue(lanes.get(channel).lane().format().isFloat());
      assertEquals(0, lanes.get(channel).clampedSamples());
      assertArrayEquals(decoded[channel], LaneSamples.floats(path(lanes.get(channel))));
    }
  }

  @Test
  void lossySoundBelowFullScaleIsRoundedTo24Bits() throws IOException {
    float[] left = LaneSamples.speech(11, RATE, 4, 0.3, 24);
    float[] right = LaneSamples.speech(12, RATE, 4, 0.3, 24);
    Path file = LaneSamples.clip(folder.resolve("a.mp4"), "mp4", "aac", RATE, left, right);
    float[][] decoded = LaneSamples.decoded(file);
    WrittenLane lane = write(file, null).get(1);
    assertFalse(lane.lane().format().isFloat());
    assertEquals(24, lane.lane().format().bits());
    int[] written = LaneSamples.integers(path(lane));
    assertEquals(decoded[1].length, written.length);
    for (int i = 0; i < written.length; i++) {
      assertEquals(decoded[1][i] * 0x1p23, written[i] >> 8, 0.5, "at " + i);
    }
  }

  @Test
  void aSilentSideGivesNoLane() throws IOException {
    float[] sound = LaneSamples.speech(13, RATE, 4, 0.5, 16);
    float[] silence = new float[sound.length];
    Path one = LaneSamples.clip(folder.resolve("a.mov"), "mov", "pcm_s16le", RATE, silence, sound);
    List<WrittenLane> lanes = write(one, null);
    assertEquals(List.of("right"), lanes.stream().map(lane -> lane.lane().name()).toList());
    assertArrayEquals(LaneSamples.leftJustified(sound), LaneSamples.integers(path(lanes.get(0))));
    Path both =
        LaneSamples.clip(folder.resolve("b.mov"), "mov", "pcm_s16le", RATE, silence, silence);
    assertEquals(List.of(), write(both, null));
  }

  @Test
  void theChecksumIsThatOfTheFile() throws Exception {
    float[] sound = LaneSamples.speech(14, RATE, 1, 0.5, 16);
    Path file =
        LaneSamples.wave(
            folder.resolve("rec.wav"), WaveFormat.integer(16, RATE, 1), WaveMetadata.NONE, sound);
    WrittenLane lane = write(file, null).get(0);
    byte[] digest =
        java.security.MessageDigest.getInstance("SHA-256")
            .digest(java.nio.file.Files.readAllBytes(path(lane)));
    assertEquals(java.util.HexFormat.of().formatHex(digest), lane.sha256());
  }

  private List<WrittenLane> write(Path file, Placement placement) throws IOException {
    return LaneSamples.write(
        LaneSamples.source(file, placement, false), DriftCorrection.AUTO, folder);
  }

  private Path path(WrittenLane lane) {
    return folder.resolve(lane.lane().fileName());
  }

  private static float[] hardClipped(float[] sound) {
    float[] result = sound.clone();
    for (int i = 0; i < result.length; i++) {
      result[i] = Math.max(-1, Math.min(1, result[i]));
    }
    return result;
  }

  private static float peak(float[] sound) {
    float peak = 0;
    for (float value : sound) {
      peak = Math.max(peak, Math.abs(value));
    }
    return peak;
  }
}
