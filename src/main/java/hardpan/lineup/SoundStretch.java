package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.media.SourceReader;

/** Reads a stretch of sound that may reach beyond either end of a source. */
final class SoundStretch {
  private SoundStretch() {}

  /**
   * Reads; what lies outside the source is silence.
   *
   * @param startFrame first frame, may be negative
   * @param frameCount how many, at least 1
   * @return one array of {@code frameCount} samples a channel
   */
  static float[][] read(SourceReader reader, long startFrame, int frameCount)
      throws MediaException {
    int channels = reader.facts().channelCount();
    float[][] sound = new float[channels][frameCount];
    int before = (int) Math.max(0, Math.min(frameCount, -startFrame));
    int wanted = frameCount - before;
    if (wanted == 0) {
      return sound;
    }
    if (before == 0) {
      reader.readAt(startFrame, sound, wanted);
      return sound;
    }
    float[][] inside = new float[channels][wanted];
    reader.readAt(0, inside, wanted);
    for (int channel = 0; channel < channels; channel++) {
      System.arraycopy(inside[channel], 0, sound[channel], before, wanted);
    }
    return sound;
  }
}
