package hardpan.demo;

import hardpan.base.Monitor;
import hardpan.signal.SincInterpolator;
import java.io.IOException;

/**
 * Makes a clip's samples: the feed of its device, read at the places where the device's own clock
 * puts them, then through the device's electronics. Streams; memory does not grow with length.
 */
final class ClipRenderer {
  /** So that a block at 44.1 kHz and its margins fit into one stretch of a feed at 48 kHz. */
  private static final int BLOCK_FRAMES = 59_000;

  /**
   * Share of the Nyquist frequency kept for a clip at 44.1 kHz, so that the interpolator's slope
   * (about a tenth of the band on either side) ends below 22.05 kHz.
   */
  private static final double CUTOFF_FOR_LOWER_RATE = 0.82;

  private ClipRenderer() {}

  /** Takes finished blocks; the arrays are reused. */
  interface Sink {
    /** One block, in order. */
    void accept(float[][] planar, int frames) throws IOException;
  }

  /**
   * Renders a clip.
   *
   * @param firstFrame clip frame to begin with: the frame as which the first sample will be decoded
   * @param endFrame clip frame after the last
   * @throws IOException if the sink fails
   */
  static void render(
      Feed feed,
      ClipClock clock,
      DeviceChain chain,
      long firstFrame,
      long endFrame,
      Sink sink,
      Monitor monitor)
      throws IOException {
    SincInterpolator interpolator =
        clock.rateHz() < Stage.RATE_HZ
            ? SincInterpolator.withCutoff(CUTOFF_FOR_LOWER_RATE)
            : SincInterpolator.fullBand();
    int margin = interpolator.halfTaps() + 1;
    float[][] input = new float[feed.channelCount()][PairConvolver.MAX_FRAMES];
    float[][] output = new float[feed.channelCount()][BLOCK_FRAMES];
    for (long frame = firstFrame; frame < endFrame; frame += BLOCK_FRAMES) {
      monitor.checkCancelled();
      int count = (int) Math.min(BLOCK_FRAMES, endFrame - frame);
      long from = clock.eventFrame(frame) - margin;
      long to = clock.eventFrame(frame + count - 1) + margin + 1;
      feed.read(from, input, Math.toIntExact(to - from));
      for (int i = 0; i < count; i++) {
        long index = clock.eventFrame(frame + i) - from;
        double fraction = clock.eventFraction(frame + i);
        boolean onSample = fraction == 0 && clock.rateHz() == Stage.RATE_HZ;
        for (int c = 0; c < output.length; c++) {
          output[c][i] =
              onSample ? input[c][(int) index] : (float) interpolator.at(input[c], index, fraction);
        }
      }
      chain.process(output, count);
      sink.accept(output, count);
    }
  }
}
