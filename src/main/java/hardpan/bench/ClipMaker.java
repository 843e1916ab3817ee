package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.bench.EventSound.Stream;
import hardpan.media.FfmpegClipWriter;
import hardpan.signal.Windows;
import java.nio.file.Path;
import java.util.SplittableRandom;

/**
 * Makes the clip of a trial: the event through a feed, a room, a clock, a preamplifier, a codec.
 */
final class ClipMaker {
  private static final int RATE_HZ = SoundPool.RATE_HZ;
  private static final int BLOCK = Room.BLOCK;
  private static final int HALF_TAPS = 16;
  private static final int PHASES = 1024;
  private static final double KAISER_BETA = 8;

  /** Noise is set against the sound of this long a stretch in the clip's middle at most. */
  private static final int LEVEL_BLOCKS = 40;

  private final LineUpTrial trial;
  private final EventSound event;
  private final EventSound beside;
  private final Room[] rooms;
  private final SplittableRandom dice;
  private final float[][] table;
  private final int channels;
  private float crowdLevel;
  private float pinkSlow;
  private float pinkMiddle;
  private float pinkFast;
  private double envelope = 0.05;

  /**
   * For a trial.
   *
   * @param eventSeed seed of the event that the trial's reference recorded
   * @param playbacks whether that event has playbacks
   */
  ClipMaker(LineUpTrial trial, SoundBank bank, long eventSeed, boolean playbacks) {
    this.trial = trial;
    long heard = trial.belongs() ? eventSeed : trial.seed() | 1L << 62;
    this.event = new EventSound(bank, heard, playbacks && trial.belongs(), !trial.belongs());
    this.beside = new EventSound(bank, trial.seed() ^ 0x5555, false, true);
    this.dice = new SplittableRandom(trial.seed());
    this.channels = trial.feed() == LineUpTrial.Feed.CONSOLE && trial.number() % 2 == 0 ? 1 : 2;
    this.rooms = new Room[channels];
    for (int i = 0; i < channels && trial.feed() == LineUpTrial.Feed.FAR; i++) {
      int delay = (int) Math.round(trial.flightSeconds() * RATE_HZ) + 4 * i;
      rooms[i] =
          new Room(delay, trial.fadeSeconds(), trial.directToRestDb(), trial.seed() + 17 + i);
    }
    this.table = table(Math.min(1, 0.97 * trial.rateHz() / RATE_HZ));
  }

  /** Flight time of the direct sound as it was made. */
  double flightSeconds() {
    return rooms[0] == null ? 0 : (double) rooms[0].delayFrames() / RATE_HZ;
  }

  /** Writes the file. */
  void make(Path file) throws MediaException {
    LineUpTrial.Codec codec = trial.codec();
    try (FfmpegClipWriter writer =
        FfmpegClipWriter.create(
            file,
            new FfmpegClipWriter.Settings(
                codec.container,
                codec.encoder,
                trial.rateHz(),
                channels,
                codec.bitRate == 0 ? null : codec.bitRate,
                false,
                null))) {
      stream(writer);
    }
  }

  private void stream(FfmpegClipWriter writer) throws MediaException {
    double ratio = (double) RATE_HZ / trial.rateHz() * (1 + trial.driftPpm() * 1e-6);
    long total = (long) (trial.clipSeconds() * trial.rateHz());
    double start = trial.startSeconds() * RATE_HZ;
    // The room needs a run-up, so that the clip begins amid its echoes.
    long heardFrom = (long) Math.floor(start) - HALF_TAPS - (rooms[0] == null ? 0 : 2L * BLOCK);
    float[][] kept = new float[channels][0];
    long keptFrom = heardFrom;
    long next = heardFrom;
    long written = 0;
    float[] gains = null;
    while (written < total) {
      float[][] block = heard(next);
      next += BLOCK;
      for (int c = 0; c < channels; c++) {
        float[] longer = new float[kept[c].length + BLOCK];
        System.arraycopy(kept[c], 0, longer, 0, kept[c].length);
        System.arraycopy(block[c], 0, longer, kept[c].length, BLOCK);
        kept[c] = longer;
      }
      long end = next - HALF_TAPS - 2;
      int count = (int) Math.min(total - written, (long) ((end - start) / ratio) - written);
      if (count <= 0) {
        continue;
      }
      float[][] out = new float[channels][count];
      for (int c = 0; c < channels; c++) {
        for (int i = 0; i < count; i++) {
          out[c][i] = at(kept[c], start + (written + i) * ratio - keptFrom);
        }
      }
      if (gains == null) {
        gains = noiseGains(out);
      }
      disturb(out, written, gains);
      preamplifier(out);
      writer.write(out, count);
      written += count;
      long nextFrom = (long) Math.floor(start + written * ratio) - HALF_TAPS - 2;
      for (int c = 0; c < channels; c++) {
        int from = (int) (nextFrom - keptFrom);
        float[] shorter = new float[kept[c].length - from];
        System.arraycopy(kept[c], from, shorter, 0, shorter.length);
        kept[c] = shorter;
      }
      keptFrom = nextFrom;
    }
  }

  /** What reaches the camera's microphones or inputs. */
  private float[][] heard(long from) {
    float[][] block = new float[channels][BLOCK];
    if (trial.feed() == LineUpTrial.Feed.SPLIT) {
      LineUpReference.speakers(event, from, block[0], block[1]);
    } else {
      event.addAll(from, 0.7f, block[0], BLOCK);
      if (channels == 2) {
        System.arraycopy(block[0], 0, block[1], 0, BLOCK);
      }
    }
    for (int c = 0; c < channels; c++) {
      if (rooms[c] != null) {
        rooms[c].process(block[c], 0, BLOCK);
      }
    }
    return block;
  }

  /** Amplitude of the noise on each channel, from the sound's power along the whole clip. */
  private float[] noiseGains(float[][] firstBlock) {
    double[] power = new double[channels];
    long count = 0;
    if (trial.clipSeconds() < 3) {
      for (int c = 0; c < channels; c++) {
        power[c] = power(firstBlock[c]);
      }
      count = firstBlock[0].length;
    } else {
      long from = (long) (trial.startSeconds() * RATE_HZ);
      long length = (long) (trial.clipSeconds() * RATE_HZ);
      long blocks = Math.max(1, Math.min(LEVEL_BLOCKS, length / BLOCK));
      for (long b = 0; b < blocks; b++) {
        long at = from + (length - BLOCK) * b / Math.max(1, blocks - 1);
        float[][] block = new float[2][BLOCK];
        if (trial.feed() == LineUpTrial.Feed.SPLIT) {
          LineUpReference.speakers(event, at, block[0], block[1]);
        } else {
          event.addAll(at, 0.7f, block[0], BLOCK);
          block[1] = block[0];
        }
        for (int c = 0; c < channels; c++) {
          power[c] += power(block[c]);
        }
        count += BLOCK;
      }
    }
    float[] gains = new float[channels];
    double roomGain =
        trial.feed() == LineUpTrial.Feed.FAR ? 1 + Math.pow(10, -trial.directToRestDb() / 10) : 1;
    for (int c = 0; c < channels; c++) {
      double rms = Math.sqrt(roomGain * power[c] / Math.max(1, count));
      gains[c] = (float) (Math.max(rms, 1e-4) * Math.pow(10, -trial.snrDb() / 20));
    }
    return gains;
  }

  private static double power(float[] sound) {
    double sum = 0;
    for (float x : sound) {
      sum += (double) x * x;
    }
    return sum;
  }

  private void disturb(float[][] out, long written, float[] gains) {
    int count = out[0].length;
    switch (trial.noise()) {
      case WHITE -> {
        for (int c = 0; c < channels; c++) {
          for (int i = 0; i < count; i++) {
            out[c][i] += gains[c] * (float) dice.nextDouble(-1.732, 1.732);
          }
        }
      }
      case PINK -> {
        for (int c = 0; c < channels; c++) {
          for (int i = 0; i < count; i++) {
            out[c][i] += gains[c] * pink();
          }
        }
      }
      case CROWD -> {
        float[] crowd = new float[count];
        // Several talkers: stretches of one stream, hours apart.
        for (int talker = 0; talker < 4; talker++) {
          long at = written + talker * 7200L * RATE_HZ;
          beside.add(Stream.CROWD, at, 0.5f / crowdLevel(), crowd, count);
        }
        for (int c = 0; c < channels; c++) {
          for (int i = 0; i < count; i++) {
            float x = crowd[(i + 9 * c) % count];
            out[c][i] += gains[c] * (x + (float) dice.nextDouble(-0.1, 0.1));
          }
        }
      }
    }
  }

  /** Root mean square of one talker beside the camera. */
  private float crowdLevel() {
    if (crowdLevel == 0) {
      float[] words = new float[20 * RATE_HZ];
      beside.add(Stream.CROWD, 0, 1, words, words.length);
      crowdLevel = (float) Math.sqrt(power(words) / words.length);
    }
    return crowdLevel;
  }

  /** White noise through three poles, about -3 dB an octave, power about 1. */
  private float pink() {
    float white = (float) dice.nextDouble(-1, 1);
    pinkSlow = 0.99765f * pinkSlow + white * 0.0990460f;
    pinkMiddle = 0.96300f * pinkMiddle + white * 0.2965164f;
    pinkFast = 0.57000f * pinkFast + white * 1.0526913f;
    return 0.6f * (pinkSlow + pinkMiddle + pinkFast + white * 0.1848f);
  }

  private void preamplifier(float[][] out) {
    double attack = 1 - Math.exp(-1 / (0.005 * trial.rateHz()));
    double release = 1 - Math.exp(-1 / (1.5 * trial.rateHz()));
    float gain =
        (trial.inverted() ? -1 : 1) * (trial.feed() == LineUpTrial.Feed.FAR ? 0.35f : 0.8f);
    float ceiling = trial.overDb() > 0 ? (float) Math.pow(10, -trial.overDb() / 20) * 0.6f : 10;
    float after = trial.overDb() > 0 ? 0.9f / ceiling : 1;
    for (int i = 0; i < out[0].length; i++) {
      double peak = 0;
      for (float[] channel : out) {
        peak = Math.max(peak, Math.abs(channel[i]));
      }
      envelope += (peak - envelope) * (peak > envelope ? attack : release);
      float level = trial.leveller() ? (float) (0.25 / Math.max(0.01, envelope)) : 1;
      for (float[] channel : out) {
        float x = channel[i] * gain * level;
        x = Math.max(-ceiling, Math.min(ceiling, x)) * after;
        channel[i] = Math.max(-1, Math.min(1, x));
      }
    }
  }

  /** A shorter interpolator than the program's own: 32 taps, images about 80 dB down. */
  private static float[][] table(double cutoff) {
    float[][] table = new float[PHASES + 1][2 * HALF_TAPS];
    for (int phase = 0; phase <= PHASES; phase++) {
      double sum = 0;
      for (int tap = 0; tap < 2 * HALF_TAPS; tap++) {
        double distance = tap - (HALF_TAPS - 1) - phase / (double) PHASES;
        double value =
            cutoff
                * Windows.sinc(cutoff * distance)
                * Windows.kaiserAt(distance / HALF_TAPS, KAISER_BETA);
        table[phase][tap] = (float) value;
        sum += value;
      }
      for (int tap = 0; tap < 2 * HALF_TAPS; tap++) {
        table[phase][tap] /= (float) sum;
      }
    }
    return table;
  }

  private float at(float[] sound, double position) {
    int index = (int) Math.floor(position);
    double scaled = (position - index) * PHASES;
    int phase = (int) scaled;
    float t = (float) (scaled - phase);
    float[] lower = table[phase];
    float[] upper = table[phase + 1];
    int first = index - (HALF_TAPS - 1);
    float a = 0;
    float b = 0;
    for (int tap = 0; tap < 2 * HALF_TAPS; tap++) {
      float x = sound[first + tap];
      a += x * lower[tap];
      b += x * upper[tap];
    }
    return a + t * (b - a);
  }
}
