package hardpan.demo;

/**
 * A small choir: four parts of two singers each, every singer a sum of harmonics under moving vowel
 * formants, with vibrato, slow wander of pitch and slightly different tuning. Chords follow a
 * seeded walk in G major and do not repeat as a whole.
 *
 * <p>Method: additive synthesis, harmonics by the sine recurrence sin(kx) = 2 cos(x) sin((k-1)x) -
 * sin((k-2)x). Formants of sung vowels, vibrato of 5 to 6 Hz: common practice, no source.
 */
final class ChoirMaker {
  private static final double RATE = Stage.RATE_HZ;
  private static final int STEP_FRAMES = 48;
  private static final int MAX_HARMONICS = 64;
  private static final double TOP_HZ = 9000;
  private static final int PARTS = 4;
  private static final int SINGERS_PER_PART = 2;

  /** Lowest and highest note of bass, tenor, alto and soprano, as MIDI note numbers. */
  private static final int[][] RANGES = {{43, 57}, {50, 64}, {57, 70}, {62, 77}};

  private static final int[] SCALE = {0, 2, 4, 5, 7, 9, 11};
  private static final int KEY_NOTE = 55;

  /** For each degree of the scale, where the harmony may go next. */
  private static final int[][] NEXT_DEGREE = {
    {1, 3, 4, 5, 2}, {4, 4, 6}, {5, 3}, {4, 1, 0}, {0, 5, 0}, {1, 3, 2}, {0, 5},
  };

  /** F1 to F5 in hertz for ah, eh, ee, oh, oo. */
  private static final double[][] VOWELS = {
    {700, 1150, 2600, 3300, 4900},
    {480, 1800, 2500, 3300, 4900},
    {300, 2100, 2900, 3400, 4950},
    {450, 820, 2600, 3250, 4800},
    {340, 680, 2500, 3200, 4800},
  };

  private static final double[] FORMANT_LEVELS = {1, 0.5, 0.28, 0.25, 0.12};
  private static final double[] FORMANT_WIDTHS_HZ = {90, 110, 160, 200, 300};

  private final Dice dice;
  private final float[] samples;

  private ChoirMaker(long seed, int frames) {
    this.dice = new Dice(Dice.seedFor(seed, "choir"));
    this.samples = new float[frames];
  }

  /**
   * Sings.
   *
   * @param seed what is sung
   * @param startSecond first chord, event seconds
   * @param endSecond last chord has died away
   * @param peak largest absolute sample of the result
   */
  static Stem sing(long seed, double startSecond, double endSecond, double peak) {
    ChoirMaker maker = new ChoirMaker(seed, (int) ((endSecond - startSecond) * RATE));
    maker.render();
    Stem.scaleToPeak(maker.samples, peak);
    return new Stem(Math.round(startSecond * RATE), maker.samples);
  }

  private void render() {
    Singer[] singers = new Singer[PARTS * SINGERS_PER_PART];
    for (int i = 0; i < singers.length; i++) {
      singers[i] = new Singer(RANGES[i / SINGERS_PER_PART]);
    }
    int degree = 0;
    int frame = 0;
    int chordsLeft = 3 + dice.below(4);
    double[] beats = {0.5, 0.6, 0.75, 0.9, 1.2, 1.5, 2.1};
    while (frame < samples.length) {
      double seconds = beats[dice.below(beats.length)] * dice.between(0.95, 1.06);
      boolean phraseEnd = --chordsLeft == 0;
      if (phraseEnd) {
        seconds += 0.9;
        degree = dice.chance(0.7) ? 0 : 4;
      }
      int noteFrames = Math.min((int) (seconds * RATE), samples.length - frame);
      double[] vowel = VOWELS[dice.below(VOWELS.length)];
      double loudness = Math.pow(10, dice.between(-7, 0) / 20);
      boolean hissed = dice.chance(0.5);
      for (int i = 0; i < singers.length; i++) {
        int part = i / SINGERS_PER_PART;
        if (i % SINGERS_PER_PART == 0) {
          int note = chordNote(degree, part, singers[i].note);
          singers[i].note = note;
          singers[i + 1].note = note;
        }
        singers[i].sing(frame, noteFrames, vowel, loudness, phraseEnd, hissed);
      }
      frame += noteFrames;
      if (phraseEnd) {
        frame += (int) (dice.between(0.25, 0.6) * RATE);
        chordsLeft = 3 + dice.below(5);
      }
      int[] choices = NEXT_DEGREE[degree];
      degree = choices[dice.below(choices.length)];
    }
  }

  /** The chord's note nearest to where the part was; the bass takes the root. */
  private int chordNote(int degree, int part, int before) {
    int best = before;
    int bestDistance = Integer.MAX_VALUE;
    for (int third = 0; third < (part == 0 ? 1 : 3); third++) {
      int step = degree + 2 * third;
      int pitchClass = (KEY_NOTE + SCALE[step % 7]) % 12;
      for (int note = RANGES[part][0]; note <= RANGES[part][1]; note++) {
        int distance = 2 * Math.abs(note - before) + dice.below(5);
        if (note % 12 == pitchClass && distance < bestDistance) {
          bestDistance = distance;
          best = note;
        }
      }
    }
    return best;
  }

  private final class Singer {
    private final double detune = dice.between(-0.004, 0.004);
    private final double vibratoHz = dice.between(4.9, 6.2);
    private final double vibratoDepth = dice.between(0.003, 0.007);
    private final double formantFactor;
    private final double late = dice.between(0, 0.03);
    private final double[] levels = new double[MAX_HARMONICS + 1];
    private final BandNoise consonant = new BandNoise(dice, dice.between(5200, 7400), 3500);
    private final BandNoise breath = new BandNoise(dice, 2600, 4000);
    private final double[] vowel = VOWELS[0].clone();
    private int note;
    private double phase = dice.between(0, 2 * Math.PI);
    private double vibratoPhase = dice.between(0, 2 * Math.PI);
    private double hertz;
    private double wander;
    private double level;

    Singer(int[] range) {
      this.note = (range[0] + range[1]) / 2;
      this.hertz = hertzOf(note);
      this.formantFactor = range[0] >= 57 ? dice.between(1.1, 1.18) : dice.between(0.95, 1.03);
    }

    void sing(
        int from, int frames, double[] target, double loudness, boolean phraseEnd, boolean hissed) {
      int offset = (int) ((late + dice.between(0, 0.012)) * RATE);
      int fadeFrom = phraseEnd ? frames - (int) (0.6 * RATE) : frames;
      for (int at = 0; at < frames; at += STEP_FRAMES) {
        int count = Math.min(STEP_FRAMES, frames - at);
        boolean started = at >= offset;
        double goal = started && at < fadeFrom ? loudness : phraseEnd ? 0 : level;
        level += (goal > level ? 0.025 : 0.006) * (goal - level);
        if (started) {
          hertz += 0.03 * (hertzOf(note) - hertz);
          for (int f = 0; f < vowel.length; f++) {
            vowel[f] += 0.01 * (target[f] - vowel[f]);
          }
        }
        block(from + at, count);
        if (hissed && started && at - offset < 0.07 * RATE) {
          for (int i = 0; i < count; i++) {
            samples[from + at + i] += (float) consonant.next(0.22 * loudness);
          }
        }
      }
    }

    private void block(int from, int count) {
      wander = 0.995 * wander + 0.00012 * dice.noise();
      vibratoPhase += 2 * Math.PI * vibratoHz * STEP_FRAMES / RATE;
      double now = hertz * (1 + detune + wander + vibratoDepth * Math.sin(vibratoPhase));
      int harmonics = Math.min(MAX_HARMONICS, (int) (TOP_HZ / now));
      for (int k = 1; k <= harmonics; k++) {
        levels[k] = level * formantLevel(k * now) / Math.pow(k, 0.85);
      }
      double advance = 2 * Math.PI * now / RATE;
      for (int i = 0; i < count; i++) {
        phase += advance;
        double twiceCosine = 2 * Math.cos(phase);
        double older = 0;
        double sine = Math.sin(phase);
        double sum = 0;
        for (int k = 1; k <= harmonics; k++) {
          sum += levels[k] * sine;
          double newer = twiceCosine * sine - older;
          older = sine;
          sine = newer;
        }
        samples[from + i] += (float) (sum + breath.next(0.02 * level));
      }
      phase %= 2 * Math.PI;
    }

    private double formantLevel(double frequencyHz) {
      double sum = 0.03;
      for (int f = 0; f < vowel.length; f++) {
        double away = (frequencyHz - vowel[f] * formantFactor) / FORMANT_WIDTHS_HZ[f];
        sum += FORMANT_LEVELS[f] / (1 + away * away);
      }
      return sum;
    }
  }

  private static double hertzOf(int note) {
    return 440 * Math.pow(2, (note - 69) / 12.0);
  }
}
