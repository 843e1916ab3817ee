package hardpan.desk.clock;

import hardpan.desk.model.ClockItem;
import hardpan.desk.model.ClockLayout;
import hardpan.desk.model.SourceRow;
import hardpan.shoot.FineWaves;
import hardpan.shoot.WaveLevels;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** What the picture needs of the sound itself where it is seen closely. */
final class CloseSound {
  private CloseSound() {}

  /** What is seen more closely than the waveforms kept of it; the chosen source first. */
  static List<FineWaves.Want> wants(ClockFrame frame, int height, @Nullable SourceRow chosen) {
    List<FineWaves.Want> wants = new ArrayList<>();
    for (ClockLayout.Box box : frame.layout().boxes()) {
      ClockItem item = box.item();
      WaveLevels waves = item.waves();
      boolean seen =
          item.endSeconds() > frame.scale().startSeconds()
              && item.startSeconds() < frame.scale().endSeconds()
              && frame.y(box.y()) + box.height() > frame.top(box.y())
              && frame.y(box.y()) < height;
      double perPixel = frame.scale().secondsPerPixel() * item.rateHz() / item.stretch();
      if (waves == null || !seen || perPixel >= waves.framesInColumn()) {
        continue;
      }
      long from = (long) Math.floor(item.frameAt(frame.scale().startSeconds())) - 1;
      long to = (long) Math.ceil(item.frameAt(frame.scale().endSeconds())) + 2;
      FineWaves.Want want =
          new FineWaves.Want(
              item.row().path(),
              Math.max(0, from),
              Math.min(item.frameCount(), to),
              FineWaves.columnFor(perPixel));
      if (item.row().equals(chosen)) {
        wants.add(0, want);
      } else {
        wants.add(want);
      }
    }
    return wants;
  }

  /** The highest sample of each channel in the pixel of a moment; NaN where none is known. */
  static float[] peaks(ClockFrame frame, ClockItem item, double seconds) {
    float[] peaks = new float[item.channelCount()];
    Arrays.fill(peaks, Float.NaN);
    WaveLevels waves = item.waves();
    if (waves == null) {
      return peaks;
    }
    double perPixel = Math.max(1, frame.scale().secondsPerPixel() * item.rateHz() / item.stretch());
    // A cursor set by samples is computed a hair before or after its sample.
    double first = Math.floor(item.frameAt(seconds) + 1e-3);
    float[] low = new float[1];
    float[] high = new float[1];
    int[] column = new int[1];
    for (int channel = 0; channel < Math.min(peaks.length, waves.channelCount()); channel++) {
      waves.extremes(channel, first, perPixel, 1, low, high);
      if (perPixel < waves.framesInColumn()) {
        frame
            .fine()
            .extremes(
                item.row().path(),
                channel,
                first,
                perPixel,
                waves.framesInColumn(),
                1,
                low,
                high,
                column);
      }
      peaks[channel] = Math.max(Math.abs(low[0]), Math.abs(high[0]));
    }
    return peaks;
  }
}
