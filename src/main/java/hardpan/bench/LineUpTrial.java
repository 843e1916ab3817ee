package hardpan.bench;

import java.util.SplittableRandom;

/**
 * One trial: a clip that is to be placed on a reference, drawn from a seed and a number so that it
 * can be run again alone.
 *
 * @param number number in the set
 * @param seed everything random in the clip
 * @param reference number of the reference in the pool
 * @param relation whether and how the clip belongs
 * @param feed where its sound comes from
 * @param startSeconds place of its first frame on the event's clock; negative: before its start
 * @param seconds its length
 * @param driftPpm its clock
 * @param rateHz its sample rate
 * @param snrDb sound over noise
 * @param noise kind of noise
 * @param directToRestDb for a far clip, direct sound over echoes
 * @param fadeSeconds for a far clip, reverberation time
 * @param flightSeconds for a far clip, flight time of the direct sound
 * @param inverted whether it is upside down
 * @param leveller whether an automatic gain works on it
 * @param overDb by how much its peaks exceed its ceiling; 0 or less: not cut
 * @param codec how it is coded
 */
record LineUpTrial(
    int number,
    long seed,
    int reference,
    Relation relation,
    Feed feed,
    double startSeconds,
    double seconds,
    double driftPpm,
    int rateHz,
    double snrDb,
    Noise noise,
    double directToRestDb,
    double fadeSeconds,
    double flightSeconds,
    boolean inverted,
    boolean leveller,
    double overDb,
    Codec codec) {

  /** Whether a clip belongs. */
  enum Relation {
    /** It filmed what the reference recorded. */
    BELONGS,
    /** It filmed another event with the same voices and the same band. */
    STRANGER,
    /** It filmed a playback of a recording that was played twice, with nothing else to be heard. */
    REPEATED,
    /** The same, with a voice talking over one of the two playbacks. */
    REPEATED_UNDER_VOICE
  }

  /** Where the sound comes from. */
  enum Feed {
    CONSOLE,
    SPLIT,
    FAR
  }

  /** What disturbs. */
  enum Noise {
    WHITE,
    PINK,
    CROWD
  }

  /** How a clip is coded. */
  enum Codec {
    PCM("PCM 16", "mov", "pcm_s16le", 0),
    AAC_64("AAC 64", "mp4", "aac", 64_000),
    AAC_96("AAC 96", "mp4", "aac", 96_000),
    AAC_128("AAC 128", "mp4", "aac", 128_000),
    AAC_192("AAC 192", "mp4", "aac", 192_000),
    AAC_320("AAC 320", "mp4", "aac", 320_000),
    MP3_128("MP3 128", "mp3", "libmp3lame", 128_000),
    MP3_192("MP3 192", "mp3", "libmp3lame", 192_000);

    final String says;
    final String container;
    final String encoder;
    final int bitRate;

    Codec(String says, String container, String encoder, int bitRate) {
      this.says = says;
      this.container = container;
      this.encoder = encoder;
      this.bitRate = bitRate;
    }
  }

  private static final double LONGEST_CODED_SECONDS = 150;
  private static final double[] SHORT_SECONDS = {3, 4, 6, 8, 10, 10, 11, 12, 15, 20, 30, 60};

  /** Draws a trial. */
  static LineUpTrial of(long setSeed, int number, ReferencePool pool) {
    SplittableRandom dice =
        new SplittableRandom(
            new SplittableRandom(setSeed).nextLong() + 0xD1B54A32D192ED03L * (number + 1));
    Relation relation = relation(dice.nextInt(100));
    double seconds = length(number, dice);
    int reference = pool.draw(relation, seconds, dice);
    LineUpReference.Kind kind = pool.kind(reference);
    Feed feed = dice.nextInt(100) < 45 ? Feed.FAR : dice.nextBoolean() ? Feed.CONSOLE : Feed.SPLIT;
    double start = start(relation, seconds, kind, dice);
    return new LineUpTrial(
        number,
        dice.nextLong(),
        reference,
        relation,
        feed,
        start,
        seconds,
        dice.nextInt(8) == 0 ? 0 : dice.nextDouble(-100, 100),
        dice.nextInt(3) == 0 ? 44_100 : 48_000,
        dice.nextDouble(-5, 30),
        Noise.values()[dice.nextInt(Noise.values().length)],
        dice.nextDouble(-10, 10),
        dice.nextDouble(0.3, 1.2),
        dice.nextDouble(0.003, 0.06),
        dice.nextInt(6) == 0,
        dice.nextInt(4) == 0,
        dice.nextInt(4) == 0 ? dice.nextDouble(3, 18) : 0,
        codec(seconds, dice));
  }

  /** Coding takes longer than everything else; long clips stay uncoded. */
  private static Codec codec(double seconds, SplittableRandom dice) {
    Codec drawn = Codec.values()[dice.nextInt(Codec.values().length)];
    return seconds > LONGEST_CODED_SECONDS ? Codec.PCM : drawn;
  }

  private static Relation relation(int drawn) {
    if (drawn < 26) {
      return Relation.STRANGER;
    }
    if (drawn < 30) {
      return Relation.REPEATED;
    }
    return drawn < 34 ? Relation.REPEATED_UNDER_VOICE : Relation.BELONGS;
  }

  /** Mostly short; in every 250 trials one of half an hour to an hour. */
  private static double length(int number, SplittableRandom dice) {
    if (number % 250 == 37) {
      return dice.nextDouble(1800, 3600);
    }
    if (number % 40 == 12) {
      return dice.nextDouble(180, 720);
    }
    return SHORT_SECONDS[dice.nextInt(SHORT_SECONDS.length)] * dice.nextDouble(1, 1.2);
  }

  private static double start(
      Relation relation, double seconds, LineUpReference.Kind kind, SplittableRandom dice) {
    double longest = kind.seconds();
    if (relation == Relation.REPEATED || relation == Relation.REPEATED_UNDER_VOICE) {
      // The recordings of even periods are heard alone, those of odd ones under a voice.
      int periods = kind.seconds() / EventSound.PERIOD_SECONDS;
      int period = 2 * dice.nextInt(periods / 2) + (relation == Relation.REPEATED ? 0 : 1);
      int start = EventSound.PLAYBACK_STARTS[dice.nextInt(EventSound.PLAYBACK_STARTS.length)];
      double room = EventSound.PLAYBACK_SECONDS - Math.min(seconds, 50) - 2;
      return period * (double) EventSound.PERIOD_SECONDS + start + 1 + dice.nextDouble(0, room);
    }
    if (dice.nextInt(12) == 0) {
      // Hangs out over the start or the end by up to half.
      double out = seconds * dice.nextDouble(0, 0.5);
      return dice.nextBoolean() ? -out : longest - seconds + out;
    }
    return dice.nextDouble(0, Math.max(1, longest - seconds - 1));
  }

  /** Length of a trial's clip that repeats: it must lie inside the playback. */
  double clipSeconds() {
    boolean repeated = relation == Relation.REPEATED || relation == Relation.REPEATED_UNDER_VOICE;
    return repeated ? Math.min(seconds, 50) : seconds;
  }

  boolean belongs() {
    return relation != Relation.STRANGER;
  }
}
