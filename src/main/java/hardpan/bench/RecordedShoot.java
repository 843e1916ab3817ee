package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.FfmpegClipWriter;
import hardpan.signal.Decibels;
import hardpan.signal.SincInterpolator;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;

/**
 * A shoot with known truth made from recorded voices and music: two speakers who take turns, then
 * music with both talking over it. Five cameras with clocks of their own film it; the fifth films
 * something else.
 */
final class RecordedShoot {
  private static final int RATE_HZ = SoundPool.RATE_HZ;
  private static final int EVENT_SECONDS = 480;
  private static final int MARGIN = RATE_HZ;
  private static final int BLEED_FRAMES = 290;
  private static final double TURN_SECONDS = 15;
  private static final int FAR_DELAY_FRAMES = 1680;
  private static final int ROOM_DELAY_FRAMES = 480;
  private static final int ECHOES = 400;

  private final SplittableRandom dice;
  private final float[] first;
  private final float[] second;
  private final float[] board;
  private final float[] other;

  /**
   * What is true of a clip.
   *
   * @param path path in the shoot
   * @param pair the pair verdict it should get
   * @param offsetSeconds its place; NaN if it does not belong
   * @param driftPpm its clock
   * @param toleranceMs error that is still good
   */
  record Truth(
      String path, String pair, double offsetSeconds, double driftPpm, double toleranceMs) {
    boolean belongs() {
      return !Double.isNaN(offsetSeconds);
    }
  }

  /** The ways a camera is fed. */
  private enum Feed {
    SPLIT("isolated"),
    HOT_CONSOLE("same-signal"),
    BALANCED("inverted"),
    FAR("stereo"),
    ELSEWHERE("isolated");

    private final String pair;

    Feed(String pair) {
      this.pair = pair;
    }
  }

  /** Takes its sound from two folders. */
  RecordedShoot(Path voices, Path music, long seed) throws MediaException {
    this.dice = new SplittableRandom(seed);
    SoundPool pool = new SoundPool(voices, seed);
    this.first = pool.take(EVENT_SECONDS);
    this.second = pool.take(EVENT_SECONDS);
    this.other = pool.take(EVENT_SECONDS / 4.0);
    float[] band = new SoundPool(music, seed).take(EVENT_SECONDS / 3.0);
    for (int i = 0; i < first.length; i++) {
      // They take turns, each falling silent while the other speaks.
      boolean firstSpeaks = (long) (i / (TURN_SECONDS * RATE_HZ)) % 2 == 0;
      first[i] *= firstSpeaks ? 1 : 0.0005f;
      second[i] *= firstSpeaks ? 0.0005f : 1;
    }
    this.board = new float[first.length];
    int bandFrom = first.length - band.length;
    for (int i = 0; i < board.length; i++) {
      board[i] = first[i] + second[i] + (i >= bandFrom ? 0.7f * band[i - bandFrom] : 0);
    }
  }

  /** Makes all files. */
  List<Truth> make(Path folder, Monitor monitor) throws MediaException, IOException {
    makeRecording(folder);
    List<Truth> truths = new ArrayList<>();
    Feed[] feeds = Feed.values();
    for (int camera = 0; camera < feeds.length; camera++) {
      double driftPpm = dice.nextDouble(-100, 100);
      for (int take = 1; take <= 3; take++) {
        monitor.checkCancelled();
        monitor.progress("making media", (camera * 3 + take) / 15.0 * 0.5);
        truths.add(makeClip(folder, feeds[camera], camera + 1, take, driftPpm));
      }
    }
    return truths;
  }

  private void makeRecording(Path folder) throws IOException {
    Path recorder = Files.createDirectories(folder.resolve("REC"));
    float[] echoes = echoes(board, ROOM_DELAY_FRAMES, 0.5, dice.nextLong());
    try (WaveFileWriter writer =
        WaveFileWriter.create(
            recorder.resolve("evening.wav"),
            WaveFormat.integer(24, RATE_HZ, 4),
            WaveMetadata.NONE)) {
      int block = 1 << 14;
      float[][] out = new float[4][block];
      for (int at = 0; at < board.length; at += block) {
        int count = Math.min(block, board.length - at);
        for (int i = 0; i < count; i++) {
          out[0][i] = withBleed(first, second, at + i);
          out[1][i] = withBleed(second, first, at + i);
          out[2][i] = 0.7f * board[at + i];
          out[3][i] = 0.4f * echoes[at + i];
        }
        writer.writeFloats(out, count);
      }
      writer.finish();
    }
  }

  private static float withBleed(float[] own, float[] bleed, int frame) {
    return own[frame] + (frame >= BLEED_FRAMES ? 0.06f * bleed[frame - BLEED_FRAMES] : 0);
  }

  private Truth makeClip(Path folder, Feed feed, int camera, int take, double driftPpm)
      throws MediaException, IOException {
    double seconds = feed == Feed.ELSEWHERE ? 30 : dice.nextDouble(25, 130);
    double sourceSeconds = feed == Feed.ELSEWHERE ? other.length / (double) RATE_HZ : EVENT_SECONDS;
    double start = dice.nextDouble(2, sourceSeconds - seconds - 2);
    int rateHz = feed == Feed.FAR ? 44_100 : RATE_HZ;
    float[][] sound = sound(feed, start, seconds, driftPpm, rateHz);
    String ending =
        switch (feed) {
          case SPLIT, ELSEWHERE -> "MOV";
          case HOT_CONSOLE, FAR -> "MP4";
          case BALANCED -> "MTS";
        };
    String path = "CAM-" + camera + "/TAKE" + take + "." + ending;
    Files.createDirectories(folder.resolve("CAM-" + camera));
    try (FfmpegClipWriter writer =
        FfmpegClipWriter.create(folder.resolve(path), settings(ending, rateHz))) {
      writer.write(sound, sound[0].length);
    }
    boolean far = feed == Feed.FAR;
    double flight = far ? (double) FAR_DELAY_FRAMES / RATE_HZ : 0;
    // The AC-3 encoder's 256 frames of run-up are declared nowhere and count as sound.
    double runUp = feed == Feed.BALANCED ? 256.0 / rateHz * (1 + driftPpm * 1e-6) : 0;
    double offset = feed == Feed.ELSEWHERE ? Double.NaN : start - flight - runUp;
    return new Truth(path, feed.pair, offset, driftPpm, far ? 1 : 0.05);
  }

  private static FfmpegClipWriter.Settings settings(String ending, int rateHz) {
    return switch (ending) {
      case "MOV" -> new FfmpegClipWriter.Settings("mov", "pcm_s16le", rateHz, 2, null, true, null);
      case "MP4" -> new FfmpegClipWriter.Settings("mp4", "aac", rateHz, 2, 160_000, true, null);
      default -> new FfmpegClipWriter.Settings("mpegts", "ac3", rateHz, 2, 256_000, true, null);
    };
  }

  private float[][] sound(Feed feed, double start, double seconds, double driftPpm, int rateHz) {
    int from = (int) (start * RATE_HZ) - MARGIN;
    int count = (int) (seconds * RATE_HZ) + 2 * MARGIN;
    float[] left = new float[count];
    float[] right = new float[count];
    int half = other.length / 2;
    for (int i = 0; i < count; i++) {
      int frame = Math.max(0, Math.min(board.length - 1, from + i));
      switch (feed) {
        case SPLIT -> {
          left[i] = 0.8f * withBleed(first, second, frame);
          right[i] = 0.8f * withBleed(second, first, frame);
        }
        case ELSEWHERE -> {
          left[i] = other[Math.floorMod(i, half)];
          right[i] = other[half + Math.floorMod(i, half)];
        }
        default -> {
          left[i] = board[frame];
          right[i] = board[frame];
        }
      }
    }
    if (feed == Feed.FAR) {
      // Two capsules 20 cm apart: the same early arrival, rooms of their own.
      left = echoes(left, FAR_DELAY_FRAMES, 0.8, 11);
      right = echoes(right, FAR_DELAY_FRAMES + 4, 0.8, 12);
    }
    return recorded(feed, left, right, start - (double) from / RATE_HZ, seconds, driftPpm, rateHz);
  }

  /** The camera: its clock, its preamplifier, its ceiling. */
  private float[][] recorded(
      Feed feed,
      float[] left,
      float[] right,
      double startInStretch,
      double seconds,
      double driftPpm,
      int rateHz) {
    int frames = (int) ((seconds - 0.01) * rateHz);
    float[][] out = new float[2][frames];
    SincInterpolator between = SincInterpolator.withCutoff(Math.min(1, (double) rateHz / RATE_HZ));
    float gain = feed == Feed.HOT_CONSOLE ? (float) Decibels.toAmplitude(20) : 0.7f;
    for (int n = 0; n < frames; n++) {
      double position = (startInStretch + n / (double) rateHz * (1 + driftPpm * 1e-6)) * RATE_HZ;
      for (int channel = 0; channel < 2; channel++) {
        double x = gain * between.at(channel == 0 ? left : right, position);
        x += 3e-4 * (dice.nextDouble() - 0.5);
        x = Math.max(-0.9, Math.min(0.9, x));
        out[channel][n] = (float) (feed == Feed.BALANCED && channel == 1 ? -x : x);
      }
    }
    return out;
  }

  /** A direct arrival and a decaying tail of echoes from 3 ms on. */
  private static float[] echoes(float[] dry, int delay, double seconds, long seed) {
    SplittableRandom room = new SplittableRandom(seed);
    float[] wet = new float[dry.length];
    add(dry, delay, 1, wet);
    for (int i = 0; i < ECHOES; i++) {
      double at = 0.003 + seconds * room.nextDouble() * room.nextDouble();
      double level = 0.12 * Math.pow(10, -3 * at / (2 * seconds)) * (room.nextBoolean() ? 1 : -1);
      add(dry, delay + (int) (at * RATE_HZ), (float) level, wet);
    }
    return wet;
  }

  private static void add(float[] dry, int delay, float gain, float[] wet) {
    for (int i = delay; i < wet.length; i++) {
      wet[i] += gain * dry[i - delay];
    }
  }
}
