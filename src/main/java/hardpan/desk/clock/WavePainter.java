package hardpan.desk.clock;

import hardpan.desk.model.ClockItem;
import hardpan.desk.model.ClockLayout;
import hardpan.desk.model.Tone;
import hardpan.shoot.WaveLevels;
import java.util.Arrays;

/**
 * Draws waveforms. From afar a pixel shows the smallest and the largest sample it stands for; near
 * by, where a sample is wider than a pixel, a straight line from sample to sample with a bead on
 * each. What has not been read that finely yet is drawn coarsely, every other pixel left out.
 */
final class WavePainter {
  private static final int LEAST_BEAD_ROOM = 7;

  private float[] low = new float[0];
  private float[] high = new float[0];
  private float[] otherLow = new float[0];
  private float[] otherHigh = new float[0];
  private int[] columns = new int[0];
  private int[] tops = new int[0];
  private int[] bottoms = new int[0];
  private boolean[] sparse = new boolean[0];

  private void room(int pixels) {
    if (low.length < pixels) {
      low = new float[pixels];
      high = new float[pixels];
      otherLow = new float[pixels];
      otherHigh = new float[pixels];
      columns = new int[pixels];
      tops = new int[pixels];
      bottoms = new int[pixels];
      sparse = new boolean[pixels];
    }
  }

  /**
   * Draws all channels of a source.
   *
   * @param from first pixel to draw
   * @param to pixel after the last
   */
  void paint(
      Raster raster,
      Palette palette,
      ClockFrame frame,
      ClockLayout.Box box,
      Tone tone,
      int from,
      int to) {
    WaveLevels waves = box.item().waves();
    int count = to - from;
    if (waves == null || waves.columnCount() == 0 || count < 1) {
      return;
    }
    room(raster.width());
    for (int strip = 0; strip < box.strips(); strip++) {
      int y = frame.y(box.y() + strip * box.stripHeight());
      if (y + box.stripHeight() <= frame.top(box.y()) || y >= raster.height()) {
        continue;
      }
      if (box.strips() == 1 && waves.channelCount() > 1) {
        gather(frame, box.item(), waves, 0, from, count);
        for (int channel = 1; channel < waves.channelCount(); channel++) {
          System.arraycopy(low, 0, otherLow, 0, count);
          System.arraycopy(high, 0, otherHigh, 0, count);
          gather(frame, box.item(), waves, channel, from, count);
          for (int i = 0; i < count; i++) {
            low[i] = Math.min(low[i], otherLow[i]);
            high[i] = Math.max(high[i], otherHigh[i]);
          }
        }
      } else if (strip < waves.channelCount()) {
        gather(frame, box.item(), waves, strip, from, count);
      }
      heights(y, box.stripHeight(), count);
      int argb = palette.argb(tone);
      raster.stretches(
          argb,
          from,
          count,
          tops,
          bottoms,
          sparse,
          Math.max(y, frame.top(box.y())),
          y + box.stripHeight());
      if (box.strips() > 1 || waves.channelCount() == 1) {
        beads(raster, palette.argb(Tone.INK), frame, box, strip, y, from, count);
      }
    }
  }

  private static double framesPerPixel(ClockFrame frame, ClockItem item) {
    return frame.scale().secondsPerPixel() * item.rateHz() / item.stretch();
  }

  private void gather(
      ClockFrame frame, ClockItem item, WaveLevels waves, int channel, int from, int count) {
    double first = item.frameAt(frame.scale().seconds(from));
    double perPixel = framesPerPixel(frame, item);
    waves.extremes(channel, first, perPixel, count, low, high);
    Arrays.fill(sparse, 0, count, false);
    if (perPixel >= waves.framesInColumn()) {
      return;
    }
    String path = item.row().path();
    frame
        .fine()
        .extremes(
            path, channel, first, perPixel, waves.framesInColumn(), count, low, high, columns);
    boolean lost = frame.fine().isLost(path);
    for (int i = 0; i < count; i++) {
      sparse[i] = !lost && columns[i] == 0;
    }
    if (perPixel < 1) {
      join(frame, item, channel, first, perPixel, count);
    }
  }

  /** Straight lines from sample to sample, as the stretch of heights each pixel passes. */
  private void join(
      ClockFrame frame, ClockItem item, int channel, double first, double perPixel, int count) {
    long start = (long) Math.floor(first) - 1;
    float[] samples = new float[(int) Math.ceil(count * perPixel) + 4];
    frame.fine().samples(item.row().path(), channel, start, samples);
    for (int i = 0; i < count; i++) {
      float left = between(samples, first + i * perPixel - start);
      float right = between(samples, first + (i + 1) * perPixel - start);
      if (!Float.isNaN(left) && !Float.isNaN(right)) {
        low[i] = Math.min(left, right);
        high[i] = Math.max(left, right);
        int inner = (int) Math.floor(first + (i + 1) * perPixel - start);
        if (inner > first + i * perPixel - start) {
          low[i] = Math.min(low[i], samples[inner]);
          high[i] = Math.max(high[i], samples[inner]);
        }
      }
    }
  }

  private static float between(float[] samples, double at) {
    int before = (int) Math.floor(at);
    if (before < 0 || before + 1 >= samples.length) {
      return Float.NaN;
    }
    double part = at - before;
    return (float) ((1 - part) * samples[before] + part * samples[before + 1]);
  }

  private void heights(int y, int high0, int count) {
    double middle = y + high0 / 2.0;
    double half = high0 / 2.0 - 1;
    for (int i = 0; i < count; i++) {
      if (Float.isNaN(low[i])) {
        tops[i] = 0;
        bottoms[i] = 0;
        continue;
      }
      tops[i] = (int) Math.rint(middle - half * height(high[i]));
      bottoms[i] = Math.max(tops[i] + 1, (int) Math.rint(middle - half * height(low[i])));
    }
  }

  /**
   * Height of a sample, -1 to 1: the square root of it, because straight heights would show speech
   * at -30 dBFS as a bare line (-20 dB is a third of the height, -40 dB a tenth). Samples of lossy
   * clips may pass full scale, damaged ones may be no numbers at all.
   */
  static double height(float sample) {
    return Float.isNaN(sample)
        ? 0
        : Math.signum(sample) * Math.sqrt(Math.min(1, Math.abs((double) sample)));
  }

  private void beads(
      Raster raster,
      int argb,
      ClockFrame frame,
      ClockLayout.Box box,
      int channel,
      int y,
      int from,
      int count) {
    ClockItem item = box.item();
    double perPixel = framesPerPixel(frame, item);
    if (perPixel * frame.px(LEAST_BEAD_ROOM) > 1) {
      return;
    }
    double first = item.frameAt(frame.scale().seconds(from));
    long start = (long) Math.ceil(first);
    float[] samples = new float[(int) Math.ceil(count * perPixel) + 1];
    frame.fine().samples(item.row().path(), channel, start, samples);
    int size = frame.px(3);
    double middle = y + box.stripHeight() / 2.0;
    double half = box.stripHeight() / 2.0 - 1;
    for (int i = 0; i < samples.length; i++) {
      int at = (int) Math.rint(middle - half * height(samples[i])) - size / 2;
      if (!Float.isNaN(samples[i]) && at >= frame.headHeight()) {
        int x = from + (int) Math.rint((start + i - first) / perPixel) - size / 2;
        raster.fill(argb, x, at, size, size);
      }
    }
  }
}
