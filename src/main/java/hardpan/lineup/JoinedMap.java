package hardpan.lineup;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.signal.BandEnergies;
import java.io.BufferedOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/**
 * The band map of a channel that goes on over several parts. Each part's map begins on the nearest
 * step of the joined one, at most half a step (5 ms) beside its true place: the coarse search that
 * reads maps is good to a few hundredths of a second and proves nothing.
 */
public final class JoinedMap {
  private static final int PIECE_FRAMES = 16_384;

  private JoinedMap() {}

  /**
   * Puts maps one after the other.
   *
   * @param parts the maps of the parts, in order
   * @param startSeconds where each part begins; the first at 0
   * @param file scratch file, created
   * @throws MediaException if a scratch file cannot be read or written
   */
  public static BandMap of(List<BandMap> parts, double[] startSeconds, Path file)
      throws MediaException {
    try (OutputStream out = new BufferedOutputStream(Files.newOutputStream(file), 1 << 15)) {
      for (int part = 0; part < parts.size(); part++) {
        long start = Math.round(startSeconds[part] * BandEnergies.FRAMES_PER_SECOND);
        long end =
            part + 1 < parts.size()
                ? Math.round(startSeconds[part + 1] * BandEnergies.FRAMES_PER_SECOND)
                : start + parts.get(part).frames();
        // Beyond its end a map reads as its lowest value, which fills up a last broken step.
        for (long at = 0; at < end - start; at += PIECE_FRAMES) {
          out.write(parts.get(part).read(at, (int) Math.min(PIECE_FRAMES, end - start - at)));
        }
      }
    } catch (MediaException e) {
      throw e;
    } catch (IOException e) {
      throw new MediaAccessException(
          "The temporary folder cannot be used; free some space there and try again.", e);
    }
    return BandMap.of(file);
  }
}
