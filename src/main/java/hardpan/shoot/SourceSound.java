package hardpan.shoot;

import hardpan.media.ReaderChoice;
import hardpan.media.SourceOpening;

/** The sound of a source as the rest of the job hears it: all samples are numbers. */
public final class SourceSound {
  private SourceSound() {}

  /** How to open a source's sound; it is opened each time it is asked for, never before. */
  public static SourceOpening of(ShootSource source) {
    return () -> FiniteSound.open(source.file(), ReaderChoice.BEST);
  }
}
