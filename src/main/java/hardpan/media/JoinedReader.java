package hardpan.media;

import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/**
 * Parts of one long recording, read one after the other as one source, sample by sample: the next
 * part's first frame follows the last frame of the part before.
 *
 * <p>Parts are opened when they are needed and two at most are open at a time, so that windows on
 * either side of a cut cost no opening. Nothing is held of the sound.
 */
public final class JoinedReader implements SourceReader {
  private static final int MOST_OPEN = 2;

  private final SourceFacts facts;
  private final List<Part> parts;
  private final long[] startFrames;
  private final List<Open> open = new ArrayList<>();
  private final long[] concealed;
  private final Set<String> oddities = new LinkedHashSet<>();
  private boolean closed;

  private record Open(int part, SourceReader reader) {}

  /**
   * One part.
   *
   * @param frameCount its decoded length in frames, above 0
   * @param opening opens it; all parts have the same channels and the same rate
   */
  public record Part(long frameCount, SourceOpening opening) {
    /** Checks the length. */
    public Part {
      if (frameCount < 1) {
        throw new IllegalArgumentException("frames " + frameCount);
      }
    }
  }

  /**
   * Joins parts.
   *
   * @param facts what is said of the whole
   * @param parts at least one, in order
   */
  public JoinedReader(SourceFacts facts, List<Part> parts) {
    this.facts = facts;
    this.parts = List.copyOf(parts);
    this.startFrames = new long[parts.size() + 1];
    for (int i = 0; i < parts.size(); i++) {
      startFrames[i + 1] = startFrames[i] + parts.get(i).frameCount();
    }
    this.concealed = new long[parts.size()];
  }

  @Override
  public SourceFacts facts() {
    return facts;
  }

  @Override
  public int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    float[][] block = new float[facts.channelCount()][];
    return read(
        startFrame,
        frameCount,
        (reader, from, at, count) -> {
          if (at == 0) {
            return reader.readAt(from, planar, count);
          }
          for (int c = 0; c < block.length; c++) {
            block[c] = new float[count];
          }
          int got = reader.readAt(from, block, count);
          for (int c = 0; c < block.length; c++) {
            System.arraycopy(block[c], 0, planar[c], at, got);
          }
          return got;
        });
  }

  @Override
  public int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    int[][] block = new int[facts.channelCount()][];
    return read(
        startFrame,
        frameCount,
        (reader, from, at, count) -> {
          if (at == 0) {
            return reader.readIntegersAt(from, planar, count);
          }
          for (int c = 0; c < block.length; c++) {
            block[c] = new int[count];
          }
          int got = reader.readIntegersAt(from, block, count);
          for (int c = 0; c < block.length; c++) {
            System.arraycopy(block[c], 0, planar[c], at, got);
          }
          return got;
        });
  }

  private interface PartRead {
    int read(SourceReader reader, long from, int at, int count) throws MediaException;
  }

  private int read(long startFrame, int frameCount, PartRead reading) throws MediaException {
    if (closed) {
      throw new IllegalStateException("closed");
    }
    if (startFrame < 0 || frameCount < 1) {
      throw new IllegalArgumentException(startFrame + ", " + frameCount);
    }
    int done = 0;
    for (int part = 0; part < parts.size() && done < frameCount; part++) {
      long position = startFrame + done;
      if (position >= startFrames[part + 1]) {
        continue;
      }
      int count = (int) Math.min(frameCount - done, startFrames[part + 1] - position);
      SourceReader reader = reader(part);
      int got = reading.read(reader, position - startFrames[part], done, count);
      concealed[part] = Math.max(concealed[part], reader.concealedFrames());
      if (got < count) {
        throw new MediaAccessException(
            "Part " + (part + 1) + " is shorter than when it was first read; was it changed?");
      }
      done += got;
    }
    return done;
  }

  private SourceReader reader(int part) throws MediaException {
    for (int i = 0; i < open.size(); i++) {
      if (open.get(i).part() == part) {
        Open found = open.remove(i);
        open.add(found);
        return found.reader();
      }
    }
    if (open.size() == MOST_OPEN) {
      open.remove(0).reader().close();
    }
    SourceReader reader = parts.get(part).opening().open();
    open.add(new Open(part, reader));
    if (reader.facts().channelCount() != facts.channelCount()
        || reader.facts().rateHz() != facts.rateHz()) {
      throw new MediaAccessException(
          "Part " + (part + 1) + " is not as it was when it was first read.");
    }
    oddities.addAll(reader.oddities());
    return reader;
  }

  @Override
  public long concealedFrames() {
    long sum = 0;
    for (long frames : concealed) {
      sum += frames;
    }
    return sum;
  }

  /** Those of the parts opened so far. */
  @Override
  public List<String> oddities() {
    return List.copyOf(oddities);
  }

  @Override
  public void close() {
    closed = true;
    open.forEach(one -> one.reader().close());
    open.clear();
  }
}
