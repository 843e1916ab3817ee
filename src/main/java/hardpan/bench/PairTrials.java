package hardpan.bench;

import hardpan.signal.Decibels;
import hardpan.verdict.PairVerdict.Relation;
import java.util.List;

/** Clips whose left and right relate in a known way. */
final class PairTrials {
  private static final double METRES_PER_SECOND = 343.2;

  private final TrialSounds sounds;
  private final long seed;

  PairTrials(TrialSounds sounds, long seed) {
    this.sounds = sounds;
    this.seed = seed;
  }

  /** The two sides of a trial, without the recorder's noise. */
  record Sides(String kind, Relation relation, float[] left, float[] right) {}

  Trial make(int index) {
    TrialDice dice = new TrialDice(seed, "pair", index);
    int rateHz = dice.chance(0.15) ? 44_100 : 48_000;
    double seconds = dice.between(8, 18);
    Sides sides = draw(dice, index, seconds, rateHz);
    float[][] sound = {sides.left(), sides.right()};
    finish(dice, sound, rateHz);
    return new Trial(
        sides.kind(),
        index,
        rateHz,
        TrialCodec.draw(dice),
        sound,
        List.of(new Trial.Section(sides.relation(), 0)),
        List.of(Trial.Side.OPEN, Trial.Side.OPEN));
  }

  private Sides draw(TrialDice dice, int index, double seconds, int rateHz) {
    return switch (index % 14) {
      case 0, 1 -> isolated(dice, seconds, rateHz, true);
      case 2 -> isolated(dice, seconds, rateHz, false);
      case 3 -> unlike(dice, seconds, rateHz);
      case 4, 5 -> same(dice, seconds, rateHz);
      case 6, 7 -> inverted(dice, seconds, rateHz);
      case 8, 9 -> lower(dice, seconds, rateHz);
      case 10 -> stereo(dice, sounds.talk(dice, seconds, rateHz), seconds, rateHz);
      case 11 -> stereo(dice, sounds.music(dice, seconds, rateHz), seconds, rateHz);
      case 12 -> oneSilent(dice, seconds, rateHz);
      default ->
          index % 28 == 13 ? mixed(dice, seconds, rateHz) : bothSilent(dice, seconds, rateHz);
    };
  }

  /** Noise of the inputs, at times hum on both. */
  static void finish(TrialDice dice, float[][] sound, int rateHz) {
    boolean hum = dice.chance(0.15);
    double hz = (dice.chance(0.5) ? 50 : 60) * (1 + 0.001 * dice.normal());
    double humDbfs = dice.between(-75, -55);
    for (int c = 0; c < 2; c++) {
      boolean digital = TrialCraft.peak(sound[c]) <= 0 && dice.chance(0.5);
      if (digital) {
        continue;
      }
      float[] noise = TrialCraft.noise(dice, sound[c].length, dice.between(-92, -68));
      sound[c] = TrialCraft.sum(sound[c], noise);
      if (hum) {
        float[] lines = TrialCraft.hum(dice, sound[c].length, rateHz, hz, humDbfs, 6, 0);
        sound[c] = TrialCraft.sum(sound[c], lines);
      }
    }
  }

  private static double level(TrialDice dice) {
    return dice.between(-34, -16);
  }

  /** Two talkers with a microphone each, taking turns, at once, or one of them only. */
  private Sides isolated(TrialDice dice, double seconds, int rateHz, boolean turns) {
    float[] first = sounds.talk(dice, seconds, rateHz);
    float[] second = sounds.talk(dice, seconds, rateHz);
    boolean oneOnly = turns && dice.chance(0.2);
    if (turns) {
      double turn = dice.between(1.5, 5);
      for (int i = 0; i < first.length; i++) {
        boolean own = oneOnly || (long) (i / (turn * rateHz)) % 2 == 0;
        first[i] *= own ? 1 : 0.002f;
        second[i] *= own ? 0.002f : 1;
      }
    }
    first = TrialCraft.toActive(first, rateHz, level(dice));
    double secondDb = level(dice);
    if (!oneOnly) {
      second = TrialCraft.toActive(second, rateHz, secondDb);
    } else {
      second = new float[first.length];
    }
    double lagSeconds = dice.between(0.8, 6.5) / METRES_PER_SECOND;
    double intoRight = oneOnly ? dice.between(-30, -10) : dice.between(-40, -10);
    double intoLeft = intoRight + dice.between(-4, 4);
    float[] room = TrialCraft.room(dice, rateHz, dice.between(0.2, 1), dice.between(0.2, 1.5));
    float[] otherRoom = TrialCraft.room(dice, rateHz, dice.between(0.2, 1), dice.between(0.2, 1.5));
    float[] toRight = TrialCraft.convolved(TrialCraft.later(first, lagSeconds, rateHz), room);
    float[] toLeft = TrialCraft.convolved(TrialCraft.later(second, lagSeconds, rateHz), otherRoom);
    // The bleed is as strong as drawn, room included, whatever the two voices' own levels.
    toRight = TrialCraft.gainDb(toRight, intoRight - TrialCraft.energyDb(room));
    toLeft = TrialCraft.gainDb(toLeft, intoLeft - TrialCraft.energyDb(otherRoom));
    String kind = oneOnly ? "one of two talks" : turns ? "two take turns" : "two at once";
    return new Sides(
        kind, Relation.ISOLATED, TrialCraft.sum(first, toLeft), TrialCraft.sum(second, toRight));
  }

  /** A microphone and something that has nothing to do with it. */
  private Sides unlike(TrialDice dice, double seconds, int rateHz) {
    float[] voice = TrialCraft.toActive(sounds.talk(dice, seconds, rateHz), rateHz, level(dice));
    float[] music = TrialCraft.toActive(sounds.music(dice, seconds, rateHz), rateHz, level(dice));
    boolean swap = dice.chance(0.5);
    return new Sides(
        "voice beside music", Relation.ISOLATED, swap ? music : voice, swap ? voice : music);
  }

  private Sides same(TrialDice dice, double seconds, int rateHz) {
    float[] feed = TrialCraft.toActive(sounds.any(dice, seconds, rateHz), rateHz, level(dice));
    double gain = dice.between(-1, 1);
    if (dice.chance(0.3)) {
      feed = cut(dice, feed, dice.between(3, 25));
      gain *= 0.3;
    }
    return new Sides("same signal", Relation.SAME_SIGNAL, feed, TrialCraft.gainDb(feed, gain));
  }

  private static float[] cut(TrialDice dice, float[] feed, double excessDb) {
    double ceiling = Decibels.toAmplitude(dice.between(-8, -0.2));
    float[] hot = TrialCraft.toPeak(feed.clone(), ceiling * Decibels.toAmplitude(excessDb));
    return TrialCraft.cut(hot, ceiling, ceiling);
  }

  private Sides inverted(TrialDice dice, double seconds, int rateHz) {
    float[] feed = TrialCraft.toActive(sounds.any(dice, seconds, rateHz), rateHz, level(dice));
    float[] left = feed;
    float[] right = TrialCraft.gainDb(TrialCraft.times(feed, -1), dice.between(-1, 1));
    if (dice.chance(0.3)) {
      double ceiling = Decibels.toAmplitude(dice.between(-8, -0.2));
      double excessDb = dice.between(3, 25);
      double high = ceiling * Decibels.toAmplitude(dice.between(-1.5, 0));
      float[] hot = TrialCraft.toPeak(feed, ceiling * Decibels.toAmplitude(excessDb));
      left = TrialCraft.cut(hot, ceiling, high);
      right = TrialCraft.cut(TrialCraft.times(hot, -1), ceiling, high);
    }
    return new Sides("inverted", Relation.INVERTED, left, right);
  }

  private Sides lower(TrialDice dice, double seconds, int rateHz) {
    float[] feed = sounds.any(dice, seconds, rateHz);
    double downDb = dice.between(-20, -6);
    float[] high;
    float[] low;
    if (dice.chance(0.5)) {
      double ceiling = Decibels.toAmplitude(dice.between(-8, -0.2));
      double excessDb = dice.between(2, 20);
      float[] hot = TrialCraft.toPeak(feed, ceiling * Decibels.toAmplitude(excessDb));
      high = TrialCraft.cut(hot, ceiling, ceiling);
      low = TrialCraft.cut(TrialCraft.gainDb(hot, downDb), ceiling, ceiling);
    } else {
      high = TrialCraft.toActive(feed, rateHz, dice.between(-28, -14));
      low = TrialCraft.gainDb(high, downDb);
    }
    boolean swap = dice.chance(0.3);
    return new Sides("lower copy", Relation.LOWER_COPY, swap ? low : high, swap ? high : low);
  }

  /** A pair of microphones before one or several sources in a room. */
  private Sides stereo(TrialDice dice, float[] main, double seconds, int rateHz) {
    double spacing = dice.between(0.05, 0.4);
    double fade = dice.between(0.3, 2);
    double tail = dice.between(0.3, 4);
    int sources = 1 + dice.below(3);
    float[] left = new float[main.length];
    float[] right = new float[main.length];
    for (int s = 0; s < sources; s++) {
      float[] source = s == 0 ? main : sounds.any(dice, seconds, rateHz);
      source = TrialCraft.gainDb(source, s == 0 ? 0 : dice.between(-12, 0));
      double lag = spacing * Math.sin(dice.between(-1.2, 1.2)) / METRES_PER_SECOND;
      double turned = dice.between(-2.5, 2.5);
      float[] toLeft = TrialCraft.room(dice, rateHz, fade, tail);
      float[] own = TrialCraft.room(dice, rateHz, fade, tail);
      float[] toRight = TrialCraft.diffuse(toLeft, own, METRES_PER_SECOND / (4 * spacing), rateHz);
      left = TrialCraft.sum(left, TrialCraft.convolved(TrialCraft.gainDb(source, turned), toLeft));
      float[] late = TrialCraft.later(source, lag, rateHz);
      right =
          TrialCraft.sum(right, TrialCraft.convolved(TrialCraft.gainDb(late, -turned), toRight));
    }
    double down = level(dice) - TrialCraft.activeDbfs(left, rateHz);
    return new Sides(
        "microphone pair",
        Relation.STEREO,
        TrialCraft.gainDb(left, down),
        TrialCraft.gainDb(right, down));
  }

  /** A console's stereo mix: sources spread by level alone, one in the middle. */
  private Sides mixed(TrialDice dice, double seconds, int rateHz) {
    float[] middle = sounds.any(dice, seconds, rateHz);
    float[] left = middle.clone();
    float[] right = middle.clone();
    for (int s = 0; s < 2; s++) {
      float[] source = sounds.music(dice, seconds, rateHz);
      source = TrialCraft.gainDb(source, dice.between(-8, 0));
      double away = dice.between(-18, -5);
      left = TrialCraft.sum(left, TrialCraft.gainDb(source, s == 0 ? 0 : away));
      right = TrialCraft.sum(right, TrialCraft.gainDb(source, s == 0 ? away : 0));
    }
    double down = level(dice) - TrialCraft.activeDbfs(left, rateHz);
    return new Sides(
        "stereo mix",
        Relation.STEREO,
        TrialCraft.gainDb(left, down),
        TrialCraft.gainDb(right, down));
  }

  private Sides oneSilent(TrialDice dice, double seconds, int rateHz) {
    float[] feed = TrialCraft.toActive(sounds.any(dice, seconds, rateHz), rateHz, level(dice));
    float[] empty = new float[feed.length];
    if (dice.chance(0.6)) {
      empty = TrialCraft.noise(dice, feed.length, dice.between(-85, -62));
      if (dice.chance(0.5)) {
        double crosstalk = dice.between(-65, -42);
        empty = TrialCraft.sum(empty, TrialCraft.gainDb(feed, crosstalk));
      }
    }
    boolean swap = dice.chance(0.5);
    return new Sides(
        "one side empty", Relation.ONE_SILENT, swap ? empty : feed, swap ? feed : empty);
  }

  private static Sides bothSilent(TrialDice dice, double seconds, int rateHz) {
    int length = (int) (seconds * rateHz);
    float[] left = new float[length];
    float[] right = new float[length];
    if (dice.chance(0.6)) {
      left = TrialCraft.noise(dice, length, dice.between(-95, -66));
      right = TrialCraft.noise(dice, length, dice.between(-95, -66));
    }
    return new Sides("both sides empty", Relation.BOTH_SILENT, left, right);
  }
}
