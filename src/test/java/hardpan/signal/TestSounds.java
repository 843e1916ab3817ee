package hardpan.signal;

import java.util.Random;

/** Made-up sounds for tests: talk, music, noise and rooms, each the same for the same seed. */
public final class TestSounds {
  private TestSounds() {}

  /**
   * Talk: phrases of voiced and hissing syllables with pauses between them. The loudest sample is
   * 1.
   */
  public static float[] talk(long seed, double seconds, int rateHz) {
    Random random = new Random(seed);
    int length = (int) Math.round(seconds * rateHz);
    double[] sound = new double[length];
    double pitch = 95 + 110 * random.nextDouble();
    int at = (int) (0.3 * random.nextDouble() * rateHz);
    while (at < length) {
      int syllables = 3 + random.nextInt(9);
      double loud = Math.pow(10, -0.35 * random.nextDouble());
      for (int s = 0; s < syllables && at < length; s++) {
        int frames = (int) ((0.09 + 0.2 * random.nextDouble()) * rateHz);
        if (random.nextDouble() < 0.25) {
          hiss(random, sound, at, frames / 2, 0.05 * loud);
        } else {
          double bend = 1 + 0.12 * random.nextGaussian();
          voice(
              random, sound, at, frames, loud * (0.4 + random.nextDouble()), pitch * bend, rateHz);
        }
        at += frames;
      }
      at += (int) ((0.15 + 0.8 * random.nextDouble()) * rateHz);
    }
    return normalised(sound);
  }

  private static void voice(
      Random random, double[] sound, int from, int frames, double loud, double pitch, int rateHz) {
    double[][] formants = {
      {300 + 500 * random.nextDouble(), 90},
      {900 + 1300 * random.nextDouble(), 130},
      {2300 + 900 * random.nextDouble(), 200},
      {3400 + 1200 * random.nextDouble(), 350}
    };
    double[][] state = new double[formants.length][2];
    double phase = 0;
    double jitter = 1;
    double glottis = 0;
    for (int i = 0; i < frames + rateHz / 50 && from + i < sound.length; i++) {
      phase += pitch * jitter / rateHz;
      double pulse = 0;
      if (phase >= 1) {
        phase -= 1;
        pulse = i < frames ? 0.85 + 0.3 * random.nextDouble() : 0;
        jitter = 1 + 0.02 * random.nextGaussian();
      }
      glottis = 0.9 * glottis + pulse + 0.004 * random.nextGaussian();
      double rise = Math.min(1, Math.min(i, Math.max(0, frames - i)) / (0.012 * rateHz));
      double x = glottis * rise;
      double y = 0;
      for (int f = 0; f < formants.length; f++) {
        double r = Math.exp(-Math.PI * formants[f][1] / rateHz);
        double next =
            x
                + 2 * r * Math.cos(2 * Math.PI * formants[f][0] / rateHz) * state[f][0]
                - r * r * state[f][1];
        state[f][1] = state[f][0];
        state[f][0] = next;
        y += next * (1 - r) * (f == 0 ? 1 : 0.7 / f) * (f % 2 == 0 ? 1 : -1);
      }
      sound[from + i] += loud * y;
    }
  }

  private static void hiss(Random random, double[] sound, int from, int frames, double loud) {
    double last = 0;
    for (int i = 0; i < frames && from + i < sound.length; i++) {
      double white = random.nextGaussian();
      double shape = Math.sin(Math.PI * i / frames);
      sound[from + i] += loud * shape * (white - 0.7 * last);
      last = white;
    }
  }

  /** Music: notes with overtones that die away, a bass and a noise drum. Loudest sample 1. */
  public static float[] music(long seed, double seconds, int rateHz) {
    Random random = new Random(seed);
    int length = (int) Math.round(seconds * rateHz);
    double[] sound = new double[length];
    int beat = (int) ((0.2 + 0.15 * random.nextDouble()) * rateHz);
    for (int at = 0, number = 0; at < length; at += beat, number++) {
      int notes = 1 + random.nextInt(3);
      for (int n = 0; n < notes; n++) {
        double hz =
            110 * Math.pow(2, random.nextInt(36) / 12.0) * (1 + 2e-3 * random.nextGaussian());
        note(random, sound, at + random.nextInt(200), hz, 0.3 + random.nextDouble(), rateHz);
      }
      if (number % 2 == 0) {
        note(random, sound, at, 55 * Math.pow(2, random.nextInt(12) / 12.0), 1.2, rateHz);
      }
      double drum = 0.8 * random.nextDouble();
      for (int i = 0; i < beat && at + i < length; i++) {
        sound[at + i] += drum * random.nextGaussian() * Math.exp(-i / (0.02 * rateHz));
      }
    }
    return normalised(sound);
  }

  private static void note(
      Random random, double[] sound, int from, double hz, double loud, int rateHz) {
    int frames = (int) (0.9 * rateHz);
    for (int overtone = 1; overtone <= 8 && hz * overtone < 0.4 * rateHz; overtone++) {
      double step = 2 * Math.PI * hz * overtone / rateHz;
      double re = Math.cos(2 * Math.PI * random.nextDouble());
      double im = Math.sqrt(1 - re * re);
      double fade = Math.exp(-(1.5 + overtone) / (0.5 * rateHz));
      double cos = fade * Math.cos(step);
      double sin = fade * Math.sin(step);
      double size = loud / overtone;
      for (int i = 0; i < frames && from + i < sound.length; i++) {
        sound[from + i] += size * im * Math.min(1, i / (0.004 * rateHz));
        double next = re * cos - im * sin;
        im = re * sin + im * cos;
        re = next;
      }
    }
  }

  /** White noise. */
  public static float[] noise(long seed, int length, double rms) {
    Random random = new Random(seed);
    float[] sound = new float[length];
    for (int i = 0; i < length; i++) {
      sound[i] = (float) (rms * random.nextGaussian());
    }
    return sound;
  }

  /** A sine. */
  public static float[] sine(double hz, int rateHz, int length, double peak, double phase) {
    float[] sound = new float[length];
    for (int i = 0; i < length; i++) {
      sound[i] = (float) (peak * Math.sin(2 * Math.PI * hz * i / rateHz + phase));
    }
    return sound;
  }

  /** A copy at another level. */
  public static float[] gain(float[] sound, double factor) {
    float[] result = new float[sound.length];
    for (int i = 0; i < sound.length; i++) {
      result[i] = (float) (sound[i] * factor);
    }
    return result;
  }

  /** The sum; as long as the first. */
  public static float[] sum(float[] a, float[] b) {
    float[] result = a.clone();
    for (int i = 0; i < Math.min(a.length, b.length); i++) {
      result[i] += b[i];
    }
    return result;
  }

  /** A copy cut off at a ceiling for each half of the wave. */
  public static float[] cut(float[] sound, double lowest, double highest) {
    float[] result = new float[sound.length];
    for (int i = 0; i < sound.length; i++) {
      result[i] = (float) Math.max(lowest, Math.min(highest, sound[i]));
    }
    return result;
  }

  /** Rounded to whole numbers of a bit depth and cut off at full scale. */
  public static float[] rounded(float[] sound, int bits) {
    double full = 1L << (bits - 1);
    float[] result = new float[sound.length];
    for (int i = 0; i < sound.length; i++) {
      double step = Math.max(-full, Math.min(full - 1, Math.rint(sound[i] * full)));
      result[i] = (float) (step / full);
    }
    return result;
  }

  /**
   * What another clock records: sample i of the result is the sound at {@code startFrame + i x
   * ratio}.
   */
  public static float[] read(float[] sound, double startFrame, double ratio, int length) {
    SincInterpolator between =
        ratio > 1.01 ? SincInterpolator.withCutoff(1 / ratio) : SincInterpolator.fullBand();
    float[] result = new float[length];
    for (int i = 0; i < length; i++) {
      result[i] = (float) between.at(sound, startFrame + i * ratio);
    }
    return result;
  }

  /**
   * A room: the direct sound, some early echoes and a tail of dying noise.
   *
   * @param fadeSeconds time for 60 dB
   * @param tailShare energy of echoes and tail as a share of the direct sound's
   */
  public static float[] room(
      long seed, float[] sound, int rateHz, double fadeSeconds, double tailShare) {
    Random random = new Random(seed);
    int tail = (int) (fadeSeconds * rateHz);
    float[] response = new float[tail];
    double energy = 0;
    for (int i = rateHz / 250; i < tail; i++) {
      double decay = Math.exp(-6.9 * i / tail);
      double echo = random.nextDouble() < 1.5e-3 && i < rateHz / 12 ? 6 * random.nextGaussian() : 0;
      response[i] = (float) (decay * (random.nextGaussian() + echo));
      energy += response[i] * response[i];
    }
    float scale = (float) Math.sqrt(tailShare / energy);
    for (int i = 0; i < tail; i++) {
      response[i] *= scale;
    }
    response[0] = 1;
    return convolved(sound, response);
  }

  /** The convolution, as long as the sound. */
  public static float[] convolved(float[] sound, float[] response) {
    int size = Fft.sizeFor(Math.max(4L * response.length, 1 << 15));
    int hop = size - response.length;
    Fft fft = Fft.ofSize(size);
    float[] filter = new float[size];
    System.arraycopy(response, 0, filter, 0, response.length);
    fft.forward(filter);
    float[] result = new float[sound.length];
    for (int at = 0; at < sound.length; at += hop) {
      float[] block = new float[size];
      System.arraycopy(sound, at, block, 0, Math.min(hop, sound.length - at));
      fft.forward(block);
      float[] product = new float[size];
      product[0] = block[0] * filter[0];
      product[1] = block[1] * filter[1];
      for (int i = 2; i < size; i += 2) {
        product[i] = block[i] * filter[i] - block[i + 1] * filter[i + 1];
        product[i + 1] = block[i] * filter[i + 1] + block[i + 1] * filter[i];
      }
      fft.inverse(product);
      for (int i = 0; i < size && at + i < result.length; i++) {
        result[at + i] += product[i];
      }
    }
    return result;
  }

  /** Level in decibels, 0 being a mean square of 1. */
  public static double level(float[] sound) {
    double sum = 0;
    for (float x : sound) {
      sum += (double) x * x;
    }
    return Decibels.ofPower(sum / Math.max(1, sound.length));
  }

  private static float[] normalised(double[] sound) {
    double largest = 1e-9;
    for (double x : sound) {
      largest = Math.max(largest, Math.abs(x));
    }
    float[] result = new float[sound.length];
    for (int i = 0; i < sound.length; i++) {
      result[i] = (float) (sound[i] / largest);
    }
    return result;
  }
}
