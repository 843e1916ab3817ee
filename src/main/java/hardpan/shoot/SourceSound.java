package hardpan.shoot;

import hardpan.media.ReaderChoice;
import hardpan.media.SourceOpening;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * The sound of a source as the rest of the job hears it: all samples are numbers.
 *
 * @param opening opens it, each time it is asked to
 * @param channelLufs integrated loudness of each channel; null where it has none
 * @param durationSeconds its length by its own clock
 */
public record SourceSound(
    SourceOpening opening, List<@Nullable Double> channelLufs, double durationSeconds) {
  /** Copies the list. */
  public SourceSound {
    channelLufs = Collections.unmodifiableList(new ArrayList<>(channelLufs));
  }

  /**
   * One file by itself.
   *
   * @throws IllegalArgumentException if it was not read
   */
  public static SourceSound of(ShootSource source) {
    return new SourceSound(
        opening(source), lufs(List.of(source)), analysis(source).durationSeconds());
  }

  /** How one file is opened, read or not. */
  static SourceOpening opening(ShootSource source) {
    return () -> FiniteSound.open(source.file(), ReaderChoice.BEST);
  }

  /**
   * Everything the source's device wrote without a stop, as one piece; the source by itself if it
   * was one file, or if another file of the run was not read.
   *
   * @throws IllegalArgumentException if the source was not read
   */
  public static SourceSound ofRun(Shoot shoot, ShootSource source) {
    Run run = shoot.runOf(source);
    if (!run.isJoined() || !RunPiece.isReadable(shoot, run)) {
      return of(source);
    }
    RunPiece piece = new RunPiece(shoot, run, ReaderChoice.BEST);
    List<@Nullable Double> loudest = new ArrayList<>();
    for (Run.Part part : run.parts()) {
      List<@Nullable Double> lufs = lufs(part.paths().stream().map(shoot::source).toList());
      for (int channel = 0; channel < lufs.size(); channel++) {
        if (channel >= loudest.size()) {
          loudest.add(null);
        }
        loudest.set(channel, louder(loudest.get(channel), lufs.get(channel)));
      }
    }
    return new SourceSound(piece::open, loudest, piece.durationSeconds());
  }

  /** The first channel of a source's run that is the source's own. */
  public static int firstChannelInRun(Shoot shoot, ShootSource source) {
    Run run = shoot.runOf(source);
    return run.isJoined() && RunPiece.isReadable(shoot, run)
        ? new RunPiece(shoot, run, ReaderChoice.BEST).firstChannel(source.path())
        : 0;
  }

  private static @Nullable Double louder(@Nullable Double one, @Nullable Double other) {
    return one == null || (other != null && other > one) ? other : one;
  }

  private static List<@Nullable Double> lufs(List<ShootSource> files) {
    List<@Nullable Double> lufs = new ArrayList<>();
    for (ShootSource file : files) {
      analysis(file).loudness().forEach(one -> lufs.add(one.integratedLufs()));
    }
    return lufs;
  }

  private static Analysis analysis(ShootSource source) {
    Analysis analysis = source.analysis();
    if (analysis == null) {
      throw new IllegalArgumentException(source.path() + " was not read");
    }
    return analysis;
  }
}
