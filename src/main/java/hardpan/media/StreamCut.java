package hardpan.media;

import hardpan.base.MediaException;
import java.nio.ByteBuffer;
import java.nio.file.Path;
import org.jspecify.annotations.Nullable;

/**
 * Looks whether one file's stream of compressed packets may go on in the next file.
 *
 * @param kind what the time stamps and the index say
 * @param startFrame where the next file's first frame lies, in frames of the file before; known
 *     only where the clock goes on, else the length of the file before
 */
public record StreamCut(Kind kind, long startFrame) {
  /**
   * A packet of AC-3 holds 1536 frames (ETSI TS 102 366), of AAC 1024 (ISO/IEC 14496-3): a cut in
   * the middle of one costs it. Two time stamps are rounded to the clock of 90 kHz.
   */
  private static final long TOLERANCE_FRAMES = 1536 + 2;

  /** What is known of the cut. */
  public enum Kind {
    /** A transport stream whose clock goes on in the next file as if there were no cut. */
    CLOCK_GOES_ON,
    /** The next file says nothing of an encoder's start; its first packet may be in mid-stream. */
    MAY_RUN_ON,
    /** The next file declares the delay of an encoder that started with it. */
    OWN_START,
    /** It cannot be told, or the files are of a kind that is not cut so. */
    UNKNOWN
  }

  /**
   * Looks at two files.
   *
   * @param before the earlier file, with lossy sound, read by the FFmpeg libraries
   * @param framesBefore its decoded length in frames
   * @param after the later file
   * @throws MediaException if one of them cannot be opened
   */
  public static StreamCut between(Path before, long framesBefore, Path after)
      throws MediaException {
    String container;
    int index;
    try (FfmpegInput first = FfmpegInput.open(before);
        FfmpegInput second = FfmpegInput.open(after)) {
      container = first.container();
      boolean alike =
          second.container().equals(container)
              && !first.soundStreams().isEmpty()
              && second.soundStreams().equals(first.soundStreams());
      if (!alike) {
        return new StreamCut(Kind.UNKNOWN, framesBefore);
      }
      index = first.soundStreams().get(0);
    }
    return switch (container) {
      case "mts" -> transportStream(before, framesBefore, after, index);
      case "mov", "mp4" ->
          new StreamCut(declaresDelay(after) ? Kind.OWN_START : Kind.MAY_RUN_ON, framesBefore);
      default -> new StreamCut(Kind.UNKNOWN, framesBefore);
    };
  }

  private static StreamCut transportStream(Path before, long frames, Path after, int index)
      throws MediaException {
    boolean canBeRead = before.toString().indexOf('|') < 0 && after.toString().indexOf('|') < 0;
    try (FfmpegSoundStream first = FfmpegSoundStream.open(before, index, null);
        FfmpegSoundStream second = FfmpegSoundStream.open(after, index, null)) {
      long step = second.firstPtsFrames() - first.firstPtsFrames();
      boolean goesOn = canBeRead && Math.abs(step - frames) <= TOLERANCE_FRAMES;
      return goesOn ? new StreamCut(Kind.CLOCK_GOES_ON, step) : new StreamCut(Kind.UNKNOWN, frames);
    }
  }

  /** Whether the first sound track's edit list begins later than its first sample. */
  private static boolean declaresDelay(Path file) {
    IsoMovie movie = IsoMovie.readIfAny(file);
    if (movie == null || movie.soundTracks().isEmpty()) {
      return true;
    }
    IsoMovie.Track track = movie.soundTracks().get(0);
    @Nullable ByteBuffer edits = track.editList();
    IsoEdits played =
        IsoEdits.read(
            edits, track.movieScale(), track.timeScale(), 48_000, Math.max(1, Long.MAX_VALUE / 8));
    return played.parts().get(0).mediaStart() > 0;
  }
}
