package hardpan.bench;

import hardpan.signal.TruePeakMeter;
import hardpan.signal.Windows;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;

/** Talk and music with one fault on the left and none on the right. */
final class FindingTrials {
  /** The codes that are asked for, one after another. */
  static final List<String> CODES =
      List.of(
          "drop-out",
          "digital-silence",
          "silence",
          "too-low",
          "dc-offset",
          "noisy",
          "gain-pumping",
          "wind",
          "pops",
          "word-length",
          "band-limited",
          "inter-sample-overs");

  /** Said only of sound made here: recordings may have passed a narrow link before. */
  static final String MADE = "made";

  private final TrialSounds sounds;
  private final long seed;

  FindingTrials(TrialSounds sounds, long seed) {
    this.sounds = sounds;
    this.seed = seed;
  }

  Trial make(int index) {
    TrialDice dice = new TrialDice(seed, "finding", index);
    String code = CODES.get(index % CODES.size());
    int rateHz = dice.chance(0.15) ? 44_100 : 48_000;
    double seconds = dice.between(10, 18);
    TrialCodec codec = codec(dice, code);
    boolean made = dice.chance(0.5) || code.equals("band-limited");
    float[] clean = clean(dice, made, seconds, rateHz);
    float[] sound = faulty(dice, code, made, seconds, rateHz);
    String truth = code;
    if (code.equals("inter-sample-overs") && truePeak(sound, rateHz) < 1.015) {
      truth = "";
    }
    return new Trial(
        (made ? MADE : "recorded") + " " + code,
        index,
        rateHz,
        codec,
        new float[][] {sound, clean},
        List.of(),
        List.of(Trial.Side.OPEN.withFinding(truth), Trial.Side.OPEN.withFinding("")));
  }

  /** What an encoder changes or hides is not asked of encoded sound. */
  private static TrialCodec codec(TrialDice dice, String code) {
    return switch (code) {
      case "word-length" -> TrialCodec.PCM24;
      case "inter-sample-overs" -> TrialCodec.PCM;
      case "band-limited" -> dice.chance(0.5) ? TrialCodec.PCM : TrialCodec.PCM24;
      case "digital-silence" -> {
        // An AC-3 decoder puts noise in the place of silence, as its standard has it.
        TrialCodec drawn = TrialCodec.draw(dice);
        yield drawn.codec().equals("ac3") ? TrialCodec.aac(192) : drawn;
      }
      default -> TrialCodec.draw(dice);
    };
  }

  private float[] clean(TrialDice dice, boolean made, double seconds, int rateHz) {
    float[] sound = programme(dice, made, seconds, rateHz);
    return TrialCraft.sum(sound, TrialCraft.noise(dice, sound.length, dice.between(-86, -68)));
  }

  private float[] programme(TrialDice dice, boolean made, double seconds, int rateHz) {
    boolean talk = dice.chance(0.65);
    float[] sound;
    if (talk) {
      sound =
          made
              ? SynthSounds.talk(dice, seconds, rateHz, dice.between(85, 230))
              : sounds.recordedTalk(dice, seconds, rateHz);
    } else {
      sound = made ? SynthSounds.music(dice, seconds, rateHz) : sounds.music(dice, seconds, rateHz);
    }
    float[] levelled = TrialCraft.toActive(coupled(sound, rateHz), rateHz, dice.between(-30, -16));
    return TrialCraft.peak(levelled) > 0.9 ? TrialCraft.toPeak(levelled, 0.9) : levelled;
  }

  /** Recordings have offsets, breath and rumble of their own, which nobody counted. */
  private static float[] coupled(float[] sound, int rateHz) {
    float[] out = sound;
    for (int i = 0; i < 4; i++) {
      out = TrialCraft.blockDc(out, 45, rateHz);
    }
    return out;
  }

  private float[] faulty(TrialDice dice, String code, boolean made, double seconds, int rateHz) {
    return switch (code) {
      case "drop-out" -> dropOuts(dice, clean(dice, made, seconds, rateHz), rateHz);
      case "digital-silence" -> muted(dice, clean(dice, made, seconds, rateHz), rateHz);
      case "silence" ->
          dice.chance(0.4)
              ? new float[(int) (seconds * rateHz)]
              : TrialCraft.noise(dice, (int) (seconds * rateHz), dice.between(-90, -66));
      case "too-low" ->
          TrialCraft.sum(
              TrialCraft.toActive(
                  clean(dice, made, seconds, rateHz), rateHz, dice.between(-52, -42)),
              TrialCraft.noise(dice, (int) (seconds * rateHz), -88));
      case "dc-offset" -> shifted(clean(dice, made, seconds, rateHz), dice.between(0.004, 0.03));
      case "noisy" -> noisy(dice, made, seconds, rateHz);
      case "gain-pumping" -> pumped(dice, made, seconds, rateHz);
      case "wind" -> windy(dice, clean(dice, made, seconds, rateHz), rateHz);
      case "pops" -> popping(dice, clean(dice, made, seconds, rateHz), rateHz);
      case "word-length" -> sixteenBits(clean(dice, made, seconds, rateHz));
      case "band-limited" -> narrowed(dice, seconds, rateHz);
      default -> hot(dice, clean(dice, made, seconds, rateHz), rateHz);
    };
  }

  /** Breaks of 20 to 400 ms in the middle of sound, down to nothing or to the input's own noise. */
  private static float[] dropOuts(TrialDice dice, float[] sound, int rateHz) {
    float[] out = sound.clone();
    double rest = dice.chance(0.5) ? 0 : 2e-5;
    int wanted = 1 + dice.below(6);
    int tries = 0;
    for (int made = 0; made < wanted && tries < 4000; tries++) {
      int length = (int) (dice.between(0.02, 0.4) * rateHz);
      int from = dice.below(sound.length - length - rateHz) + rateHz / 2;
      int around = rateHz / 100;
      if (rms(sound, from - around, from) < 0.012
          || rms(sound, from + length, from + length + around) < 0.012
          || rms(out, from - rateHz / 4, from) < 1e-3) {
        continue;
      }
      for (int i = 0; i < length; i++) {
        out[from + i] = (float) (rest * dice.normal());
      }
      made++;
    }
    return out;
  }

  private static double rms(float[] sound, int from, int to) {
    double sum = 0;
    for (int i = Math.max(0, from); i < Math.min(sound.length, to); i++) {
      sum += (double) sound[i] * sound[i];
    }
    return Math.sqrt(sum / Math.max(1, to - from));
  }

  private static float[] muted(TrialDice dice, float[] sound, int rateHz) {
    float[] out = sound.clone();
    int length = (int) (dice.between(1.5, 4) * rateHz);
    int from = rateHz + dice.below(sound.length - length - 2 * rateHz);
    while (from > rateHz / 2 && rms(sound, from - rateHz / 100, from) < 0.003) {
      from--;
    }
    Arrays.fill(out, from, from + length, 0);
    return out;
  }

  private static float[] shifted(float[] sound, double offset) {
    float[] out = sound.clone();
    for (int i = 0; i < out.length; i++) {
      out[i] += (float) offset;
    }
    return out;
  }

  /** Talk with noise 10 to 20 dB below it, white or dull. */
  private float[] noisy(TrialDice dice, boolean made, double seconds, int rateHz) {
    float[] talk =
        TrialCraft.toActive(
            coupled(pausing(dice, made, seconds, rateHz), rateHz), rateHz, dice.between(-28, -18));
    double dbfs = TrialCraft.activeDbfs(talk, rateHz) - dice.between(10, 19);
    float[] noise =
        dice.chance(0.5)
            ? TrialCraft.noise(dice, talk.length, dbfs)
            : TrialCraft.dullNoise(dice, talk.length, rateHz, dice.between(1500, 5000), dbfs);
    return TrialCraft.sum(talk, noise);
  }

  /** Talk whose pauses last one to two and a half seconds. */
  private float[] pausing(TrialDice dice, boolean made, double seconds, int rateHz) {
    float[] out = new float[(int) (seconds * rateHz)];
    double pitchHz = dice.between(85, 230);
    for (int at = 0; at < out.length; ) {
      double phrase = dice.between(1.2, 2.5);
      float[] talk =
          made
              ? SynthSounds.talk(dice, phrase, rateHz, pitchHz)
              : sounds.recordedTalk(dice, phrase, rateHz);
      for (int i = 0; i < talk.length && at + i < out.length; i++) {
        out[at + i] = (float) (talk[i] * Math.min(1, (talk.length - i) / 400.0));
      }
      at += talk.length + (int) (dice.between(1, 2.5) * rateHz);
    }
    return out;
  }

  /** A gain that falls at once and rises slowly, up to a limit. */
  private float[] pumped(TrialDice dice, boolean made, double seconds, int rateHz) {
    float[] talk =
        TrialCraft.toActive(coupled(pausing(dice, made, seconds, rateHz), rateHz), rateHz, -24);
    float[] in = TrialCraft.sum(talk, TrialCraft.noise(dice, talk.length, dice.between(-66, -56)));
    double mostDb = dice.between(12, 22);
    double riseDbPerFrame = dice.between(5, 15) / rateHz;
    double target = 0.1;
    double fall = 1 - Math.exp(-1 / (0.004 * rateHz));
    float[] out = new float[in.length];
    double envelope = 0;
    double gainDb = 0;
    for (int i = 0; i < in.length; i++) {
      double size = Math.abs(in[i]);
      envelope = Math.max(size, envelope * (1 - 1 / (0.03 * rateHz)));
      double wantedDb = Math.min(mostDb, 20 * Math.log10(target / Math.max(1e-6, envelope)));
      gainDb =
          wantedDb < gainDb
              ? gainDb + fall * (wantedDb - gainDb)
              : Math.min(wantedDb, gainDb + riseDbPerFrame);
      out[i] = (float) (in[i] * Math.pow(10, gainDb / 20));
    }
    return out;
  }

  /** Deep noise that comes and goes. */
  private static float[] windy(TrialDice dice, float[] sound, int rateHz) {
    float[] deep =
        TrialCraft.dullNoise(
            dice, sound.length, rateHz, dice.between(8, 30), dice.between(-34, -20));
    int step = (int) (0.5 * rateHz);
    double from = 0.3;
    double to = 1;
    boolean still = dice.chance(0.3);
    for (int i = 0; i < deep.length; i++) {
      if (i % step == 0) {
        from = to;
        to = still ? 1 : dice.between(0, 1.3);
      }
      deep[i] *= (float) (from + (to - from) * (i % step) / step);
    }
    return TrialCraft.sum(sound, deep);
  }

  /** Bursts of breath: a few swings of 10 to 30 Hz each. */
  private static float[] popping(TrialDice dice, float[] sound, int rateHz) {
    float[] out = sound.clone();
    int count = 4 + dice.below(8);
    int apart = (sound.length - rateHz) / count;
    for (int n = 0; n < count; n++) {
      int from = n * apart + dice.below(Math.max(1, apart - rateHz / 2));
      double hz = dice.between(10, 30);
      double size = dice.between(0.08, 0.35) * (dice.chance(0.5) ? 1 : -1);
      double fade = dice.between(0.02, 0.05) * rateHz;
      for (int i = 0; i < rateHz / 3 && from + i < out.length; i++) {
        out[from + i] +=
            (float) (size * Math.sin(2 * Math.PI * hz * i / rateHz) * Math.exp(-i / fade));
      }
    }
    return out;
  }

  private static float[] sixteenBits(float[] sound) {
    float[] out = new float[sound.length];
    for (int i = 0; i < out.length; i++) {
      out[i] = Math.max(-32_768, Math.min(32_767, Math.round(sound[i] * 32_768))) / 32_768f;
    }
    return out;
  }

  /** Full sound through a low-pass as a narrower system has it. */
  private static float[] narrowed(TrialDice dice, double seconds, int rateHz) {
    float[] sound =
        dice.chance(0.6)
            ? SynthSounds.talk(dice, seconds, rateHz, dice.between(85, 230))
            : SynthSounds.music(dice, seconds, rateHz);
    float[] levelled = TrialCraft.toActive(coupled(sound, rateHz), rateHz, dice.between(-30, -18));
    float[] full =
        TrialCraft.sum(levelled, TrialCraft.noise(dice, sound.length, dice.between(-72, -56)));
    double[] edgesHz = {3600, 7300, 10_400, 15_200, 16_500};
    double edgeHz =
        rateHz == 48_000 && dice.chance(0.5)
            ? dice.between(20_300, 21_400)
            : edgesHz[dice.below(edgesHz.length)];
    int taps = 401;
    float[] filter = new float[taps];
    double share = 2 * edgeHz / rateHz;
    for (int i = 0; i < taps; i++) {
      double x = i - taps / 2;
      filter[i] = (float) (share * Windows.sinc(share * x) * Windows.kaiserAt(2 * x / taps, 9));
    }
    return TrialCraft.convolved(full, filter);
  }

  /** Driven into a quick limiter right below full scale. */
  private static float[] hot(TrialDice dice, float[] sound, int rateHz) {
    float[] driven = TrialCraft.times(TrialCraft.toPeak(sound.clone(), 1), dice.between(1.3, 2));
    return TrialCraft.toPeak(
        TrialCraft.limit(driven, 0.98, 0.3, 30, rateHz), dice.between(0.97, 0.999));
  }

  private static double truePeak(float[] sound, int rateHz) {
    TruePeakMeter meter = new TruePeakMeter(rateHz);
    meter.add(sound, 0, sound.length);
    return meter.truePeak();
  }

  /** The code a trial's left channel is about. */
  static String code(Trial trial) {
    return trial.kind().substring(trial.kind().indexOf(' ') + 1).toLowerCase(Locale.ROOT);
  }
}
