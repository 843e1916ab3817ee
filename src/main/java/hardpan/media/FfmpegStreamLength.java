package hardpan.media;

import org.bytedeco.ffmpeg.global.avutil;
import org.jspecify.annotations.Nullable;

/** How long a stream is by the file's own word. */
final class FfmpegStreamLength {
  private FfmpegStreamLength() {}

  /**
   * Where the lossy sound of a MOV or MP4 file ends: the codec delivers whole packets, the time
   * table and the edit list say how much of the last one counts. Where they make no sense together
   * with the number of packets, everything is delivered.
   *
   * @param track the track's index; null if there is none
   * @param packetFrames frames a packet
   * @return frames, or the largest number if nothing is to be cut off
   */
  static long declaredEnd(IsoMovie.@Nullable Track track, long packetFrames, int rateHz) {
    if (track == null) {
      return Long.MAX_VALUE;
    }
    long all = track.table().sampleCount() * packetFrames;
    long media = IsoEdits.rescaled(track.declaredUnits(), rateHz, track.timeScale());
    if (media > all || media <= all - packetFrames) {
      return Long.MAX_VALUE;
    }
    IsoEdits edits =
        IsoEdits.read(track.editList(), track.movieScale(), track.timeScale(), rateHz, media);
    return edits.parts().size() == 1 ? edits.frameCount() : Long.MAX_VALUE;
  }

  /** Whether the length that the libraries state for a stream is exact, and stated at all. */
  static boolean isStated(String container, boolean lossless, long duration) {
    boolean tells =
        switch (container) {
          case "wav", "w64", "aiff", "caf", "flac" -> true;
          case "mov", "mp4" -> lossless;
          default -> false;
        };
    return tells && duration != avutil.AV_NOPTS_VALUE && duration >= 0;
  }
}
