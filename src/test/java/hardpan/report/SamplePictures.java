package hardpan.report;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;

/** Invented waveforms for the invented shoot. */
final class SamplePictures {
  private SamplePictures() {}

  static Map<String, SourcePicture> of(Report report) {
    Map<String, SourcePicture> pictures = new HashMap<>();
    for (SourceReport source : report.sources()) {
      if (source.error() == null) {
        pictures.put(source.path(), picture(source));
      }
    }
    return pictures;
  }

  private static SourcePicture picture(SourceReport source) {
    List<float[]> minima = new ArrayList<>();
    List<float[]> maxima = new ArrayList<>();
    for (ChannelReport channel : source.channels()) {
      Random random = new Random(source.path().hashCode() * 31L + channel.index());
      double ceiling = channel.peakDbfs() == null ? 0.001 : Math.pow(10, channel.peakDbfs() / 20);
      boolean hot = channel.clipping().clipped();
      float[] low = new float[900];
      float[] high = new float[900];
      double phrase = 0.5;
      for (int i = 0; i < low.length; i++) {
        if (random.nextInt(14) == 0) {
          phrase = random.nextInt(4) == 0 ? 0.04 : 0.3 + 0.7 * random.nextDouble();
        }
        double size = hot ? Math.min(1, phrase * 3) : phrase * (0.6 + 0.4 * random.nextDouble());
        high[i] = (float) (ceiling * size);
        low[i] = (float) (-ceiling * size * (hot ? 1 : 0.8 + 0.2 * random.nextDouble()));
      }
      minima.add(low);
      maxima.add(high);
    }
    return new SourcePicture(minima, maxima);
  }

  static PageExtras extras() {
    return new PageExtras(
        "Honey evening, Lindmoor beekeepers",
        List.of(
            new PageExtras.LeftOut("CAM-A/A0001.XML", "The camera's side file; it holds no sound."),
            new PageExtras.LeftOut("notes.txt", "Not a media file.")),
        Sentences.usualCautions(),
        List.of(
            new PageExtras.Total("Read", "3 h 21 min of sound in 7 files"),
            new PageExtras.Total("Written", "3 lanes, 741 MB"),
            new PageExtras.Total("Took", "41 s")));
  }
}
