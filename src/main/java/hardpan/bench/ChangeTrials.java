package hardpan.bench;

import hardpan.signal.Decibels;
import hardpan.verdict.PairVerdict.Relation;
import java.util.ArrayList;
import java.util.List;

/** Clips in which a plug is pulled, pushed in or changed, and as many in which none is. */
final class ChangeTrials {
  private final TrialSounds sounds;
  private final long seed;

  ChangeTrials(TrialSounds sounds, long seed) {
    this.sounds = sounds;
    this.seed = seed;
  }

  Trial make(int index) {
    TrialDice dice = new TrialDice(seed, "change", index);
    int rateHz = 48_000;
    double seconds = dice.between(24, 40);
    int length = (int) (seconds * rateHz);
    int at = index % 2 == 1 ? length : (int) (dice.between(0.3, 0.7) * length);
    Relation first = Relation.ISOLATED;
    Relation second = Relation.ISOLATED;
    float[] a = TrialCraft.toActive(sounds.talk(dice, seconds, rateHz), rateHz, -22);
    float[] b = TrialCraft.toActive(sounds.talk(dice, seconds, rateHz), rateHz, -24);
    float[][] split = split(dice, a, b, rateHz);
    float[][] same = {a, TrialCraft.gainDb(a, dice.between(-0.5, 0.5))};
    float[][] before = split;
    float[][] after = split;
    switch (index / 2 % 6) {
      case 0 -> {
        after = new float[][] {split[0], new float[length]};
        second = Relation.ONE_SILENT;
      }
      case 1 -> {
        before = same;
        first = Relation.SAME_SIGNAL;
        after = new float[][] {new float[length], same[1]};
        second = Relation.ONE_SILENT;
      }
      case 2 -> {
        before = same;
        first = Relation.SAME_SIGNAL;
      }
      case 3 -> {
        before = new float[][] {a, TrialCraft.times(a, -1)};
        first = Relation.INVERTED;
        after = same;
        second = Relation.SAME_SIGNAL;
      }
      case 4 -> {
        after = new float[][] {new float[length], new float[length]};
        second = Relation.BOTH_SILENT;
      }
      default -> {
        before = new float[][] {a, new float[length]};
        first = Relation.ONE_SILENT;
      }
    }
    double noiseDbfs = dice.between(-85, -72);
    float[][] sound = new float[2][];
    for (int c = 0; c < 2; c++) {
      float[] joined = before[c].clone();
      System.arraycopy(after[c], at, joined, at, length - at);
      if (at < length) {
        // The pop of the plug.
        float pop = (float) Decibels.toAmplitude(dice.between(-30, -6));
        for (int i = 0; i < rateHz / 20 && at + i < length; i++) {
          joined[at + i] += (float) (pop * Math.exp(-i / (0.004 * rateHz)) * Math.cos(0.02 * i));
        }
      }
      sound[c] = TrialCraft.sum(joined, TrialCraft.noise(dice, length, noiseDbfs));
    }
    List<Trial.Section> sections = new ArrayList<>();
    sections.add(new Trial.Section(first, 0));
    if (at < length) {
      sections.add(new Trial.Section(second, at));
    }
    return new Trial(
        at < length ? first.word() + ", then " + second.word() : first.word() + " throughout",
        index,
        rateHz,
        TrialCodec.draw(dice),
        sound,
        sections,
        List.of(Trial.Side.OPEN, Trial.Side.OPEN));
  }

  /** Two microphones; in half of the trials one talker is quiet for a long time. */
  private static float[][] split(TrialDice dice, float[] a, float[] b, int rateHz) {
    float[] second = b.clone();
    if (dice.chance(0.5)) {
      int from = (int) (dice.between(0, 0.5) * b.length);
      int to = Math.min(b.length, from + (int) (dice.between(5, 14) * rateHz));
      for (int i = from; i < to; i++) {
        second[i] *= 0.001f;
      }
    }
    double lag = dice.between(0.004, 0.015);
    float[] toRight = TrialCraft.gainDb(TrialCraft.later(a, lag, rateHz), dice.between(-30, -14));
    float[] toLeft =
        TrialCraft.gainDb(TrialCraft.later(second, lag, rateHz), dice.between(-30, -14));
    // A room is never quite silent where a microphone listens.
    float[] hallLeft = TrialCraft.noise(dice, a.length, dice.between(-66, -58));
    float[] hallRight = TrialCraft.noise(dice, a.length, dice.between(-66, -58));
    return new float[][] {
      TrialCraft.sum(a, toLeft, hallLeft), TrialCraft.sum(second, toRight, hallRight)
    };
  }
}
