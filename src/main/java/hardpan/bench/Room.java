package hardpan.bench;

import hardpan.signal.Fft;
import java.util.Arrays;
import java.util.SplittableRandom;

/**
 * A room between a loudspeaker and a microphone: the direct sound after a flight time, some early
 * reflections, and a tail of decaying noise. Works on a stream in blocks.
 */
final class Room {
  private static final int RATE_HZ = SoundPool.RATE_HZ;
  private static final int REFLECTIONS = 6;
  private static final double REFLECTED_SHARE = 0.2;
  private static final double FIRST_ECHO_SECONDS = 0.002;

  /** Block that {@link #process} works best with. */
  static final int BLOCK = 1 << 16;

  private final int delayFrames;
  private final int size = 4 * BLOCK;
  private final float[] spectrum;
  private float[] carried = new float[size];

  /**
   * A room.
   *
   * @param delayFrames flight time of the direct sound
   * @param fadeSeconds time in which the tail falls by 60 dB
   * @param directToRestDb power of the direct sound over that of everything after it
   */
  Room(int delayFrames, double fadeSeconds, double directToRestDb, long seed) {
    this.delayFrames = delayFrames;
    SplittableRandom dice = new SplittableRandom(seed);
    int length = (int) Math.min(size - BLOCK - delayFrames, 1.2 * fadeSeconds * RATE_HZ);
    float[] response = new float[length];
    int first = (int) (FIRST_ECHO_SECONDS * RATE_HZ);
    double fade = Math.log(1000) / (fadeSeconds * RATE_HZ);
    double power = 0;
    for (int i = first; i < length; i++) {
      response[i] = (float) (dice.nextGaussian() * Math.exp(-fade * i));
      power += response[i] * response[i];
    }
    double rest = Math.pow(10, -directToRestDb / 10);
    float scale = (float) Math.sqrt((1 - REFLECTED_SHARE) * rest / power);
    for (int i = first; i < length; i++) {
      response[i] *= scale;
    }
    for (int i = 0; i < REFLECTIONS; i++) {
      int at = first + dice.nextInt((int) (0.025 * RATE_HZ));
      double level = Math.min(0.9, Math.sqrt(REFLECTED_SHARE * rest / REFLECTIONS));
      response[at] += (float) ((dice.nextInt(4) == 0 ? -1 : 1) * level);
    }
    response[0] = 1;
    this.spectrum = new float[size];
    System.arraycopy(response, 0, spectrum, delayFrames, length);
    Fft.ofSize(size).forward(spectrum);
  }

  /** Flight time of the direct sound. */
  int delayFrames() {
    return delayFrames;
  }

  /**
   * Replaces the next stretch of the stream, at most {@link #BLOCK} long, by what the room makes of
   * it.
   */
  void process(float[] sound, int from, int count) {
    float[] block = new float[size];
    System.arraycopy(sound, from, block, 0, count);
    Fft.ofSize(size).forward(block);
    float[] wet = new float[size];
    wet[0] = block[0] * spectrum[0];
    wet[1] = block[1] * spectrum[1];
    for (int i = 2; i < size; i += 2) {
      wet[i] = block[i] * spectrum[i] - block[i + 1] * spectrum[i + 1];
      wet[i + 1] = block[i] * spectrum[i + 1] + block[i + 1] * spectrum[i];
    }
    Fft.ofSize(size).inverse(wet);
    for (int i = 0; i < size; i++) {
      carried[i] += wet[i];
    }
    System.arraycopy(carried, 0, sound, from, count);
    carried = Arrays.copyOfRange(carried, count, count + size);
  }

  /** Replaces a whole sound. */
  void processAll(float[] sound) {
    for (int at = 0; at < sound.length; at += BLOCK) {
      process(sound, at, Math.min(BLOCK, sound.length - at));
    }
  }
}
