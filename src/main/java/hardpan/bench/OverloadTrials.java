package hardpan.bench;

import hardpan.base.Span;
import hardpan.signal.Decibels;
import hardpan.verdict.Overload;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Channels that are cut off in a known way, and ones that only look like it. */
final class OverloadTrials {
  /** Spans closer than this are one, as in the product. */
  private static final double MERGE_SECONDS = 0.05;

  private final TrialSounds sounds;
  private final long seed;

  OverloadTrials(TrialSounds sounds, long seed) {
    this.sounds = sounds;
    this.seed = seed;
  }

  private record Channel(String kind, float[] sound, Trial.Side truth) {}

  /** One feed on both sides, or two unlike ones. */
  Trial make(int index) {
    TrialDice dice = new TrialDice(seed, "overload", index);
    int rateHz = dice.chance(0.15) ? 44_100 : 48_000;
    double seconds = dice.between(8, 16);
    TrialCodec codec = TrialCodec.draw(dice);
    Channel left = channel(dice, index % 12, seconds, rateHz);
    Channel right =
        dice.chance(0.5)
            ? new Channel(left.kind, left.sound, Trial.Side.OPEN)
            : channel(dice, dice.below(12), seconds, rateHz);
    return new Trial(
        left.kind,
        index,
        rateHz,
        codec,
        new float[][] {left.sound, right.sound},
        List.of(),
        List.of(left.truth, right.truth));
  }

  private Channel channel(TrialDice dice, int kind, double seconds, int rateHz) {
    Channel made =
        switch (kind) {
          case 0, 1 -> feed(dice, seconds, rateHz, dice.between(13, 30));
          case 2, 3, 4 -> feed(dice, seconds, rateHz, dice.between(1, 20));
          case 5, 6 -> shouts(dice, seconds, rateHz);
          case 7 -> fine(dice, seconds, rateHz, dice.between(-20, -1));
          case 8 -> fine(dice, seconds, rateHz, 0);
          case 9, 10 -> limited(dice, seconds, rateHz);
          default -> lookAlike(dice, seconds, rateHz);
        };
    boolean digital = made.kind.equals("digital silence");
    float[] noise = TrialCraft.noise(dice, made.sound.length, dice.between(-95, -75));
    return digital ? made : new Channel(made.kind, TrialCraft.sum(made.sound, noise), made.truth);
  }

  /** Programme so much too hot throughout. */
  private Channel feed(TrialDice dice, double seconds, int rateHz, double excessDb) {
    float[] sound = sounds.any(dice, seconds, rateHz);
    Overload.@Nullable Verdict word = null;
    if (excessDb >= 13) {
      word = Overload.Verdict.LINE_LEVEL;
    } else if (excessDb >= 2 && excessDb <= 6) {
      word = Overload.Verdict.OCCASIONAL;
    }
    return cutOff(dice, sound, excessDb, word, rateHz, excessDb >= 13 ? "line feed" : "hot feed");
  }

  /** A microphone that is right for talk and too high for a few shouts. */
  private Channel shouts(TrialDice dice, double seconds, int rateHz) {
    float[] sound = sounds.talk(dice, seconds, rateHz);
    TrialCraft.toPeak(sound, Decibels.toAmplitude(dice.between(-10, -2)));
    double excessDb = dice.between(2, 14);
    float[] loud = sounds.talk(dice, seconds, rateHz);
    int number = 1 + dice.below(2);
    float[] burst = new float[sound.length];
    for (int n = 0; n < number; n++) {
      int length = (int) (dice.between(0.3, 0.4 * seconds / 10) * rateHz);
      int from = dice.below(sound.length - length);
      for (int i = 0; i < length; i++) {
        double edge = Math.min(1, Math.min(i, length - i) / (0.03 * rateHz));
        sound[from + i] *= (float) (1 - edge);
        burst[from + i] = (float) (edge * loud[from + i]);
      }
    }
    TrialCraft.toPeak(burst, Decibels.toAmplitude(excessDb));
    float[] all = TrialCraft.sum(sound, burst);
    double trueExcessDb = Decibels.ofAmplitude(TrialCraft.peak(all));
    return cutOff(
        dice, all, trueExcessDb, Overload.Verdict.OCCASIONAL, rateHz, "microphone too high");
  }

  private static Channel cutOff(
      TrialDice dice,
      float[] sound,
      double excessDb,
      Overload.@Nullable Verdict word,
      int rateHz,
      String kind) {
    double ceiling = Decibels.toAmplitude(dice.between(-8, 0));
    double lowest = ceiling;
    double highest = ceiling;
    if (dice.chance(0.3)) {
      lowest *= Decibels.toAmplitude(dice.between(-3, 0));
    } else if (dice.chance(0.3)) {
      highest *= Decibels.toAmplitude(dice.between(-3, 0));
    }
    float[] hot = TrialCraft.toPeak(sound, ceiling * Decibels.toAmplitude(excessDb));
    boolean hard = dice.chance(0.75);
    float[] cut =
        hard
            ? TrialCraft.cut(hot, lowest, highest)
            : TrialCraft.bend(hot, lowest, highest, dice.between(5, 14));
    List<Span> spans = spans(hot, lowest, highest, rateHz);
    if (dice.chance(0.25)) {
      cut = TrialCraft.blockDc(cut, dice.between(2, 15), rateHz);
      double peak = TrialCraft.peak(cut);
      cut = peak > 1 ? TrialCraft.times(cut, 0.999 / peak) : cut;
    }
    Trial.Cut truth = excessDb >= 2 ? Trial.Cut.CUT : Trial.Cut.NOT_ASKED;
    return new Channel(
        hard ? kind : kind + ", soft",
        cut,
        new Trial.Side(
            truth, hard, excessDb, excessDb >= 2 ? word : null, spans, Double.NaN, null));
  }

  private static List<Span> spans(float[] hot, double lowest, double highest, int rateHz) {
    List<Span> spans = new ArrayList<>();
    long gap = Math.round(MERGE_SECONDS * rateHz);
    long start = -1;
    long end = -1;
    for (int i = 0; i < hot.length; i++) {
      if (hot[i] > highest || hot[i] < -lowest) {
        if (start >= 0 && i - end > gap) {
          spans.add(new Span(start, end));
          start = i;
        } else if (start < 0) {
          start = i;
        }
        end = i + 1L;
      }
    }
    if (start >= 0) {
      spans.add(new Span(start, end));
    }
    return spans;
  }

  private Channel fine(TrialDice dice, double seconds, int rateHz, double peakDbfs) {
    float[] sound =
        TrialCraft.toPeak(
            sounds.any(dice, seconds, rateHz), 0.9998 * Decibels.toAmplitude(peakDbfs));
    return new Channel(peakDbfs < 0 ? "fine" : "to full scale", sound, Trial.Side.FINE);
  }

  private Channel limited(TrialDice dice, double seconds, int rateHz) {
    float[] sound = sounds.any(dice, seconds, rateHz);
    double ceiling = Decibels.toAmplitude(dice.between(-8, -0.1));
    double hotDb = dice.between(2, 15);
    TrialCraft.toPeak(sound, ceiling * Decibels.toAmplitude(hotDb));
    float[] held =
        TrialCraft.limit(sound, ceiling, dice.between(1, 6), dice.between(40, 300), rateHz);
    return new Channel("limiter", held, Trial.Side.FINE);
  }

  private static Channel lookAlike(TrialDice dice, double seconds, int rateHz) {
    int length = (int) (seconds * rateHz);
    float[] sound = new float[length];
    switch (dice.below(4)) {
      case 0 -> {
        double peak = dice.chance(0.5) ? 0.9999 : Decibels.toAmplitude(dice.between(-20, -0.5));
        double step = 2 * Math.PI * dice.between(60, 4000) / rateHz;
        for (int i = 0; i < length; i++) {
          sound[i] = (float) (peak * Math.sin(step * i));
        }
        return new Channel("sine", sound, Trial.Side.FINE);
      }
      case 1 -> {
        // Odd harmonics up to the band's edge: a square that no ceiling made.
        double hz = dice.between(80, 900);
        double peak = Decibels.toAmplitude(dice.between(-20, -3));
        for (int k = 1; k * hz < 0.42 * rateHz; k += 2) {
          double step = 2 * Math.PI * hz * k / rateHz;
          for (int i = 0; i < length; i++) {
            sound[i] += (float) (Math.sin(step * i) / k);
          }
        }
        // Notes, not one endless tone.
        int note = (int) (dice.between(0.2, 0.6) * rateHz);
        for (int i = 0; i < length; i++) {
          int at = i % note;
          double edge = Math.min(1, Math.min(at, note - at) / (0.01 * rateHz));
          sound[i] *= (float) (edge * Math.exp(-2.0 * at / note));
        }
        return new Channel("square synthesiser", TrialCraft.toPeak(sound, peak), Trial.Side.FINE);
      }
      case 2 -> {
        float[] noise = TrialCraft.noise(dice, length, dice.between(-30, -15));
        return new Channel("noise", noise, Trial.Side.FINE);
      }
      default -> {
        return new Channel("digital silence", sound, Trial.Side.FINE);
      }
    }
  }
}
