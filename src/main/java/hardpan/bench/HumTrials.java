package hardpan.bench;

import java.util.List;

/** Talk with mains hum under it, and sound that is low and steady but is no hum. */
final class HumTrials {
  private final TrialSounds sounds;
  private final long seed;

  HumTrials(TrialSounds sounds, long seed) {
    this.sounds = sounds;
    this.seed = seed;
  }

  /** Left has hum in every other trial; right never has. */
  Trial make(int index) {
    TrialDice dice = new TrialDice(seed, "hum", index);
    int rateHz = dice.chance(0.15) ? 44_100 : 48_000;
    double seconds = dice.between(8, 18);
    TrialCodec codec = TrialCodec.draw(dice);
    float[] left = noisy(dice, clean(dice, 0, seconds, rateHz));
    float[] right = noisy(dice, clean(dice, 1 + dice.below(6), seconds, rateHz));
    double hz = 0;
    if (index % 2 == 0) {
      double off = dice.chance(0.2) ? dice.between(-0.0095, 0.0095) : 0.001 * dice.normal();
      hz = (dice.chance(0.5) ? 50 : 60) * (1 + off);
      double dbfs = dice.between(-50, -30);
      int lines = dice.chance(0.2) ? 1 : 2 + dice.below(10);
      double even = dice.chance(0.5) ? dice.between(-15, 15) : 0;
      left = TrialCraft.sum(left, TrialCraft.hum(dice, left.length, rateHz, hz, dbfs, lines, even));
    } else {
      left = noisy(dice, clean(dice, dice.below(7), seconds, rateHz));
    }
    return new Trial(
        hz > 0 ? "hum under talk" : "no hum",
        index,
        rateHz,
        codec,
        new float[][] {left, right},
        List.of(),
        List.of(Trial.Side.OPEN.withHum(hz), Trial.Side.OPEN.withHum(0)));
  }

  private static float[] noisy(TrialDice dice, float[] sound) {
    float[] noise = TrialCraft.noise(dice, sound.length, dice.between(-92, -62));
    return TrialCraft.sum(sound, noise);
  }

  private float[] clean(TrialDice dice, int kind, double seconds, int rateHz) {
    float[] sound =
        switch (kind) {
          case 0 -> sounds.talk(dice, seconds, rateHz);
          case 1 -> SynthSounds.talk(dice, seconds, rateHz, dice.between(95, 125));
          case 2 -> SynthSounds.bass(dice, seconds, rateHz);
          case 3 -> sounds.music(dice, seconds, rateHz);
          case 4 -> new float[(int) (seconds * rateHz)];
          case 5 -> chords(dice, seconds, rateHz);
          default -> sounds.recordedTalk(dice, seconds, rateHz);
        };
    return kind == 4 ? sound : TrialCraft.toActive(sound, rateHz, dice.between(-32, -14));
  }

  /** Held notes of some seconds each, without a beat, as an organ's; low ones among them. */
  private static float[] chords(TrialDice dice, double seconds, int rateHz) {
    float[] out = new float[(int) (seconds * rateHz)];
    double tuning = 440 * (1 + 0.002 * dice.normal());
    for (int voice = 0; voice < 3; voice++) {
      for (int at = 0; at < out.length; ) {
        int length = (int) (dice.between(1, 4) * rateHz);
        double hz = tuning * Math.pow(2, (dice.below(24) - 36 + 12 * voice) / 12.0);
        for (int overtone = 1; overtone <= 4; overtone++) {
          double phase = dice.between(0, 2 * Math.PI);
          double step = 2 * Math.PI * hz * overtone / rateHz;
          for (int i = 0; i < length && at + i < out.length; i++) {
            double edge = Math.min(1, Math.min(i, length - i) / (0.03 * rateHz));
            out[at + i] += (float) (edge / overtone * Math.sin(phase + step * i));
          }
        }
        at += length;
      }
    }
    return TrialCraft.toPeak(out, 1);
  }
}
