package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.media.FfmpegLibraries;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts.ReadBy;
import java.nio.file.Path;
import java.util.Optional;

/** Takes what a saved shoot keeps of a source where it fits, else reads the source and keeps it. */
final class KeptReading {
  private final ShootFile shootFile;
  private final ReaderChoice choice;
  private final Scratch scratch;

  KeptReading(ShootFile shootFile, ReaderChoice choice, Scratch scratch) {
    this.shootFile = shootFile;
    this.choice = choice;
    this.scratch = scratch;
  }

  /** Reads a source from start to end. */
  @FunctionalInterface
  interface Reading {
    Analysis read() throws MediaException;
  }

  /**
   * The analysis of a source.
   *
   * @throws MediaException what the reading throws; failures are not kept
   */
  Analysis of(Path file, Reading reading) throws MediaException {
    SourceMark mark = SourceMark.of(file);
    if (mark == null) {
      return reading.read();
    }
    ReadBy reader = reader();
    Optional<Analysis> kept = shootFile.find(mark, reader, scratch.prefix());
    if (kept.isPresent()) {
      return kept.get();
    }
    Analysis analysis = reading.read();
    // A file that is still being copied has changed by now; what was read of it is not all.
    if (mark.equals(SourceMark.of(file))) {
      shootFile.store(mark, reader, analysis);
    }
    return analysis;
  }

  private ReadBy reader() {
    boolean fallback =
        choice == ReaderChoice.FALLBACK
            || (choice == ReaderChoice.BEST && !FfmpegLibraries.available());
    return fallback ? ReadBy.FALLBACK : ReadBy.NATIVE;
  }
}
