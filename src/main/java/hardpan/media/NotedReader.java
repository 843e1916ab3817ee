package hardpan.media;

import hardpan.base.MediaException;
import hardpan.base.Span;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** A reader with something to say about its file that it does not know itself. */
final class NotedReader implements SourceReader {
  private final SourceReader reader;
  private final List<String> notes;

  private NotedReader(SourceReader reader, List<String> notes) {
    this.reader = reader;
    this.notes = List.copyOf(notes);
  }

  /** The reader itself where there is nothing to say. */
  static SourceReader of(SourceReader reader, List<String> notes) {
    return notes.isEmpty() ? reader : new NotedReader(reader, notes);
  }

  @Override
  public SourceFacts facts() {
    return reader.facts();
  }

  @Override
  public int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    return reader.readAt(startFrame, planar, frameCount);
  }

  @Override
  public int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    return reader.readIntegersAt(startFrame, planar, frameCount);
  }

  @Override
  public long concealedFrames() {
    return reader.concealedFrames();
  }

  @Override
  public List<Span> missingSpans() {
    return reader.missingSpans();
  }

  @Override
  public @Nullable Long pictureStartFrame() {
    return reader.pictureStartFrame();
  }

  @Override
  public List<String> oddities() {
    List<String> all = new ArrayList<>(notes);
    all.addAll(reader.oddities());
    return all;
  }

  @Override
  public void close() {
    reader.close();
  }
}
