package hardpan.shoot;

import hardpan.media.FfmpegPicture;
import hardpan.signal.FrameRate;
import hardpan.signal.Timecode;
import java.nio.file.Path;

/**
 * How a clip's picture frames are counted, for places in frames and as timecode (SMPTE ST 12-1).
 */
public final class PictureFrames {
  /** For clips that do not say: 25 a second. */
  public static final PictureFrames USUAL =
      new PictureFrames(new Timecode(new FrameRate(25, 1), false), false);

  private final Timecode timecode;
  private final boolean own;

  private PictureFrames(Timecode timecode, boolean own) {
    this.timecode = timecode;
    this.own = own;
  }

  /** Looks at a file's headers; {@link #USUAL} where they do not tell. Reads from the disk. */
  public static PictureFrames of(Path file) {
    FfmpegPicture picture = FfmpegPicture.of(file);
    Timecode counted = picture == null ? null : picture.counted();
    return counted == null ? USUAL : new PictureFrames(counted, true);
  }

  /** Whether the file itself says so. */
  public boolean isOwn() {
    return own;
  }

  /** Pictures a second, above 0. */
  public double perSecond() {
    return timecode.rate().perSecond();
  }

  /**
   * Timecode of a moment that many seconds after 00:00:00:00, with a minus sign before it; counted
   * in whole pictures, the nearest.
   */
  public String label(double seconds) {
    long frames = Math.round(Math.abs(seconds) * perSecond());
    return (seconds < 0 && frames > 0 ? "\u2212" : "") + timecode.label(frames);
  }
}
