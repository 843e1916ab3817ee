package hardpan.lineup;

import hardpan.base.MediaAccessException;
import hardpan.media.BlockListener;
import hardpan.media.SourceFacts;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** Makes the band maps of all channels of a source during its decode pass. */
public final class MapListener implements BlockListener, AutoCloseable {
  private final List<BandMap.Writer> writers = new ArrayList<>();

  /**
   * For a source.
   *
   * @param facts the source's facts
   * @param scratchPrefix where the scratch files go; a channel number is appended
   * @throws MediaAccessException if the scratch files cannot be written
   */
  public MapListener(SourceFacts facts, Path scratchPrefix) throws MediaAccessException {
    for (int i = 0; i < facts.channelCount(); i++) {
      Path file = scratchPrefix.resolveSibling(scratchPrefix.getFileName() + "-" + i + ".bands");
      writers.add(new BandMap.Writer(file, facts.rateHz()));
    }
  }

  @Override
  public void onBlock(long startFrame, float[][] planar, int frameCount) {
    for (int i = 0; i < writers.size(); i++) {
      writers.get(i).add(planar[i], frameCount);
    }
  }

  /**
   * The maps, one a channel; call once, after the last block.
   *
   * @throws MediaAccessException if the scratch files cannot be written
   */
  public List<BandMap> finish() throws MediaAccessException {
    List<BandMap> maps = new ArrayList<>();
    for (BandMap.Writer writer : writers) {
      maps.add(writer.finish());
    }
    return maps;
  }

  @Override
  public void close() throws MediaAccessException {
    for (BandMap.Writer writer : writers) {
      writer.close();
    }
  }
}
