package hardpan.media;

import hardpan.base.MediaException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/**
 * Files that were written at the same time, one for each microphone, read as one source with all
 * their channels in the order of the files. It ends where the first of them ends.
 */
public final class SideBySideReader implements SourceReader {
  private final SourceFacts facts;
  private final List<SourceReader> readers;

  private SideBySideReader(SourceFacts facts, List<SourceReader> readers) {
    this.facts = facts;
    this.readers = readers;
  }

  /**
   * Opens all files.
   *
   * @param facts what is said of the whole; its channel count is the sum of the files'
   * @throws MediaException if one of them cannot be opened
   */
  public static SideBySideReader open(SourceFacts facts, List<SourceOpening> files)
      throws MediaException {
    List<SourceReader> readers = new ArrayList<>();
    boolean done = false;
    try {
      for (SourceOpening file : files) {
        readers.add(file.open());
      }
      done = true;
      return new SideBySideReader(facts, readers);
    } finally {
      if (!done) {
        readers.forEach(SourceReader::close);
      }
    }
  }

  @Override
  public SourceFacts facts() {
    return facts;
  }

  @Override
  public int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    int got = frameCount;
    int channel = 0;
    for (SourceReader reader : readers) {
      int own = reader.facts().channelCount();
      float[][] arrays = Arrays.copyOfRange(planar, channel, channel + own);
      got = Math.min(got, reader.readAt(startFrame, arrays, frameCount));
      channel += own;
    }
    return got;
  }

  @Override
  public int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    int got = frameCount;
    int channel = 0;
    for (SourceReader reader : readers) {
      int own = reader.facts().channelCount();
      int[][] arrays = Arrays.copyOfRange(planar, channel, channel + own);
      got = Math.min(got, reader.readIntegersAt(startFrame, arrays, frameCount));
      channel += own;
    }
    return got;
  }

  @Override
  public long concealedFrames() {
    return readers.stream().mapToLong(SourceReader::concealedFrames).max().orElse(0);
  }

  @Override
  public List<String> oddities() {
    Set<String> all = new LinkedHashSet<>();
    readers.forEach(reader -> all.addAll(reader.oddities()));
    return List.copyOf(all);
  }

  @Override
  public void close() {
    readers.forEach(SourceReader::close);
  }
}
