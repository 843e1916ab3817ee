package hardpan.media;

import java.util.Arrays;
import org.bytedeco.ffmpeg.avutil.AVFrame;

/** What is decoded and not yet delivered: silence first, then the samples of one frame. */
final class FfmpegHeldSound {
  private final FfmpegSampleLayout layout = new FfmpegSampleLayout();
  private boolean integer;
  private int[][] integers = new int[0][];
  private float[][] floats = new float[0][];
  private long silence;
  private int from;
  private int to;

  /** Frames of silence, then of sound. */
  long frames() {
    return silence + to - from;
  }

  /** Length of the last decoded frame, with what was cut off its beginning. */
  int uncutFrames() {
    return to;
  }

  boolean isEmpty() {
    return silence == 0 && from == to;
  }

  boolean hasSilence() {
    return silence > 0;
  }

  /** How many of the wanted frames can be taken in one step. */
  int step(long wanted) {
    return (int) Math.min(wanted, silence > 0 ? silence : to - from);
  }

  /** Forgets everything. */
  void clear() {
    silence = 0;
    clearSound();
  }

  void clearSound() {
    from = 0;
    to = 0;
  }

  /** Puts silence behind the silence that is there, before the sound. */
  void addSilence(long count) {
    silence += count;
  }

  /** Takes over a decoded frame without its first so many samples; what was held is gone. */
  void hold(AVFrame frame, int channelCount, boolean asIntegers, int drop) {
    int count = frame.nb_samples();
    integer = asIntegers;
    if (asIntegers) {
      if (integers.length != channelCount || integers[0].length < count) {
        integers = new int[channelCount][count];
      }
      layout.toIntegers(frame, integers, 0);
    } else {
      if (floats.length != channelCount || floats[0].length < count) {
        floats = new float[channelCount][count];
      }
      layout.toFloats(frame, floats, 0);
    }
    from = drop;
    to = count;
  }

  void drop(int step) {
    if (silence > 0) {
      silence -= step;
    } else {
      from += step;
    }
  }

  void copy(int channel, float[] out, int at, int step) {
    if (silence > 0) {
      Arrays.fill(out, at, at + step, 0f);
    } else if (integer) {
      int[] in = integers[channel];
      for (int i = 0; i < step; i++) {
        out[at + i] = in[from + i] * 0x1p-31f;
      }
    } else {
      System.arraycopy(floats[channel], from, out, at, step);
    }
  }

  void copy(int channel, int[] out, int at, int step) {
    if (silence > 0) {
      Arrays.fill(out, at, at + step, 0);
    } else {
      System.arraycopy(integers[channel], from, out, at, step);
    }
  }
}
