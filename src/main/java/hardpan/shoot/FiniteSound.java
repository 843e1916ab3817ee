package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Span;
import hardpan.media.BlockListener;
import hardpan.media.FfmpegReader;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A source whose samples are all numbers: NaN and infinities of a damaged float file come as
 * silence, as its finding says. One NaN would otherwise silence or blast a whole filter downstream.
 * Everything else passes unchanged.
 */
final class FiniteSound implements SourceReader {
  private final SourceReader source;

  private FiniteSound(SourceReader source) {
    this.source = source;
  }

  /**
   * Opens a source.
   *
   * @throws MediaException as {@link SourceOpener#open(Path, ReaderChoice)}
   */
  static SourceReader open(Path file, ReaderChoice choice) throws MediaException {
    SourceReader source = SourceOpener.open(file, choice);
    boolean whole = source.facts().sampleForm() == SourceFacts.SampleForm.INTEGER;
    return whole ? source : new FiniteSound(source);
  }

  /**
   * Opens files that hold one compressed stream, cut up.
   *
   * @throws MediaException as {@link FfmpegReader#openCut}
   */
  static SourceReader openCut(List<Path> files) throws MediaException {
    return new FiniteSound(FfmpegReader.openCut(files));
  }

  /** A listener that puts silence into the block for the listeners after it. */
  static BlockListener cleaner() {
    return (startFrame, planar, frameCount) -> {
      for (float[] channel : planar) {
        clean(channel, frameCount);
      }
    };
  }

  private static void clean(float[] samples, int count) {
    for (int i = 0; i < count; i++) {
      if (!Float.isFinite(samples[i])) {
        samples[i] = 0;
      }
    }
  }

  @Override
  public SourceFacts facts() {
    return source.facts();
  }

  @Override
  public int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    int got = source.readAt(startFrame, planar, frameCount);
    for (int channel = 0; channel < source.facts().channelCount(); channel++) {
      clean(planar[channel], got);
    }
    return got;
  }

  @Override
  public int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    return source.readIntegersAt(startFrame, planar, frameCount);
  }

  @Override
  public long concealedFrames() {
    return source.concealedFrames();
  }

  @Override
  public List<Span> missingSpans() {
    return source.missingSpans();
  }

  @Override
  public @Nullable Long pictureStartFrame() {
    return source.pictureStartFrame();
  }

  @Override
  public List<String> oddities() {
    return source.oddities();
  }

  @Override
  public void close() {
    source.close();
  }
}
