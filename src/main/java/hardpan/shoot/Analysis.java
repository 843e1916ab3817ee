package hardpan.shoot;

import hardpan.lineup.BandMap;
import hardpan.media.SourceFacts;
import hardpan.verdict.Verdicts;
import java.util.List;

/**
 * What the one decode pass of a source gave.
 *
 * @param facts what the source says of itself
 * @param frameCount decoded length in frames
 * @param verdicts what is wrong
 * @param loudness loudness of each channel
 * @param maps band maps for the line-up, one a channel
 * @param overview the waveform
 */
public record Analysis(
    SourceFacts facts,
    long frameCount,
    Verdicts verdicts,
    List<Loudness> loudness,
    List<BandMap> maps,
    Overview overview) {
  /** Copies the lists. */
  public Analysis {
    loudness = List.copyOf(loudness);
    maps = List.copyOf(maps);
  }

  /** The same of a source that says something else of itself. */
  Analysis withFacts(SourceFacts others) {
    return new Analysis(others, frameCount, verdicts, loudness, maps, overview);
  }

  /** Length in seconds of the source's own clock. */
  public double durationSeconds() {
    return (double) frameCount / facts.rateHz();
  }
}
