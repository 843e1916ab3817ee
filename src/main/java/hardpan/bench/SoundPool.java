package hardpan.bench;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.media.SourceFinder;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.signal.SincInterpolator;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.SplittableRandom;

/**
 * Recorded sounds from a folder, handed out one after another in a seeded order without repeating
 * one, as mono at 48 kHz.
 */
final class SoundPool {
  static final int RATE_HZ = 48_000;

  private static final double LONGEST_SECONDS = 400;

  private final List<Path> files = new ArrayList<>();
  private int next;

  /** All media files in a folder, shuffled by a seed. */
  SoundPool(Path folder, long seed) {
    for (SourceFinder.Candidate candidate : SourceFinder.find(List.of(folder)).candidates()) {
      files.add(candidate.path());
    }
    SplittableRandom dice = new SplittableRandom(seed);
    for (int i = files.size() - 1; i > 0; i--) {
      Collections.swap(files, i, dice.nextInt(i + 1));
    }
  }

  /**
   * The next sounds, end to end, each brought to the same level.
   *
   * @throws MediaAccessException if the folder does not hold enough
   */
  float[] take(double seconds) throws MediaException {
    float[] out = new float[(int) (seconds * RATE_HZ)];
    int at = 0;
    while (at < out.length) {
      float[] sound = next(LONGEST_SECONDS);
      int count = Math.min(sound.length, out.length - at);
      System.arraycopy(sound, 0, out, at, count);
      at += count;
    }
    return out;
  }

  /**
   * The next sound alone, brought to the common level.
   *
   * @param longestSeconds what is longer is cut
   * @throws MediaAccessException if the folder does not hold another
   */
  float[] next(double longestSeconds) throws MediaException {
    if (next == files.size()) {
      throw new MediaAccessException("There are not enough recorded sounds in the folder.");
    }
    return read(files.get(next++), longestSeconds);
  }

  private static float[] read(Path file, double longestSeconds) throws MediaException {
    try (SourceReader reader = SourceOpener.open(file)) {
      int rate = reader.facts().rateHz();
      int most = (int) (longestSeconds * rate);
      float[][] block = new float[reader.facts().channelCount()][1 << 14];
      float[] sound = new float[1 << 16];
      int length = 0;
      int got;
      while (length < most && (got = reader.readAt(length, block, block[0].length)) > 0) {
        if (length + got > sound.length) {
          sound = Arrays.copyOf(sound, 2 * (length + got));
        }
        System.arraycopy(block[0], 0, sound, length, got);
        length += got;
      }
      sound = Arrays.copyOf(sound, Math.min(length, most));
      return levelled(resampled(sound, rate));
    }
  }

  private static float[] resampled(float[] sound, int rate) {
    if (rate == RATE_HZ) {
      return sound;
    }
    double step = (double) rate / RATE_HZ;
    SincInterpolator between = SincInterpolator.withCutoff(Math.min(1, 1 / step));
    float[] out = new float[(int) (sound.length / step)];
    for (int i = 0; i < out.length; i++) {
      out[i] = (float) between.at(sound, i * step);
    }
    return out;
  }

  private static float[] levelled(float[] sound) {
    float peak = 0;
    for (float x : sound) {
      peak = Math.max(peak, Math.abs(x));
    }
    for (int i = 0; i < sound.length && peak > 0; i++) {
      sound[i] *= 0.5f / peak;
    }
    return sound;
  }
}
