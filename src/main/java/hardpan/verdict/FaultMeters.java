package hardpan.verdict;

import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.SampleForm;
import java.util.Arrays;
import org.jspecify.annotations.Nullable;

/**
 * The small meters of one channel that each look for one fault, all fed by the one decode pass.
 *
 * <p>Samples that are not numbers reach them as silence. Memory is bounded: about 0.25 MB, and some
 * 50 bytes for each fault or pause found, of which each meter keeps a limited number.
 */
final class FaultMeters {
  private static final int WHOLE_BITS = 24;

  private final HumMeter hum;
  private final GustMeter gusts;
  private final SlowSound slow;
  private final GapMeter gaps;
  private final QuietMeter quiet;
  private final BandLimit band;
  private final OverMeter overs;
  private final @Nullable WordLength words;
  private float[] clean = new float[0];

  FaultMeters(SourceFacts facts) {
    int rateHz = facts.rateHz();
    this.hum = new HumMeter(rateHz);
    this.gusts = new GustMeter(rateHz);
    this.slow = new SlowSound(rateHz, hum, gusts);
    this.gaps = new GapMeter(rateHz, facts.sampleForm() == SampleForm.LOSSY);
    this.quiet = new QuietMeter(rateHz);
    this.band = new BandLimit(rateHz);
    this.overs = new OverMeter(rateHz);
    Integer bits = facts.bitsPerSample();
    boolean whole = facts.sampleForm() == SampleForm.INTEGER && bits != null && bits == WHOLE_BITS;
    this.words = whole ? new WordLength() : null;
  }

  /** Takes the next samples. */
  void add(float[] samples, int frameCount) {
    float[] sound = numbers(samples, frameCount);
    slow.add(sound, frameCount);
    gaps.add(sound, frameCount);
    quiet.add(sound, frameCount);
    band.add(sound, frameCount);
    overs.add(sound, frameCount);
    if (words != null) {
      words.add(sound, frameCount);
    }
  }

  /** The samples, or a copy with silence for what is not a number. */
  private float[] numbers(float[] samples, int frameCount) {
    float sum = 0;
    for (int i = 0; i < frameCount; i++) {
      sum += 0 * samples[i];
    }
    // A number times 0 is 0, anything else NaN, and once NaN a sum stays so.
    if (sum == 0) {
      return samples;
    }
    clean = clean.length < frameCount ? new float[frameCount] : clean;
    for (int i = 0; i < frameCount; i++) {
      clean[i] = Math.abs(samples[i]) <= Float.MAX_VALUE ? samples[i] : 0;
    }
    Arrays.fill(clean, frameCount, clean.length, 0);
    return clean;
  }

  /** Ends what is still going on; call once at the end of the sound. */
  void finish() {
    hum.finish();
    gusts.finish();
    gaps.finish();
    quiet.finish();
    overs.finish();
  }

  HumMeter hum() {
    return hum;
  }

  GustMeter gusts() {
    return gusts;
  }

  GapMeter gaps() {
    return gaps;
  }

  QuietMeter quiet() {
    return quiet;
  }

  BandLimit band() {
    return band;
  }

  OverMeter overs() {
    return overs;
  }

  /** Null unless the source has 24-bit whole numbers. */
  @Nullable WordLength words() {
    return words;
  }
}
