package hardpan.bench;

import hardpan.signal.Decibels;
import hardpan.signal.Fft;
import hardpan.signal.SincInterpolator;
import java.util.ArrayDeque;
import java.util.Deque;

/** What trials are put together with: levels, delays, rooms, noise, hum, ceilings, limiters. */
final class TrialCraft {
  private TrialCraft() {}

  static float[] gainDb(float[] sound, double db) {
    return times(sound, Decibels.toAmplitude(db));
  }

  static float[] times(float[] sound, double factor) {
    float[] out = new float[sound.length];
    for (int i = 0; i < out.length; i++) {
      out[i] = (float) (factor * sound[i]);
    }
    return out;
  }

  /** Changes the array. */
  static float[] toPeak(float[] sound, double peak) {
    double factor = peak / Math.max(1e-9, peak(sound));
    for (int i = 0; i < sound.length; i++) {
      sound[i] *= (float) factor;
    }
    return sound;
  }

  static double peak(float[] sound) {
    double peak = 0;
    for (float x : sound) {
      peak = Math.max(peak, Math.abs(x));
    }
    return peak;
  }

  /** Level over the 50 ms stretches within 25 dB of the loudest, in dBFS RMS. */
  static double activeDbfs(float[] sound, int rateHz) {
    int length = rateHz / 20;
    double[] powers = new double[sound.length / length];
    double most = 0;
    for (int k = 0; k < powers.length; k++) {
      for (int i = 0; i < length; i++) {
        powers[k] += (double) sound[k * length + i] * sound[k * length + i] / length;
      }
      most = Math.max(most, powers[k]);
    }
    double sum = 0;
    int count = 0;
    for (double power : powers) {
      if (power > most / 316) {
        sum += power;
        count++;
      }
    }
    return Decibels.ofPower(count == 0 ? 0 : sum / count);
  }

  static float[] toActive(float[] sound, int rateHz, double dbfs) {
    return gainDb(sound, dbfs - activeDbfs(sound, rateHz));
  }

  /** The sum, as long as the first. */
  static float[] sum(float[]... sounds) {
    float[] out = sounds[0].clone();
    for (int s = 1; s < sounds.length; s++) {
      for (int i = 0; i < Math.min(out.length, sounds[s].length); i++) {
        out[i] += sounds[s][i];
      }
    }
    return out;
  }

  /** Later by a time, between samples too; as long as the sound. */
  static float[] later(float[] sound, double seconds, int rateHz) {
    float[] out = new float[sound.length];
    SincInterpolator between = SincInterpolator.fullBand();
    for (int i = 0; i < out.length; i++) {
      out[i] = (float) between.at(sound, i - seconds * rateHz);
    }
    return out;
  }

  static float[] noise(TrialDice dice, int length, double dbfs) {
    double rms = Decibels.toAmplitude(dbfs);
    float[] out = new float[length];
    for (int i = 0; i < length; i++) {
      out[i] = (float) (rms * dice.normal());
    }
    return out;
  }

  /** Noise whose level falls towards high frequencies by 6 dB an octave from a corner on. */
  static float[] dullNoise(TrialDice dice, int length, int rateHz, double cornerHz, double dbfs) {
    float[] out = new float[length];
    double share = 1 - Math.exp(-2 * Math.PI * cornerHz / rateHz);
    double state = 0;
    double power = 0;
    for (int i = 0; i < length; i++) {
      state += share * (dice.normal() - state);
      out[i] = (float) state;
      power += state * state / length;
    }
    return times(out, Decibels.toAmplitude(dbfs) / Math.sqrt(Math.max(1e-20, power)));
  }

  /**
   * Mains hum with harmonics.
   *
   * @param hz fundamental
   * @param dbfs level of all lines together, RMS
   * @param evenDb how far the odd harmonics lie below the even ones; below 0 the other way round
   */
  static float[] hum(
      TrialDice dice, int length, int rateHz, double hz, double dbfs, int lines, double evenDb) {
    double[] sizes = new double[lines];
    double power = 0;
    for (int k = 1; k <= lines; k++) {
      double db = -5 * (k - 1) + 4 * dice.normal();
      db -= k % 2 == 1 ? Math.max(0, evenDb) : Math.max(0, -evenDb);
      sizes[k - 1] = Decibels.toAmplitude(db);
      power += 0.5 * sizes[k - 1] * sizes[k - 1];
    }
    double scale = Decibels.toAmplitude(dbfs) / Math.sqrt(power);
    float[] out = new float[length];
    for (int k = 1; k <= lines; k++) {
      double step = 2 * Math.PI * hz * k / rateHz;
      double phase = dice.between(0, 2 * Math.PI);
      for (int i = 0; i < length; i++) {
        out[i] += (float) (scale * sizes[k - 1] * Math.sin(phase + step * i));
      }
    }
    return out;
  }

  static float[] cut(float[] sound, double lowest, double highest) {
    float[] out = new float[sound.length];
    for (int i = 0; i < out.length; i++) {
      out[i] = (float) Math.max(-lowest, Math.min(highest, sound[i]));
    }
    return out;
  }

  /** A stage that bends before it stops: y = x / (1 + |x / ceiling|^n)^(1/n). */
  static float[] bend(float[] sound, double lowest, double highest, double hardness) {
    float[] out = new float[sound.length];
    for (int i = 0; i < out.length; i++) {
      double ceiling = sound[i] < 0 ? lowest : highest;
      double size = Math.abs(sound[i]) / ceiling;
      out[i] = (float) (sound[i] / Math.pow(1 + Math.pow(size, hardness), 1 / hardness));
    }
    return out;
  }

  /** A high-pass of first order, as a coupling capacitor makes it. */
  static float[] blockDc(float[] sound, double hz, int rateHz) {
    double keep = Math.exp(-2 * Math.PI * hz / rateHz);
    float[] out = new float[sound.length];
    double state = 0;
    double last = 0;
    for (int i = 0; i < out.length; i++) {
      state = keep * (state + sound[i] - last);
      last = sound[i];
      out[i] = (float) state;
    }
    return out;
  }

  /** A limiter that looks ahead: gain falls before each peak, so that tops stay round. */
  static float[] limit(float[] sound, double ceiling, double aheadMs, double backMs, int rateHz) {
    int ahead = Math.max(8, (int) (aheadMs * rateHz / 1000));
    double back = Math.exp(-1000.0 / (backMs * rateHz));
    double[] need = new double[sound.length];
    double held = 1;
    for (int i = 0; i < sound.length; i++) {
      double wanted = Math.min(1, ceiling / Math.max(1e-9, Math.abs(sound[i])));
      held = Math.min(wanted, 1 - (1 - held) * back);
      need[i] = held;
    }
    // The smallest gain within reach, then a mean over the reach: smooth and never too late.
    double[] least = new double[sound.length];
    Deque<Integer> queue = new ArrayDeque<>();
    for (int i = 0; i < sound.length + ahead; i++) {
      if (i < sound.length) {
        while (!queue.isEmpty() && need[queue.peekLast()] >= need[i]) {
          queue.pollLast();
        }
        queue.add(i);
      }
      int at = i - ahead;
      if (at >= 0) {
        while (queue.peekFirst() < at) {
          queue.pollFirst();
        }
        least[at] = need[queue.peekFirst()];
      }
    }
    float[] out = new float[sound.length];
    double sum = 0;
    for (int i = 0; i < sound.length; i++) {
      sum += least[i] - (i >= ahead ? least[i - ahead] : 0);
      double gain = sum / Math.min(i + 1, ahead);
      out[i] = (float) (gain * sound[i]);
    }
    return out;
  }

  /**
   * A room response: direct sound, early echoes, a tail of dying noise.
   *
   * @param tailShare energy of echoes and tail as a share of the direct sound's
   */
  static float[] room(TrialDice dice, int rateHz, double fadeSeconds, double tailShare) {
    int tail = Math.max(rateHz / 50, (int) (fadeSeconds * rateHz));
    float[] response = new float[tail];
    double energy = 0;
    for (int i = rateHz / 300; i < tail; i++) {
      double decay = Math.exp(-6.9 * i / tail);
      double echo = i < rateHz / 12 && dice.chance(1.5e-3) ? 6 * dice.normal() : 0;
      response[i] = (float) (decay * (dice.normal() + echo));
      energy += response[i] * response[i];
    }
    double scale = Math.sqrt(tailShare / Math.max(1e-12, energy));
    for (int i = 0; i < tail; i++) {
      response[i] *= (float) scale;
    }
    response[0] = 1;
    return response;
  }

  /**
   * The response at the second of two near places: low frequencies of the tail are those of the
   * first, high ones its own. The coherence of a diffuse field falls as sin(kd)/(kd) (R. K. Cook et
   * al., JASA 27, 1955, from memory); a split at c/(4d) follows that roughly.
   */
  static float[] diffuse(float[] first, float[] own, double splitHz, int rateHz) {
    double share = 1 - Math.exp(-2 * Math.PI * splitHz / rateHz);
    float[] second = own.clone();
    double low = 0;
    double ownLow = 0;
    for (int i = 1; i < own.length; i++) {
      low += share * (first[i] - low);
      ownLow += share * (own[i] - ownLow);
      second[i] = (float) (own[i] - ownLow + low);
    }
    return second;
  }

  /** Energy of a response, in decibels over that of a bare unit impulse. */
  static double energyDb(float[] response) {
    double sum = 0;
    for (float x : response) {
      sum += (double) x * x;
    }
    return Decibels.ofPower(sum);
  }

  /** The convolution, as long as the sound. */
  static float[] convolved(float[] sound, float[] response) {
    int size = Fft.sizeFor(Math.max(4L * response.length, 1 << 15));
    int hop = size - response.length;
    Fft fft = Fft.ofSize(size);
    float[] filter = new float[size];
    System.arraycopy(response, 0, filter, 0, response.length);
    fft.forward(filter);
    float[] out = new float[sound.length];
    for (int at = 0; at < sound.length; at += hop) {
      float[] block = new float[size];
      System.arraycopy(sound, at, block, 0, Math.min(hop, sound.length - at));
      fft.forward(block);
      block[0] *= filter[0];
      block[1] *= filter[1];
      for (int i = 2; i < size; i += 2) {
        float re = block[i] * filter[i] - block[i + 1] * filter[i + 1];
        block[i + 1] = block[i] * filter[i + 1] + block[i + 1] * filter[i];
        block[i] = re;
      }
      fft.inverse(block);
      for (int i = 0; i < size && at + i < out.length; i++) {
        out[at + i] += block[i];
      }
    }
    return out;
  }
}
