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
    float[] right = noisy(dice, clean(dice, 1 + dice.below(5), seconds, rateHz));
    double hz = 0;
    if (index % 2 == 0) {
      double off = dice.chance(0.2) ? dice.between(-0.0095, 0.0095) : 0.001 * dice.normal();
      hz = (dice.chance(0.5) ? 50 : 60) * (1 + off);
      double dbfs = dice.between(-50, -30);
      int lines = dice.chance(0.2) ? 1 : 2 + dice.below(10);
      double even = dice.chance(0.5) ? dice.between(-15, 15) : 0;
      left = TrialCraft.sum(left, TrialCraft.hum(dice, left.length, rateHz, hz, dbfs, lines, even));
    } else {
      left = noisy(dice, clean(dice, dice.below(6), seconds, rateHz));
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
          default -> sounds.recordedTalk(dice, seconds, rateHz);
        };
    return kind == 4 ? sound : TrialCraft.toActive(sound, rateHz, dice.between(-32, -14));
  }
}
