package hardpan.demo;

import hardpan.base.Monitor;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;

/**
 * The evening: who speaks and sings when, what the console makes of it, and what arrives at the
 * sockets of each device. Event frame 0 is the recorder's first sample.
 *
 * <p>The speech microphones stand at the mouths (delay 0), the console adds them electrically. The
 * far camera is equally far from both speakers and the choir, so that one placement is true for the
 * whole of its clip.
 */
final class Stage {
  /** Rate of the event's time line and of every feed. */
  static final int RATE_HZ = 48000;

  /** Speed of sound in air at 20 degrees Celsius (ISO 9613-1: 343.2 m/s). */
  static final double METRES_PER_SECOND = 343.2;

  /** How far the hall camera is from every source, in metres. */
  static final double FAR_METRES = 15;

  private static final double START_SECOND = -12;
  private static final double END_SECOND = 188;
  private static final int BLOCK_FRAMES = PairConvolver.MAX_FRAMES;

  private static final VoiceMaker.Voice FIRST_SPEAKER =
      new VoiceMaker.Voice(112, 1.0, 0.95, 0.58, 2600, 0.05);
  private static final VoiceMaker.Voice SECOND_SPEAKER =
      new VoiceMaker.Voice(203, 1.16, 1.1, 0.66, 2200, 0.09);
  private static final VoiceMaker.Voice STRANGER =
      new VoiceMaker.Voice(148, 1.07, 1.02, 0.6, 2400, 0.07);

  /** Start and end of talk in event seconds; the short ones are banter. */
  private static final double[][] FIRST_TALKS = {{-10.6, 60.1}, {78.2, 80.5}, {99.2, 101.7}};

  private static final double[][] SECOND_TALKS = {{31.4, 32.9}, {55.3, 112.6}};
  private static final double CHOIR_START_SECOND = 115.3;
  private static final double CHOIR_END_SECOND = 172;

  /** Start, end and strength. */
  private static final double[][] APPLAUSE = {
    {60.2, 64.6, 0.5}, {112.4, 116.2, 0.7}, {170.8, 179.6, 1}
  };

  /** Fader moves: event second, then linear gain of lectern, lapel and choir. */
  private static final double[][] FADERS = {
    {-12, 1, 0.6, 0},
    {53, 1, 0.6, 0},
    {54.5, 1, 1, 0},
    {65, 1, 1, 0},
    {68, 0.7, 1, 0},
    {112.8, 0.7, 1, 0},
    {114.6, 0.05, 0.05, 1.1},
    {188, 0.05, 0.05, 1.1},
  };

  private final Stem lectern;
  private final Stem lapel;
  private final Stem board;
  private final PairConvolver room;
  private final PairConvolver far;

  private Stage(Stem lectern, Stem lapel, Stem board, PairConvolver room, PairConvolver far) {
    this.lectern = lectern;
    this.lapel = lapel;
    this.board = board;
    this.room = room;
    this.far = far;
  }

  /**
   * Lets the evening happen.
   *
   * @param seed everything that is random
   * @throws IOException never in practice; workers may pass one on
   */
  static Stage build(long seed, Workers workers, Monitor monitor) throws IOException {
    List<Stem> made =
        workers.all(
            List.<Callable<Stem>>of(
                () -> ChoirMaker.sing(seed, CHOIR_START_SECOND, CHOIR_END_SECOND, 0.5),
                () -> VoiceMaker.speak(FIRST_SPEAKER, seed + 1, FIRST_TALKS, 0.6),
                () -> VoiceMaker.speak(SECOND_SPEAKER, seed + 2, SECOND_TALKS, 0.5),
                () -> CrowdMaker.gather(seed, START_SECOND, END_SECOND, APPLAUSE)));
    monitor.checkCancelled();
    List<Stem> sources = List.of(made.get(1), made.get(2), made.get(0), made.get(3));
    PairConvolver speech = Hall.connect(sources, Hall.LECTERN, Hall.LAPEL, seed, workers);
    PairConvolver choir = Hall.connect(sources, Hall.CHOIR, null, seed, workers);
    long startFrame = Math.round(START_SECOND * RATE_HZ);
    int frames = (int) Math.round((END_SECOND - START_SECOND) * RATE_HZ);
    Stem lectern = new Stem(startFrame, new float[frames]);
    Stem lapel = new Stem(startFrame, new float[frames]);
    Stem board = new Stem(startFrame, new float[frames]);
    List<Callable<Boolean>> pieces = new ArrayList<>();
    for (int from = 0; from < frames; from += BLOCK_FRAMES) {
      int at = from;
      int count = Math.min(BLOCK_FRAMES, frames - from);
      pieces.add(
          () -> {
            monitor.checkCancelled();
            mix(speech, choir, lectern, lapel, board, at, count);
            return true;
          });
    }
    workers.all(pieces);
    return new Stage(
        lectern,
        lapel,
        board,
        Hall.connect(sources, Hall.ROOM, null, seed, workers),
        Hall.connectFar(sources, seed, workers));
  }

  private static void mix(
      PairConvolver speech,
      PairConvolver choir,
      Stem lectern,
      Stem lapel,
      Stem board,
      int at,
      int count) {
    float[] first = new float[count];
    float[] second = new float[count];
    float[] singing = new float[count];
    long fromFrame = lectern.startFrame() + at;
    speech.read(fromFrame, first, second, count);
    choir.read(fromFrame, singing, null, count);
    System.arraycopy(first, 0, lectern.samples(), at, count);
    System.arraycopy(second, 0, lapel.samples(), at, count);
    for (int i = 0; i < count; i++) {
      double eventSecond = (fromFrame + i) / (double) RATE_HZ;
      board.samples()[at + i] =
          (float)
              (fader(eventSecond, 1) * first[i]
                  + fader(eventSecond, 2) * second[i]
                  + fader(eventSecond, 3) * singing[i]);
    }
  }

  private static double fader(double eventSecond, int strip) {
    int next = 1;
    while (next < FADERS.length - 1 && FADERS[next][0] <= eventSecond) {
      next++;
    }
    double[] from = FADERS[next - 1];
    double[] to = FADERS[next];
    double place = Math.max(0, Math.min(1, (eventSecond - from[0]) / (to[0] - from[0])));
    return from[strip] + place * (to[strip] - from[strip]);
  }

  /** The splitter's two outputs: lectern left, lapel right. */
  Feed split() {
    return stored(List.of(lectern, lapel));
  }

  /** The console's output on both sides. */
  Feed boardTwice() {
    return stored(List.of(board, board));
  }

  /** The largest absolute value of the console's output in a stretch of event frames. */
  double boardPeak(long fromFrame, long toFrame) {
    double peak = 0;
    int from = (int) Math.max(0, fromFrame - board.startFrame());
    int to = (int) Math.min(board.samples().length, toFrame - board.startFrame());
    for (int i = from; i < to; i++) {
      peak = Math.max(peak, Math.abs(board.samples()[i]));
    }
    return peak;
  }

  /** Lectern, lapel, console, room microphone. */
  Feed recorder() {
    Feed wired = stored(List.of(lectern, lapel, board));
    Feed air = throughAir(room, 1);
    return new Feed() {
      @Override
      public int channelCount() {
        return 4;
      }

      @Override
      public void read(long fromFrame, float[][] planar, int frames) {
        wired.read(fromFrame, new float[][] {planar[0], planar[1], planar[2]}, frames);
        air.read(fromFrame, new float[][] {planar[3]}, frames);
      }
    };
  }

  /** The hall as the far camera's two microphones hear it. */
  Feed farPair() {
    return throughAir(far, 2);
  }

  /**
   * Someone else in another room on another evening, on a time line of its own.
   *
   * @param seconds length of that evening
   */
  static Feed otherEvening(long seed, double seconds) {
    Stem voice = VoiceMaker.speak(STRANGER, seed + 77, new double[][] {{-3, seconds + 2}}, 0.5);
    Stem crowd = CrowdMaker.gather(seed + 78, -3, seconds + 2, new double[0][]);
    List<PairConvolver.Way> ways = new ArrayList<>();
    for (Stem stem : List.of(voice, crowd)) {
      boolean talks = ways.isEmpty();
      double gainDb = talks ? -4 : -18;
      double directDb = talks ? 1 : -12;
      float[][] pair =
          RoomMaker.pairResponse(
              new RoomMaker.Way(0.00831, gainDb, directDb, 0.7),
              new RoomMaker.Way(0.00812, gainDb, directDb, 0.7),
              0.18,
              Dice.seedFor(seed, "other evening " + talks));
      ways.add(new PairConvolver.Way(stem, pair[0], pair[1]));
    }
    return throughAir(new PairConvolver(ways), 2);
  }

  private static Feed stored(List<Stem> channels) {
    return new Feed() {
      @Override
      public int channelCount() {
        return channels.size();
      }

      @Override
      public void read(long fromFrame, float[][] planar, int frames) {
        for (int c = 0; c < channels.size(); c++) {
          channels.get(c).copyTo(fromFrame, planar[c], frames);
        }
      }
    };
  }

  private static Feed throughAir(PairConvolver air, int channels) {
    return new Feed() {
      @Override
      public int channelCount() {
        return channels;
      }

      @Override
      public void read(long fromFrame, float[][] planar, int frames) {
        air.read(fromFrame, planar[0], channels == 2 ? planar[1] : null, frames);
      }
    };
  }
}
