package hardpan.verdict;

import hardpan.base.Span;
import hardpan.signal.TruePeakMeter;
import java.util.ArrayList;
import java.util.List;

/**
 * Finds stretches of 50 ms whose true peak is over full scale (ITU-R BS.1770-5, Annex 2). Keeps at
 * most {@value #MOST} of them with their places, neighbours joined.
 */
final class OverMeter {
  static final int MOST = 1000;

  private final int stretchFrames;
  private final TruePeakMeter meter;
  private final List<Span> spans = new ArrayList<>();
  private int fill;
  private long position;
  private double largest;

  OverMeter(int rateHz) {
    this.stretchFrames = Math.max(1, rateHz / 20);
    this.meter = TruePeakMeter.above(rateHz, 1);
  }

  /** Takes the next samples. */
  void add(float[] samples, int frameCount) {
    for (int at = 0; at < frameCount; ) {
      int count = Math.min(stretchFrames - fill, frameCount - at);
      meter.add(samples, at, count);
      at += count;
      fill += count;
      if (fill == stretchFrames) {
        close();
      }
    }
  }

  private void close() {
    double peak = meter.takePeak();
    if (peak > 1) {
      largest = Math.max(largest, peak);
      int last = spans.size() - 1;
      if (last >= 0 && spans.get(last).endFrame() == position) {
        spans.set(last, new Span(spans.get(last).startFrame(), position + fill));
      } else if (spans.size() < MOST) {
        spans.add(new Span(position, position + fill));
      }
    }
    position += fill;
    fill = 0;
  }

  /** Looks at what is left; call once. */
  void finish() {
    if (fill > 0) {
      close();
    }
  }

  /** The largest true peak as a factor of full scale; 0 if none is over it. */
  double largest() {
    return largest;
  }

  /** Where. */
  List<Span> spans() {
    return spans;
  }
}
