package hardpan.lineup;

import hardpan.base.Monitor;
import hardpan.media.SourceFacts;
import hardpan.media.SourceReader;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;

/** Sources in memory for the line-up. */
final class Scene {
  private final Path folder;
  private int number;

  Scene(Path folder) {
    this.folder = folder;
  }

  /** A source with the given channels; channels of zeros count as silent. */
  Candidate source(String device, int rateHz, float[]... planar) throws Exception {
    SourceFacts facts =
        new SourceFacts(
            SourceFacts.Kind.CLIP,
            "mov",
            "pcm_f32le",
            SourceFacts.SampleForm.FLOAT,
            rateHz,
            32,
            planar.length,
            (long) planar[0].length,
            null,
            null,
            List.of(),
            SourceFacts.ReadBy.NATIVE);
    String id = device + "-" + number++;
    List<BandMap> maps;
    try (MapListener listener = new MapListener(facts, folder.resolve(id))) {
      listener.onBlock(0, planar, planar[0].length);
      maps = new ArrayList<>(listener.finish());
    }
    Set<Integer> usable = new TreeSet<>();
    for (int c = 0; c < planar.length; c++) {
      for (float x : planar[c]) {
        if (x != 0) {
          usable.add(c);
          break;
        }
      }
    }
    return new Candidate(
        id, device, rateHz, planar[0].length, maps, usable, () -> new Memory(facts, planar));
  }

  static Placement place(Candidate source, Candidate reference) throws Exception {
    return new LineUp(reference).place(source, Monitor.SILENT);
  }

  private record Memory(SourceFacts facts, float[][] sound) implements SourceReader {
    @Override
    public int readAt(long startFrame, float[][] planar, int frameCount) {
      if (startFrame < 0) {
        throw new IllegalArgumentException("start " + startFrame);
      }
      int count = (int) Math.max(0, Math.min(frameCount, sound[0].length - startFrame));
      for (int c = 0; c < sound.length && count > 0; c++) {
        System.arraycopy(sound[c], (int) startFrame, planar[c], 0, count);
      }
      return count;
    }

    @Override
    public int readIntegersAt(long startFrame, int[][] planar, int frameCount) {
      throw new UnsupportedOperationException("floats");
    }

    @Override
    public void close() {}
  }

  /** A piece of a sound. */
  static float[] piece(float[] sound, double fromSeconds, double seconds, int rateHz) {
    int from = (int) Math.round(fromSeconds * rateHz);
    return Arrays.copyOfRange(sound, from, from + (int) Math.round(seconds * rateHz));
  }
}
