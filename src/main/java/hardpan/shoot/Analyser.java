package hardpan.shoot;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.MapListener;
import hardpan.media.DecodePass;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.verdict.VerdictListener;
import java.util.List;
import java.util.concurrent.CancellationException;
import org.jspecify.annotations.Nullable;

/** Reads a source once from start to end and measures everything on the way. */
final class Analyser {
  private final ReaderChoice choice;
  private final Scratch scratch;
  private final @Nullable KeptReading kept;

  Analyser(ReaderChoice choice, Scratch scratch, @Nullable ShootFile shootFile) {
    this.choice = choice;
    this.scratch = scratch;
    this.kept = shootFile == null ? null : new KeptReading(shootFile, choice, scratch);
  }

  /** The source with its analysis, or with the reason why it cannot be read. */
  ShootSource analyse(ShootSource source, Monitor monitor) {
    try {
      Analysis analysis =
          kept == null
              ? read(source, monitor)
              : kept.of(source.file(), () -> read(source, monitor));
      return source.read(analysis);
    } catch (MediaException e) {
      return source.failed(e);
    } catch (CancellationException e) {
      throw e;
    } catch (RuntimeException e) {
      // A fault of ours on one odd file must not cost the rest of the shoot.
      return source.failed(
          new MalformedMediaException(
              "It could not be decoded; the file is damaged or unusual. Copy it again from the card.",
              e));
    }
  }

  private Analysis read(ShootSource source, Monitor monitor) throws MediaException {
    try (SourceReader reader = SourceOpener.open(source.file(), choice);
        MapListener maps = new MapListener(reader.facts(), scratch.prefix())) {
      VerdictListener verdicts = new VerdictListener(reader.facts());
      Overview overview = new Overview(reader.facts().channelCount());
      LoudnessListener loudness = new LoudnessListener(reader.facts());
      EdgeSound.Listener edges = new EdgeSound.Listener(reader.facts().channelCount());
      long frames =
          DecodePass.run(
              reader,
              List.of(verdicts, FiniteSound.cleaner(), maps, overview, loudness, edges),
              monitor);
      if (frames == 0) {
        throw new MalformedMediaException("It holds no sound: its sound track is empty.");
      }
      return new Analysis(
          reader.facts(),
          frames,
          ReadingFindings.added(verdicts.finish(), reader, frames),
          loudness.finish(),
          maps.finish(),
          overview,
          edges.finish(scratch.prefix()));
    }
  }
}
