package hardpan.demo;

import java.util.Arrays;

/**
 * One sound source as its own microphone would hear it, 48 kHz mono, somewhere on the event's time
 * line. Silent outside.
 *
 * @param startFrame place of the first sample; frame 0 is the recorder's first sample
 * @param samples the sound; not copied, not to be changed
 */
@SuppressWarnings("ArrayRecordComponent") // tens of megabytes, held by one owner, never compared
record Stem(long startFrame, float[] samples) {
  /** First frame after the sound. */
  long endFrame() {
    return startFrame + samples.length;
  }

  /** Copies a stretch into the start of an array, with silence where there is no sound. */
  void copyTo(long fromFrame, float[] target, int frames) {
    long from = Math.max(fromFrame, startFrame);
    long to = Math.min(fromFrame + frames, endFrame());
    Arrays.fill(target, 0, frames, 0f);
    if (to > from) {
      System.arraycopy(
          samples,
          Math.toIntExact(from - startFrame),
          target,
          Math.toIntExact(from - fromFrame),
          Math.toIntExact(to - from));
    }
  }

  /** Scales so that the largest absolute sample has the given value; silence stays silence. */
  static void scaleToPeak(float[] samples, double peak) {
    float largest = 0;
    for (float sample : samples) {
      largest = Math.max(largest, Math.abs(sample));
    }
    if (largest > 0) {
      float gain = (float) (peak / largest);
      for (int i = 0; i < samples.length; i++) {
        samples[i] *= gain;
      }
    }
  }
}
