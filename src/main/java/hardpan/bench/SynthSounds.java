package hardpan.bench;

/**
 * Made talk and music of full bandwidth, for what no recording at hand covers: voices of a chosen
 * pitch, bass lines, held notes. A source of pulses through four resonances; notes as sums of
 * decaying partials.
 */
final class SynthSounds {
  private SynthSounds() {}

  /**
   * Phrases of voiced and hissing syllables with pauses.
   *
   * @param pitchHz middle pitch of the voice
   */
  static float[] talk(TrialDice dice, double seconds, int rateHz, double pitchHz) {
    float[] sound = new float[(int) (seconds * rateHz)];
    int at = (int) (dice.between(0, 0.4) * rateHz);
    while (at < sound.length) {
      int syllables = 3 + dice.below(9);
      double loud = Math.pow(10, -dice.between(0, 0.4));
      for (int s = 0; s < syllables && at < sound.length; s++) {
        int frames = (int) (dice.between(0.08, 0.3) * rateHz);
        if (dice.chance(0.2)) {
          hiss(dice, sound, at, frames / 2, 0.06 * loud);
        } else {
          double pitch = pitchHz * (1 + 0.1 * dice.normal());
          voiced(dice, sound, at, frames, loud * dice.between(0.4, 1.3), pitch, rateHz);
        }
        at += frames;
      }
      at += (int) (dice.between(0.15, 0.9) * rateHz);
    }
    return TrialCraft.toPeak(sound, 1);
  }

  private static void voiced(
      TrialDice dice,
      float[] sound,
      int from,
      int frames,
      double loud,
      double pitchHz,
      int rateHz) {
    double[] hz = {
      dice.between(280, 800),
      dice.between(900, 2200),
      dice.between(2300, 3200),
      dice.between(3400, 4500)
    };
    double[] widthHz = {90, 130, 200, 350};
    double[] last = new double[4];
    double[] before = new double[4];
    double[] turn = new double[4];
    double[] hold = new double[4];
    for (int f = 0; f < 4; f++) {
      hold[f] = Math.exp(-Math.PI * widthHz[f] / rateHz);
      turn[f] = 2 * hold[f] * Math.cos(2 * Math.PI * hz[f] / rateHz);
    }
    double phase = 0;
    double glide = dice.between(-0.15, 0.15);
    double jitter = 1;
    double source = 0;
    int end = Math.min(sound.length - from, frames + rateHz / 50);
    for (int i = 0; i < end; i++) {
      phase += pitchHz * (1 + glide * i / frames) * jitter / rateHz;
      double pulse = 0;
      if (phase >= 1) {
        phase -= 1;
        pulse = i < frames ? dice.between(0.85, 1.15) : 0;
        jitter = 1 + 0.015 * dice.normal();
      }
      source = 0.9 * source + pulse;
      double rise = Math.min(1, Math.min(i, Math.max(0, frames - i)) / (0.012 * rateHz));
      double out = 0;
      for (int f = 0; f < 4; f++) {
        double next = source * rise + turn[f] * last[f] - hold[f] * hold[f] * before[f];
        before[f] = last[f];
        last[f] = next;
        out += next * (1 - hold[f]) * (f == 0 ? 1 : 0.7 / f) * (f % 2 == 0 ? 1 : -1);
      }
      sound[from + i] += (float) (loud * out);
    }
  }

  private static void hiss(TrialDice dice, float[] sound, int from, int frames, double loud) {
    double last = 0;
    for (int i = 0; i < frames && from + i < sound.length; i++) {
      double white = dice.normal();
      sound[from + i] += (float) (loud * Math.sin(Math.PI * i / frames) * (white - 0.7 * last));
      last = white;
    }
  }

  /** Notes that die away, a bass line, a noise drum. */
  static float[] music(TrialDice dice, double seconds, int rateHz) {
    float[] sound = new float[(int) (seconds * rateHz)];
    double tuning = 440 * (1 + 0.002 * dice.normal());
    int beat = (int) (dice.between(0.2, 0.4) * rateHz);
    double drumLevel = dice.between(0, 0.8);
    int number = 0;
    for (int at = 0; at < sound.length; at += beat) {
      for (int n = 1 + dice.below(3); n > 0; n--) {
        double hz = tuning / 4 * Math.pow(2, dice.below(36) / 12.0);
        note(dice, sound, at + dice.below(200), hz, dice.between(0.3, 1.3), 0.9, rateHz);
      }
      if (number % 2 == 0) {
        double hz = tuning / 8 * Math.pow(2, (dice.below(14) - 2) / 12.0);
        note(dice, sound, at, hz, 1.2, 1.2, rateHz);
      }
      double drum = drumLevel * dice.between(0, 1);
      for (int i = 0; i < beat && at + i < sound.length; i++) {
        sound[at + i] += (float) (drum * dice.normal() * Math.exp(-i / (0.02 * rateHz)));
      }
      number++;
    }
    return TrialCraft.toPeak(sound, 1);
  }

  /** A held bass: one note a second or longer, all near mains frequencies and their octaves. */
  static float[] bass(TrialDice dice, double seconds, int rateHz) {
    float[] sound = new float[(int) (seconds * rateHz)];
    double tuning = 440 * (1 + 0.002 * dice.normal());
    // G, A sharp and B of the two lowest octaves: two to three per cent beside the mains.
    int[] semitones = {-38, -35, -34, -26, -23, -22, -36, -31};
    int at = 0;
    while (at < sound.length) {
      double hold = dice.between(0.8, 3);
      double hz = tuning * Math.pow(2, semitones[dice.below(semitones.length)] / 12.0);
      note(dice, sound, at, hz, 1, hold, rateHz);
      at += (int) (hold * rateHz);
    }
    return TrialCraft.toPeak(sound, 1);
  }

  private static void note(
      TrialDice dice,
      float[] sound,
      int from,
      double hz,
      double loud,
      double holdSeconds,
      int rateHz) {
    int frames = (int) (holdSeconds * rateHz);
    for (int overtone = 1; overtone <= 8 && hz * overtone < 0.4 * rateHz; overtone++) {
      double angle = dice.between(0, 2 * Math.PI);
      double re = Math.cos(angle);
      double im = Math.sin(angle);
      double fade = Math.exp(-(1.5 + overtone) / (0.6 * holdSeconds * rateHz));
      double step = 2 * Math.PI * hz * overtone / rateHz;
      double cos = fade * Math.cos(step);
      double sin = fade * Math.sin(step);
      for (int i = 0; i < frames && from + i < sound.length; i++) {
        double edge = Math.min(1, Math.min(i, frames - i) / (0.004 * rateHz));
        sound[from + i] += (float) (loud / overtone * im * edge);
        double next = re * cos - im * sin;
        im = re * sin + im * cos;
        re = next;
      }
    }
  }
}
