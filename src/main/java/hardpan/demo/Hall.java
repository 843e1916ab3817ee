package hardpan.demo;

import hardpan.demo.RoomMaker.Way;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import org.jspecify.annotations.Nullable;

/**
 * The ways of sound through the village hall: which microphone hears which source how late, how
 * loud and with how much of the room. Distances are in the delays, at 343.2 m/s.
 */
final class Hall {
  private static final double REVERBERATION_SECONDS = 1.2;
  private static final double FAR_SPACING_METRES = 0.22;

  static final Microphone LECTERN =
      new Microphone(
          "lectern", way(0, 0, 15), way(6.13, -27, 1), way(12.21, -23, -1), crowd(14.7, -12));
  static final Microphone LAPEL =
      new Microphone(
          "lapel", way(6.58, -28, 1), way(0, 0, 17), way(13.87, -25, -1), crowd(15.6, -14));
  static final Microphone CHOIR =
      new Microphone(
          "choir", way(11.94, -26, -1), way(13.41, -26, -1), way(0, 0, 10), crowd(13.1, -13));
  static final Microphone ROOM =
      new Microphone(
          "room", way(10.46, -8, 0), way(10.92, -8, 0), way(10.21, -7, 0), crowd(9.3, -3));
  private static final Microphone FAR_LEFT = farSide("far left", -1);
  private static final Microphone FAR_RIGHT = farSide("far right", 1);

  private Hall() {}

  /** The ways from first speaker, second speaker, choir and audience to one microphone. */
  record Microphone(String name, Way first, Way second, Way choir, Way crowd) {
    private List<Way> ways() {
      return List.of(first, second, choir, crowd);
    }
  }

  private static Way way(double milliseconds, double gainDb, double directToReverberantDb) {
    return new Way(milliseconds / 1000, gainDb, directToReverberantDb, REVERBERATION_SECONDS);
  }

  /**
   * The audience sits everywhere at once, so next to nothing of it comes by one direct way.
   *
   * @param gainDb level of the whole
   */
  private static Way crowd(double milliseconds, double gainDb) {
    return way(milliseconds, gainDb - 14, -14);
  }

  /** One microphone of the far camera's spaced pair, whose middle is 15 m from every source. */
  private static Microphone farSide(String name, int side) {
    return new Microphone(
        name,
        way(farMilliseconds(side, -12), -9, -3),
        way(farMilliseconds(side, 8), -9, -3),
        way(farMilliseconds(side, 2), -8, -3),
        crowd(11.2 + 0.3 * side, -5));
  }

  private static double farMilliseconds(int side, double degreesToTheRight) {
    double nearer = side * FAR_SPACING_METRES / 2 * Math.sin(Math.toRadians(degreesToTheRight));
    return 1000 * (Stage.FAR_METRES - nearer) / Stage.METRES_PER_SECOND;
  }

  /** Connects first speaker, second speaker, choir and audience to separate microphones. */
  static PairConvolver connect(
      List<Stem> sources, Microphone first, @Nullable Microphone second, long seed, Workers workers)
      throws IOException {
    List<Callable<PairConvolver.Way>> pieces = new ArrayList<>();
    for (int i = 0; i < sources.size(); i++) {
      int source = i;
      pieces.add(
          () ->
              new PairConvolver.Way(
                  sources.get(source),
                  response(first, source, seed),
                  second == null ? null : response(second, source, seed)));
    }
    return new PairConvolver(workers.all(pieces));
  }

  private static float[] response(Microphone microphone, int source, long seed) {
    return RoomMaker.response(
        microphone.ways().get(source), Dice.seedFor(seed, microphone.name() + " " + source));
  }

  /** Connects the same sources to the far camera's pair. */
  static PairConvolver connectFar(List<Stem> sources, long seed, Workers workers)
      throws IOException {
    List<Callable<PairConvolver.Way>> pieces = new ArrayList<>();
    for (int i = 0; i < sources.size(); i++) {
      int source = i;
      pieces.add(
          () -> {
            float[][] pair =
                RoomMaker.pairResponse(
                    FAR_LEFT.ways().get(source),
                    FAR_RIGHT.ways().get(source),
                    FAR_SPACING_METRES,
                    Dice.seedFor(seed, "far " + source));
            return new PairConvolver.Way(sources.get(source), pair[0], pair[1]);
          });
    }
    return new PairConvolver(workers.all(pieces));
  }
}
