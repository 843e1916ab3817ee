package hardpan.demo;

import java.util.List;

/**
 * A talking voice without a talker: a train of glottal pulses with jitter and shimmer, breath noise
 * that follows the pulses, ten moving formants in cascade, and hiss beside them.
 *
 * <p>Method: D. H. Klatt, "Software for a cascade/parallel formant synthesizer", JASA 67 (1980);
 * pulse shape: Klatt and Klatt, JASA 87 (1990). The ten formants carry the voice to about 10 kHz.
 */
final class VoiceMaker {
  /** Samples between two updates of the throat: half a millisecond. */
  private static final int CONTROL_FRAMES = 24;

  private static final int FORMANTS = 10;
  private static final double RATE = Stage.RATE_HZ;

  private final Voice voice;
  private final Dice dice;

  private final double[] y1 = new double[FORMANTS];
  private final double[] y2 = new double[FORMANTS];
  private final double[] gainA = new double[FORMANTS];
  private final double[] feedB = new double[FORMANTS];
  private final double[] feedC = new double[FORMANTS];

  private double f1Hz = 500;
  private double f2Hz = 1500;
  private double f3Hz = 2500;
  private double pitchHz;
  private double voicing;
  private double breath;
  private double hiss;
  private double hissHz = 4000;
  private double hissWidthHz = 3000;

  private double phaseFrames;
  private double periodFrames = 400;
  private double pulseGain = 1;
  private double tiltState;
  private double wander;
  private final BandNoise hissNoise;

  private VoiceMaker(Voice voice, long seed) {
    this.voice = voice;
    this.pitchHz = voice.pitchHz();
    this.dice = new Dice(Dice.seedFor(seed, "voice"));
    this.hissNoise = new BandNoise(dice, hissHz, hissWidthHz);
  }

  /**
   * What makes a person recognisable.
   *
   * @param pitchHz average pitch
   * @param formantFactor formants relative to an adult man's; above 1 for a shorter throat
   * @param syllableRateFactor speed of talk, 1 is about five syllables a second
   * @param openQuotient share of a period in which the glottis is open, 0.4 to 0.75
   * @param tiltHz corner above which the voice source falls more steeply
   * @param breathiness breath noise relative to the voice, 0 to 1
   */
  record Voice(
      double pitchHz,
      double formantFactor,
      double syllableRateFactor,
      double openQuotient,
      double tiltHz,
      double breathiness) {}

  /**
   * Speaks in the given stretches of time.
   *
   * @param voice who speaks
   * @param seed what is said and how
   * @param stretches start and end in event seconds, ascending, not overlapping
   * @param peak largest absolute sample of the result
   */
  static Stem speak(Voice voice, long seed, double[][] stretches, double peak) {
    VoiceMaker maker = new VoiceMaker(voice, seed);
    SpeechPlan plan = new SpeechPlan(voice, seed);
    double firstSecond = stretches[0][0];
    double lastSecond = stretches[stretches.length - 1][1] + 0.3;
    long startFrame = Math.round(firstSecond * RATE);
    float[] samples = new float[(int) Math.ceil((lastSecond - firstSecond) * RATE)];
    for (double[] stretch : stretches) {
      int at = (int) (Math.round(stretch[0] * RATE) - startFrame);
      maker.render(plan.talk(stretch[1] - stretch[0]), samples, at);
    }
    Stem.scaleToPeak(samples, peak);
    return new Stem(startFrame, samples);
  }

  private void render(List<Phone> phones, float[] samples, int firstFrame) {
    double endFrame = firstFrame;
    int frame = firstFrame;
    for (Phone phone : phones) {
      endFrame += phone.seconds() * RATE;
      while (frame < endFrame && frame + CONTROL_FRAMES <= samples.length) {
        approach(phone);
        for (int i = 0; i < CONTROL_FRAMES; i++) {
          samples[frame + i] = (float) next();
        }
        frame += CONTROL_FRAMES;
      }
    }
    Phone silence = Phone.rest(0.25);
    for (int tail = 0; tail < 400 && frame + CONTROL_FRAMES <= samples.length; tail++) {
      approach(silence);
      for (int i = 0; i < CONTROL_FRAMES; i++) {
        samples[frame + i] = (float) next();
      }
      frame += CONTROL_FRAMES;
    }
  }

  /** One step of half a millisecond towards what the speech sound asks for. */
  private void approach(Phone phone) {
    double slow = 1 - Math.exp(-CONTROL_FRAMES / (0.014 * RATE));
    double quick = 1 - Math.exp(-CONTROL_FRAMES / (0.004 * RATE));
    double pitchStep = 1 - Math.exp(-CONTROL_FRAMES / (0.045 * RATE));
    f1Hz += slow * (phone.f1Hz() - f1Hz);
    f2Hz += slow * (phone.f2Hz() - f2Hz);
    f3Hz += slow * (phone.f3Hz() - f3Hz);
    pitchHz += pitchStep * (voice.pitchHz() * phone.pitchFactor() - pitchHz);
    voicing += slow * (phone.voicing() * phone.loudness() - voicing);
    breath += quick * (phone.breath() * phone.loudness() - breath);
    hiss += quick * (phone.hiss() * phone.loudness() - hiss);
    hissHz += quick * (phone.hissHz() - hissHz);
    hissWidthHz += quick * (phone.hissWidthHz() - hissWidthHz);
    hissNoise.tune(hissHz, hissWidthHz);
    double factor = voice.formantFactor();
    tune(0, f1Hz * factor, 70);
    tune(1, f2Hz * factor, 100);
    tune(2, f3Hz * factor, 140);
    for (int i = 3; i < FORMANTS; i++) {
      double hertz = (500 + 1000.0 * i) * factor;
      tune(i, Math.min(hertz, 0.47 * RATE), 60 + 0.045 * hertz);
    }
  }

  private void tune(int formant, double hertz, double widthHz) {
    double radius = Math.exp(-Math.PI * widthHz / RATE);
    feedC[formant] = -radius * radius;
    feedB[formant] = 2 * radius * Math.cos(2 * Math.PI * hertz / RATE);
    gainA[formant] = 1 - feedB[formant] - feedC[formant];
  }

  private double next() {
    phaseFrames += 1;
    if (phaseFrames >= periodFrames) {
      phaseFrames -= periodFrames;
      wander = 0.97 * wander + 0.004 * dice.noise();
      double jitter = 1 + wander + 0.008 * dice.noise();
      periodFrames = RATE / (Math.max(60, pitchHz) * Math.max(0.8, jitter));
      pulseGain = 1 + 0.07 * dice.noise();
    }
    double open = phaseFrames / (voice.openQuotient() * periodFrames);
    double pulse = open < 1 ? pulseGain * (2 * open - 3 * open * open) : 0;
    tiltState += (1 - Math.exp(-2 * Math.PI * voice.tiltHz() / RATE)) * (pulse - tiltState);
    double noise = dice.noise();
    double puff = open < 1 ? 0.4 + 0.6 * open : 0.4;
    double source =
        voicing * (tiltState + voice.breathiness() * puff * noise) + 0.35 * breath * noise;
    double value = source;
    for (int i = 0; i < FORMANTS; i++) {
      double y = gainA[i] * value + feedB[i] * y1[i] + feedC[i] * y2[i];
      y2[i] = y1[i];
      y1[i] = y;
      value = y;
    }
    return value + 0.5 * hissNoise.next(hiss);
  }
}
