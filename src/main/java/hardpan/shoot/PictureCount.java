package hardpan.shoot;

import hardpan.media.StartClaim;
import hardpan.signal.FrameRate;
import hardpan.signal.Timecode;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * The pictures of a clip as its own timecode counts them (SMPTE ST 12-1), the first picture taken
 * to begin with the sound, which holds to a picture or so.
 */
public final class PictureCount {
  private static final Pattern RAW =
      Pattern.compile("([0-9:;.]+) at ([0-9]+)(?:/([0-9]+))? a second(, drop-frame)?");

  private final Timecode timecode;
  private final long startPicture;

  private PictureCount(Timecode timecode, long startPicture) {
    this.timecode = timecode;
    this.startPicture = startPicture;
  }

  /** For a source; null if it has no timecode that can be counted on. */
  public static @Nullable PictureCount of(ShootSource source) {
    Analysis analysis = source.analysis();
    if (analysis == null) {
      return null;
    }
    for (StartClaim claim : analysis.facts().origin().startClaims()) {
      if (claim.origin() == StartClaim.Origin.TIMECODE) {
        return parse(claim.raw());
      }
    }
    return null;
  }

  /** From a label and its rate as {@code 10:12:00:00 at 25 a second}; null if it is none. */
  static @Nullable PictureCount parse(String raw) {
    Matcher match = RAW.matcher(raw);
    if (!match.matches()) {
      return null;
    }
    String under = match.group(3);
    try {
      FrameRate rate =
          FrameRate.nearest(
              Double.parseDouble(match.group(2)) / (under == null ? 1 : Integer.parseInt(under)));
      if (rate == null) {
        return null;
      }
      Timecode timecode = new Timecode(rate, match.group(4) != null && rate.takesDropFrame());
      String label =
          match.group(1).replaceAll("[:;.]([0-9]+)$", timecode.dropFrame() ? ";$1" : ":$1");
      return new PictureCount(timecode, timecode.frame(label));
    } catch (IllegalArgumentException e) {
      return null;
    }
  }

  /** Length of a picture in seconds. */
  public double pictureSeconds() {
    return (double) timecode.rate().denominator() / timecode.rate().numerator();
  }

  /** The label of the picture shown at a moment of the clip's own clock. */
  public String labelAt(double sourceSeconds) {
    // A picture's first moment may be computed a hair early.
    long picture = (long) Math.floor(sourceSeconds / pictureSeconds() + 1e-6);
    return timecode.label(startPicture + picture);
  }
}
