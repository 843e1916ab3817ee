package hardpan.bench;

import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;

/**
 * What sounded at an event of any length, by stream and position: two speakers who take turns and
 * at times talk at once, and a band. Put together from a {@link SoundBank} by a seed, the same
 * however it is cut; every word is said and every piece played at a speed and level of its own, so
 * that a stretch hardly ever comes twice. With five pieces of music, two stretches of two events
 * may be the same piece; at an event elsewhere its speed then differs by far more than clocks do,
 * since a playback at the same speed would be common sound.
 *
 * <p>Except for playbacks: with them, the same recording comes over the loudspeakers at two places,
 * once with nothing else to be heard and, in the next period, with the first speaker talking over
 * it. Not for use by several threads at once.
 */
final class EventSound {
  /** Length of a period with two playbacks of one recording. */
  static final int PERIOD_SECONDS = 300;

  /** Where in a period the two playbacks begin. */
  static final int[] PLAYBACK_STARTS = {30, 170};

  static final int PLAYBACK_SECONDS = 60;

  private static final int RATE_HZ = SoundPool.RATE_HZ;
  private static final int SEGMENT = 10 * RATE_HZ;
  private static final int SEGMENTS_IN_SECTION = 6;
  private static final int KEPT_SEGMENTS = 10;
  private static final int FADE = RATE_HZ / 200;
  private static final int SPEED_STRETCHES = 55;
  private static final double SPEED_STEP = 0.004;

  private final SoundBank bank;
  private final long seed;
  private final boolean playbacks;
  private final boolean elsewhere;
  private final Map<Long, float[]> kept =
      new LinkedHashMap<>(16, 0.75f, true) {
        @Override
        protected boolean removeEldestEntry(Map.Entry<Long, float[]> eldest) {
          return size() > KEPT_SEGMENTS;
        }
      };

  /** A stream. */
  enum Stream {
    FIRST(0),
    SECOND(1),
    BAND(2),
    CROWD(3);

    private final int number;

    Stream(int number) {
      this.number = number;
    }
  }

  /**
   * An event.
   *
   * @param playbacks whether recordings are played twice
   * @param elsewhere whether it is another event than the reference's: no piece is played at a
   *     speed that one has there
   */
  EventSound(SoundBank bank, long seed, boolean playbacks, boolean elsewhere) {
    this.bank = bank;
    this.seed = seed;
    this.playbacks = playbacks;
    this.elsewhere = elsewhere;
  }

  /** Whether the second of a pair of periods' playbacks runs here, with a voice over it. */
  static boolean isTalkedOver(long period) {
    return period % 2 == 1;
  }

  /** Adds everything that came over the loudspeakers and out of mouths. */
  void addAll(long from, float gain, float[] out, int count) {
    add(Stream.FIRST, from, gain, out, count);
    add(Stream.SECOND, from, gain, out, count);
    add(Stream.BAND, from, 0.7f * gain, out, count);
  }

  /**
   * Adds a stretch of a stream.
   *
   * @param from first frame at 48 kHz; before 0 is silence
   */
  void add(Stream stream, long from, float gain, float[] out, int count) {
    int at = (int) Math.max(0, Math.min(count, -from));
    while (at < count) {
      long frame = from + at;
      long number = frame / SEGMENT;
      int inside = (int) (frame % SEGMENT);
      int take = Math.min(count - at, SEGMENT - inside);
      float[] segment = segment(stream, number);
      for (int i = 0; i < take; i++) {
        out[at + i] += gain * segment[inside + i];
      }
      at += take;
    }
  }

  private float[] segment(Stream stream, long number) {
    long key = number * Stream.values().length + stream.number;
    float[] segment = kept.get(key);
    if (segment == null) {
      segment = playbacks ? withPlaybacks(stream, number) : live(stream, number, seed);
      kept.put(key, segment);
    }
    return segment;
  }

  /** In a playback, the band's stream carries the recording; the speakers mostly fall silent. */
  private float[] withPlaybacks(Stream stream, long number) {
    int segmentsInPeriod = PERIOD_SECONDS * RATE_HZ / SEGMENT;
    long period = number / segmentsInPeriod;
    int place = (int) (number % segmentsInPeriod);
    for (int start : PLAYBACK_STARTS) {
      int first = start * RATE_HZ / SEGMENT;
      int index = place - first;
      if (index >= 0 && index < PLAYBACK_SECONDS * RATE_HZ / SEGMENT) {
        if (stream == Stream.BAND) {
          long recording = 1_000_003L * period + index;
          float[] sound = live(Stream.CROWD, recording, seed + 1);
          float[] band = music(dice(seed + 1, 77, recording));
          for (int i = 0; i < SEGMENT; i++) {
            sound[i] = 0.8f * sound[i] + 0.6f * band[i];
          }
          return sound;
        }
        boolean talks = stream == Stream.FIRST && isTalkedOver(period);
        return talks ? words(dice(seed, 78, number), bank.first()) : new float[SEGMENT];
      }
    }
    return live(stream, number, seed);
  }

  private float[] live(Stream stream, long number, long eventSeed) {
    int turn = (int) Long.remainderUnsigned(dice(eventSeed, 5, number).nextLong(), 5);
    boolean bandPlays =
        dice(eventSeed, 6, number / SEGMENTS_IN_SECTION).nextInt(3) == 0
            && turn != 4; // The band stops now and then.
    boolean talks = !bandPlays || dice(eventSeed, 7, number).nextInt(3) == 0;
    SplittableRandom dice = dice(eventSeed, 10 + stream.number, number);
    return switch (stream) {
      case FIRST -> talks && turn != 2 && turn != 3 ? words(dice, bank.first()) : quiet();
      case SECOND -> talks && turn >= 2 ? words(dice, bank.second()) : quiet();
      case BAND -> bandPlays ? music(dice) : quiet();
      case CROWD -> words(dice, bank.crowd());
    };
  }

  private static float[] quiet() {
    return new float[SEGMENT];
  }

  private static SplittableRandom dice(long seed, long what, long number) {
    return new SplittableRandom(
        seed * 0x9E3779B97F4A7C15L + what * 0xD1B54A32D192ED03L + number * 0x8CB92BA72F3D8DD7L);
  }

  private static float[] words(SplittableRandom dice, List<float[]> sounds) {
    float[] out = new float[SEGMENT];
    int at = dice.nextInt(RATE_HZ / 4);
    while (at < SEGMENT) {
      float[] word = sounds.get(dice.nextInt(sounds.size()));
      double speed = dice.nextDouble(0.85, 1.18);
      int length = (int) Math.min(SEGMENT - at, (word.length - 2) / speed);
      add(word, 0, speed, (float) dice.nextDouble(0.35, 1), out, at, length);
      at += Math.max(length, RATE_HZ / 20) + dice.nextInt(RATE_HZ / 3);
    }
    return out;
  }

  /** 0.9 to 1.12, in stretches with gaps of 600 parts in a million between events. */
  private double speed(double drawn) {
    double stretch = Math.floor(drawn * SPEED_STRETCHES);
    double inside = drawn * SPEED_STRETCHES - stretch;
    return 0.9 + SPEED_STEP * (stretch + 0.35 * inside + (elsewhere ? 0.5 : 0));
  }

  private float[] music(SplittableRandom dice) {
    float[] out = new float[SEGMENT];
    float[] piece = bank.music().get(dice.nextInt(bank.music().size()));
    double speed = speed(dice.nextDouble());
    int length = Math.min(SEGMENT, (int) ((piece.length - 2) / speed));
    int start = dice.nextInt(Math.max(1, (int) (piece.length - 2 - length * speed)));
    add(piece, start, speed, 0.8f, out, 0, length);
    // Recorded at 8 kHz, the music lacks its upper half; a drum gives it back.
    int beat = RATE_HZ * 60 / dice.nextInt(80, 150);
    for (int at = dice.nextInt(beat); at < SEGMENT; at += beat / 2) {
      double level = dice.nextDouble(0.02, 0.2);
      double decay = Math.exp(-1.0 / (RATE_HZ * dice.nextDouble(0.01, 0.08)));
      for (int i = at; i < SEGMENT && level > 1e-4; i++) {
        out[i] += (float) (level * (dice.nextDouble() - 0.5));
        level *= decay;
      }
    }
    return out;
  }

  /** Straight lines between samples; this makes the sound, it does not move it. */
  private static void add(
      float[] sound, int start, double speed, float gain, float[] out, int at, int length) {
    for (int i = 0; i < length; i++) {
      double position = start + i * speed;
      int index = (int) position;
      float fraction = (float) (position - index);
      float edge = Math.min(1, Math.min(i, length - 1 - i) / (float) FADE);
      out[at + i] += gain * edge * (sound[index] + fraction * (sound[index + 1] - sound[index]));
    }
  }
}
