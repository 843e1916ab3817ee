package hardpan.listen;

import hardpan.base.MediaException;
import hardpan.media.SourceReader;
import hardpan.signal.SincInterpolator;
import java.util.Arrays;
import java.util.List;
import java.util.function.BooleanSupplier;

/**
 * One source at the output's rate and on the listening clock: channels are mixed for the ears at
 * the source's own rate, then read between its samples by a linear-phase windowed sinc. Memory does
 * not grow with the length of the source.
 */
final class SourceStream implements AutoCloseable {
  private static final int READ_FRAMES = 4096;

  /** A lossy source is decoded on the way, so between hops there is time to ask for a stop. */
  private static final int HOP_SECONDS = 20;

  private final HeardSource source;
  private final SourceReader reader;
  private final double rateHz;
  private final double firstPosition;
  private final double step;
  private final SincInterpolator between;
  private final float factor;
  private final float[][] block;
  private final float[][] line;

  /** Frame of the source that {@code line[..][0]} holds, and how many are there. */
  private long lineFrom;

  private int lineCount;
  private long produced;
  private boolean atEnd;

  /**
   * Opens a source.
   *
   * @param startSeconds the instant of its first output frame
   * @param outRateHz rate of the output
   * @param mostFrames the most that are asked for at once
   * @throws MediaException if it cannot be opened any more
   */
  SourceStream(HeardSource source, double startSeconds, int outRateHz, int mostFrames)
      throws MediaException {
    this.source = source;
    double stretch = 1 + source.driftPpm() * 1e-6;
    this.reader = source.opening().open();
    this.rateHz = reader.facts().rateHz();
    this.firstPosition = (startSeconds - source.offsetSeconds()) / stretch * rateHz;
    this.step = rateHz / (outRateHz * stretch);
    // A few hundred ppm need no filter of their own; a lower output rate does.
    this.between =
        step > 1.001 ? SincInterpolator.withCutoff(0.98 / step) : SincInterpolator.fullBand();
    this.factor = (float) SafeLevel.factor(source.gainDb());
    this.block = new float[reader.facts().channelCount()][READ_FRAMES];
    int ears = source.ears().isMono() ? 1 : 2;
    int needed = (int) Math.ceil(mostFrames * step) + 2 * between.halfTaps() + 2;
    this.line = new float[ears][needed + 2 * READ_FRAMES];
    this.lineFrom = Math.max(0, (long) Math.floor(firstPosition) - between.halfTaps());
  }

  /**
   * Goes to the place where listening begins.
   *
   * @param stopped asked often
   * @throws MediaException if the source cannot be read
   */
  void find(BooleanSupplier stopped) throws MediaException {
    long hop = (long) (HOP_SECONDS * rateHz);
    for (long at = hop; at < lineFrom && !atEnd && !stopped.getAsBoolean(); at += hop) {
      atEnd = reader.readAt(at, block, 1) < 1;
    }
    if (!atEnd && !stopped.getAsBoolean()) {
      fill(lineFrom + 1);
    }
  }

  /** Whether nothing more comes. */
  boolean isOver() {
    return atEnd && positionOf(produced) >= lineFrom + lineCount + (double) between.halfTaps();
  }

  private double positionOf(long output) {
    return firstPosition + output * step;
  }

  /**
   * Adds the next frames to what the ears hear.
   *
   * @throws MediaException if the source cannot be read on
   */
  void addTo(float[] left, float[] right, int frames) throws MediaException {
    fill((long) Math.floor(positionOf(produced + frames - 1)) + between.halfTaps() + 1);
    for (int i = 0; i < frames; i++) {
      double position = positionOf(produced + i);
      long index = (long) Math.floor(position);
      float forLeft = at(line[0], index, position - index);
      left[i] += forLeft;
      right[i] += line.length == 1 ? forLeft : at(line[1], index, position - index);
    }
    produced += frames;
    drop((long) Math.floor(positionOf(produced)) - between.halfTaps());
  }

  private float at(float[] samples, long index, double fraction) {
    return (float) between.at(samples, index - lineFrom, fraction) * factor;
  }

  /** Reads on until all frames before one are there. */
  private void fill(long endFrame) throws MediaException {
    while (!atEnd && lineFrom + lineCount < endFrame) {
      int got = reader.readAt(lineFrom + lineCount, block, READ_FRAMES);
      atEnd = got < READ_FRAMES;
      mix(source.ears().left(), line[0], got);
      if (line.length > 1) {
        mix(source.ears().right(), line[1], got);
      }
      lineCount += Math.max(0, got);
    }
    for (float[] ear : line) {
      Arrays.fill(ear, lineCount, ear.length, 0);
    }
  }

  private void mix(List<Ears.Feed> feeds, float[] ear, int frames) {
    for (int i = 0; i < frames; i++) {
      double sum = 0;
      for (Ears.Feed feed : feeds) {
        // A channel that is not there is silent.
        float sample = feed.channel() < block.length ? block[feed.channel()][i] : 0;
        // One broken sample would spread through the interpolation.
        sum += Float.isFinite(sample) ? feed.factor() * sample : 0;
      }
      ear[lineCount + i] = (float) sum;
    }
  }

  private void drop(long beforeFrame) {
    int count = (int) Math.max(0, Math.min(lineCount, beforeFrame - lineFrom));
    for (float[] ear : line) {
      System.arraycopy(ear, count, ear, 0, lineCount - count);
    }
    lineFrom += count;
    lineCount -= count;
  }

  @Override
  public void close() {
    reader.close();
  }
}
