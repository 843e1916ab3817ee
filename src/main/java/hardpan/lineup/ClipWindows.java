package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.SourceReader;
import hardpan.signal.BandEnergies;
import hardpan.signal.SincInterpolator;
import hardpan.signal.Statistics;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/**
 * Short stretches of a source, chosen where each channel is loud, at the reference's sample rate.
 *
 * <p>A channel's own loud passages matter: in a pair of microphones each one hears its own speaker
 * directly there, while its quiet passages hold the other speaker late, by bleed.
 */
final class ClipWindows {
  private static final double LONGEST_SECONDS = 2.0;
  private static final double SHORTEST_SECONDS = 0.5;
  private static final int MOST_WINDOWS = 20;
  private static final int FEWEST_WINDOWS = 6;
  private static final SincInterpolator SHIFTER = SincInterpolator.brief(1);
  private static final double QUIET_BELOW_LOUD_DB = 12;
  private static final double[] POWERS = powers();

  /**
   * One stretch.
   *
   * @param channel channel of the source
   * @param startSeconds where it starts in the source
   * @param samples sound at the reference's rate
   */
  record Window(int channel, double startSeconds, float[] samples) {

    /** The samples around the middle; an even number of samples is taken away. */
    Window middle(int length, int rateHz) {
      int from = (samples.length - length) / 2;
      return new Window(
          channel,
          startSeconds + (double) from / rateHz,
          Arrays.copyOfRange(samples, from, from + length));
    }

    /**
     * The window as a faster or slower clock would have recorded it; its middle stays in place.
     *
     * @param slope by how much of its length it becomes longer
     */
    Window stretched(double slope) {
      return slope == 0
          ? this
          : new Window(channel, startSeconds, SHIFTER.stretched(samples, slope));
    }
  }

  private ClipWindows() {}

  /** Length of a window for a source of a given length, in seconds. */
  static double windowSeconds(double durationSeconds) {
    return Math.max(SHORTEST_SECONDS, Math.min(LONGEST_SECONDS, durationSeconds / 8));
  }

  /**
   * A stretch that was chosen.
   *
   * @param channel channel of the source
   * @param seconds where it starts, on a whole frame
   */
  record Start(int channel, double seconds) {}

  /**
   * Chooses windows of all usable channels; they come in order of time.
   *
   * @param fromSeconds where in the source the windows may begin, at least 0
   * @param toSeconds where they must end, at most the source's length
   */
  static List<Start> starts(Candidate source, double fromSeconds, double toSeconds)
      throws MediaException {
    return starts(source, source.channels(), fromSeconds, toSeconds, MOST_WINDOWS);
  }

  /**
   * Chooses windows of some channels; they come in order of time.
   *
   * @param most how many of each channel at most
   */
  static List<Start> starts(
      Candidate source, List<Integer> channels, double fromSeconds, double toSeconds, int most)
      throws MediaException {
    double seconds = windowSeconds(toSeconds - fromSeconds);
    List<Start> starts = new ArrayList<>();
    for (int channel : channels) {
      BandMap map = source.maps().get(channel);
      for (double start : chosen(map, seconds, fromSeconds, toSeconds, most)) {
        // A whole frame, so that the window lies exactly where it says.
        double frame = Math.rint(start * source.rateHz());
        starts.add(new Start(channel, frame / source.rateHz()));
      }
    }
    starts.sort(Comparator.comparingDouble(Start::seconds).thenComparingInt(Start::channel));
    return starts;
  }

  /**
   * Reads windows.
   *
   * @param source the source
   * @param starts where they start, in order of time
   * @param seconds how long they are
   * @param rateHz the rate they shall have
   */
  static List<Window> read(
      Candidate source, List<Start> starts, double seconds, int rateHz, Monitor monitor)
      throws MediaException {
    try (SourceReader reader = source.sound().open()) {
      return read(reader, source, starts, seconds, rateHz, monitor);
    }
  }

  /** Reads windows of a source that is open. */
  static List<Window> read(
      SourceReader reader,
      Candidate source,
      List<Start> starts,
      double seconds,
      int rateHz,
      Monitor monitor)
      throws MediaException {
    List<Window> windows = new ArrayList<>();
    for (Start start : starts) {
      monitor.checkCancelled();
      float[] samples = stretch(reader, source, start.channel, start.seconds, seconds, rateHz);
      windows.add(new Window(start.channel, start.seconds, samples));
    }
    return windows;
  }

  /** The loudest stretch in each of equal sections, without the quiet ones. */
  private static List<Double> chosen(
      BandMap map, double windowSeconds, double fromSeconds, double toSeconds, int most)
      throws MediaException {
    long firstFrame = (long) Math.ceil(fromSeconds * BandEnergies.FRAMES_PER_SECOND);
    long endFrame =
        Math.min(map.frames(), (long) Math.ceil(toSeconds * BandEnergies.FRAMES_PER_SECOND));
    long mapFrames = Math.max(0, endFrame - firstFrame);
    int windowFrames = (int) (windowSeconds * BandEnergies.FRAMES_PER_SECOND);
    int sections =
        (int) Math.max(1, Math.min(most, Math.floor((toSeconds - fromSeconds) / windowSeconds)));
    double[] starts = new double[sections];
    double[] levels = new double[sections];
    for (int section = 0; section < sections; section++) {
      long from = firstFrame + mapFrames * section / sections;
      long to = Math.max(from + windowFrames, firstFrame + mapFrames * (section + 1) / sections);
      to = Math.max(from, Math.min(to, endFrame));
      double[] power = power(map, from, (int) Math.min(60_000, to - from));
      int best = 0;
      double bestSum = -1;
      double sum = 0;
      for (int i = 0; i < power.length; i++) {
        sum += power[i] - (i >= windowFrames ? power[i - windowFrames] : 0);
        if (i >= windowFrames - 1 && sum > bestSum) {
          bestSum = sum;
          best = i - windowFrames + 1;
        }
      }
      starts[section] = (from + best) / (double) BandEnergies.FRAMES_PER_SECOND;
      levels[section] = 10 * Math.log10(Math.max(bestSum, 1e-30));
    }
    double loud = Statistics.quantile(levels, 0.8);
    // A few words in a long silence leave few loud stretches; too few prove nothing.
    double[] sorted = levels.clone();
    Arrays.sort(sorted);
    double least =
        Math.min(loud - QUIET_BELOW_LOUD_DB, sorted[Math.max(0, sorted.length - FEWEST_WINDOWS)]);
    List<Double> chosen = new ArrayList<>();
    for (int section = 0; section < sections; section++) {
      boolean inside = starts[section] + windowSeconds <= toSeconds + 0.02;
      if (inside && levels[section] >= least) {
        chosen.add(starts[section]);
      }
    }
    return chosen;
  }

  /** Power over all bands in each frame. */
  private static double[] power(BandMap map, long from, int count) throws MediaException {
    byte[] values = map.read(from, count);
    double[] power = new double[count];
    for (int frame = 0; frame < count; frame++) {
      for (int band = 0; band < BandEnergies.BANDS; band++) {
        power[frame] += POWERS[values[frame * BandEnergies.BANDS + band] - Byte.MIN_VALUE];
      }
    }
    return power;
  }

  private static float[] stretch(
      SourceReader reader,
      Candidate source,
      int channel,
      double startSeconds,
      double seconds,
      int rateHz)
      throws MediaException {
    int wanted = (int) Math.round(seconds * rateHz);
    if (source.rateHz() == rateHz) {
      return SoundStretch.read(reader, Math.round(startSeconds * rateHz), wanted)[channel];
    }
    double ratio = (double) source.rateHz() / rateHz;
    SincInterpolator between =
        ratio == 1 ? SHIFTER : SincInterpolator.brief(Math.min(1, 1 / ratio));
    double firstPosition = startSeconds * source.rateHz();
    long firstFrame = (long) Math.floor(firstPosition) - between.halfTaps();
    int frames = (int) Math.ceil(wanted * ratio) + 2 * between.halfTaps() + 2;
    float[] sound = SoundStretch.read(reader, firstFrame, frames)[channel];
    float[] samples = new float[wanted];
    for (int i = 0; i < wanted; i++) {
      samples[i] = (float) between.at(sound, firstPosition - firstFrame + i * ratio);
    }
    return samples;
  }

  /** The power that each value of a map stands for. */
  private static double[] powers() {
    double[] powers = new double[256];
    for (int i = 0; i < powers.length; i++) {
      powers[i] = Math.pow(10, BandEnergies.decibels((byte) (i + Byte.MIN_VALUE)) / 10);
    }
    return powers;
  }
}
