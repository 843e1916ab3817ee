package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.base.SourceClock;
import hardpan.base.Span;
import hardpan.lineup.Placement;
import hardpan.media.SourceReader;
import hardpan.signal.Decibels;
import hardpan.signal.SincInterpolator;
import hardpan.verdict.Clipping;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;

/**
 * How far a cut channel would have gone beyond its ceiling, read off the recorder that holds the
 * same sound uncut: recorder's level to camera's level where the camera is clean, then recorder's
 * peak times that less the ceiling.
 */
public final class PlacedExcess {
  /** Nine of ten lie within this on made clips of known truth ({@code hardpan bench verdicts}). */
  public static final double UNCERTAINTY_DB = 0.5;

  private static final int MOST_WINDOWS = 40;
  private static final double WINDOW_SECONDS = 0.25;
  private static final double MARGIN_SECONDS = 0.1;

  /** Of the cut sound so much is looked through for the recorder's peak. */
  private static final double MOST_SECONDS = 1200;

  /** Only samples that stay this far below the ceiling tell the gain. */
  private static final double CLEAN_SHARE = 0.6;

  private static final double FIRST_SHARE = 0.3;
  private static final int ROUNDS = 4;

  /** Below it the recorder hears something else, or through another microphone. */
  private static final double LEAST_CORRELATION = 0.85;

  private static final int LEAST_SAMPLES = 2000;

  /** The place may be off by so much; steps in which a better one is looked for. */
  private static final double REACH_SECONDS = 60e-6;

  private static final int STEPS = 6;

  private final SourceReader camera;
  private final int channel;
  private final SourceReader recorder;
  private final int recorderChannel;
  private final SourceClock clock;
  private final SincInterpolator between = SincInterpolator.fullBand();

  private PlacedExcess(
      SourceReader camera,
      int channel,
      SourceReader recorder,
      int recorderChannel,
      SourceClock clock) {
    this.camera = camera;
    this.channel = channel;
    this.recorder = recorder;
    this.recorderChannel = recorderChannel;
    this.clock = clock;
  }

  /** The same moment on both, at the camera's rate. */
  private record Pair(float[] camera, float[] recorder) {}

  /**
   * Measures it.
   *
   * @param camera the clip
   * @param channel its cut channel
   * @param clipping what is known of the cut
   * @param recorder the reference
   * @param recorderChannel its channel with the same sound
   * @param recorderFrames its length; what the camera recorded outside it is left out
   * @param placement where the clip lies; must be placed
   * @param monitor cancel
   * @return decibels, 0 or more; empty if the recorder does not hold the same sound closely enough
   * @throws MediaException if one of the two cannot be read
   */
  public static OptionalDouble measure(
      SourceReader camera,
      int channel,
      Clipping clipping,
      SourceReader recorder,
      int recorderChannel,
      long recorderFrames,
      Placement placement,
      Monitor monitor)
      throws MediaException {
    SourceClock clock = placement.clock();
    Double ceilingDbfs = clipping.ceilingDbfs();
    if (clock == null || ceilingDbfs == null || clipping.spans().isEmpty()) {
      return OptionalDouble.empty();
    }
    PlacedExcess excess = new PlacedExcess(camera, channel, recorder, recorderChannel, clock);
    List<Span> spans =
        clipping.spans().stream()
            .filter(
                span ->
                    excess.recorderFrame(span.startFrame()) >= 0
                        && excess.recorderFrame(span.endFrame()) <= recorderFrames)
            .toList();
    return spans.isEmpty()
        ? OptionalDouble.empty()
        : excess.measure(spans, Decibels.toAmplitude(ceilingDbfs), monitor);
  }

  private OptionalDouble measure(List<Span> spans, double ceiling, Monitor monitor)
      throws MediaException {
    List<Span> windows = windows(spans);
    OptionalDouble best = OptionalDouble.empty();
    double bestCorrelation = LEAST_CORRELATION;
    List<Recorded> read = new ArrayList<>();
    for (Span window : windows) {
      monitor.checkCancelled();
      read.add(read(window));
    }
    for (int step = -STEPS; step <= STEPS; step++) {
      double shift = REACH_SECONDS * step / STEPS;
      List<Pair> pairs = read.stream().map(window -> pair(window, shift)).toList();
      Fit fit = fit(pairs, ceiling);
      if (fit.correlation > bestCorrelation) {
        bestCorrelation = fit.correlation;
        best = OptionalDouble.of(fit.gain);
      }
    }
    if (best.isEmpty()) {
      return best;
    }
    double peak = recorderPeak(spans, monitor) * Math.abs(best.getAsDouble());
    return OptionalDouble.of(Math.max(0, Decibels.ofAmplitude(peak / ceiling)));
  }

  /** Evenly spread over the cut passages, each with a little of what is beside it. */
  private List<Span> windows(List<Span> spans) {
    int rateHz = camera.facts().rateHz();
    long length = Math.round(WINDOW_SECONDS * rateHz);
    long margin = Math.round(MARGIN_SECONDS * rateHz);
    List<Span> windows = new ArrayList<>();
    int count = Math.min(MOST_WINDOWS, spans.size());
    for (int i = 0; i < count; i++) {
      Span span = spans.get((int) ((long) i * spans.size() / count));
      long start = Math.max(0, span.startFrame() - margin);
      long end = Math.max(start + length, Math.min(span.endFrame() + margin, start + 4 * length));
      windows.add(new Span(start, end));
    }
    return windows;
  }

  /** A window of the camera and the recorder's sound about it, at its own rate. */
  private record Recorded(Span window, float[] camera, float[] recorder, long recorderStart) {}

  private Recorded read(Span window) throws MediaException {
    float[] own = read(camera, channel, window.startFrame(), (int) window.frames());
    double from = recorderFrame(window.startFrame());
    double to = recorderFrame(window.endFrame());
    long start = (long) Math.floor(from) - 2 * SincInterpolator.HALF_TAPS;
    int frames = (int) (Math.ceil(to) - start) + 2 * SincInterpolator.HALF_TAPS;
    return new Recorded(window, own, read(recorder, recorderChannel, start, frames), start);
  }

  private double recorderFrame(long cameraFrame) {
    double seconds = (double) cameraFrame / camera.facts().rateHz();
    return clock.referenceSeconds(seconds) * recorder.facts().rateHz();
  }

  /** Silence before the first frame and after the last. */
  private static float[] read(SourceReader reader, int channel, long start, int frames)
      throws MediaException {
    float[] result = new float[frames];
    long from = Math.max(0, start);
    int before = (int) Math.min(frames, from - start);
    float[][] block = new float[reader.facts().channelCount()][Math.max(1, frames - before)];
    int got = frames > before ? reader.readAt(from, block, frames - before) : 0;
    for (int i = 0; i < got; i++) {
      float x = block[channel][i];
      result[before + i] = Math.abs(x) <= Float.MAX_VALUE ? x : 0;
    }
    return result;
  }

  private Pair pair(Recorded recorded, double shiftSeconds) {
    float[] moved = new float[recorded.camera.length];
    double shift = shiftSeconds * recorder.facts().rateHz();
    for (int i = 0; i < moved.length; i++) {
      double at = recorderFrame(recorded.window.startFrame() + i) - recorded.recorderStart;
      moved[i] = (float) between.at(recorded.recorder, at + shift);
    }
    return new Pair(recorded.camera, moved);
  }

  /**
   * Recorder to camera.
   *
   * @param gain negative where one is upside down
   */
  private record Fit(double gain, double correlation) {}

  /** A line through the samples that are certainly uncut, chosen by the recorder's value alone. */
  private static Fit fit(List<Pair> pairs, double ceiling) {
    double largest = 0;
    for (Pair pair : pairs) {
      for (float x : pair.recorder) {
        largest = Math.max(largest, Math.abs(x));
      }
    }
    double limit = FIRST_SHARE * largest;
    Fit fit = new Fit(0, 0);
    for (int round = 0; round < ROUNDS; round++) {
      double own = 0;
      double both = 0;
      double other = 0;
      long count = 0;
      for (Pair pair : pairs) {
        for (int i = 0; i < pair.camera.length; i++) {
          double x = pair.recorder[i];
          if (Math.abs(x) < limit) {
            own += x * x;
            both += x * pair.camera[i];
            other += (double) pair.camera[i] * pair.camera[i];
            count++;
          }
        }
      }
      if (count < LEAST_SAMPLES || own <= 0 || other <= 0) {
        return new Fit(0, 0);
      }
      fit = new Fit(both / own, Math.abs(both) / Math.sqrt(own * other));
      limit = CLEAN_SHARE * ceiling / Math.max(1e-9, Math.abs(fit.gain));
    }
    return fit;
  }

  private double recorderPeak(List<Span> spans, Monitor monitor) throws MediaException {
    int rateHz = camera.facts().rateHz();
    double total = spans.stream().mapToLong(Span::frames).sum() / (double) rateHz;
    int every = (int) Math.max(1, Math.ceil(total / MOST_SECONDS));
    double peak = 0;
    for (int i = 0; i < spans.size(); i += every) {
      Span span = spans.get(i);
      for (long at = span.startFrame(); at < span.endFrame(); at += rateHz) {
        monitor.checkCancelled();
        long end = Math.min(span.endFrame(), at + rateHz);
        long start = (long) Math.floor(recorderFrame(at)) - 1;
        int frames = (int) (Math.ceil(recorderFrame(end)) - start) + 1;
        for (float x : read(recorder, recorderChannel, start, frames)) {
          peak = Math.max(peak, Math.abs(x));
        }
      }
    }
    return peak;
  }
}
