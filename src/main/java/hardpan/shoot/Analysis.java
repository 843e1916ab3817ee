package hardpan.shoot;

import hardpan.lineup.BandMap;
import hardpan.media.SourceFacts;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Finding;
import hardpan.verdict.Verdicts;
import java.util.ArrayList;
import java.util.Comparator;
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
 * @param edges its first and last frames
 */
public record Analysis(
    SourceFacts facts,
    long frameCount,
    Verdicts verdicts,
    List<Loudness> loudness,
    List<BandMap> maps,
    Overview overview,
    EdgeSound edges) {
  /** Copies the lists. */
  public Analysis {
    loudness = List.copyOf(loudness);
    maps = List.copyOf(maps);
  }

  /** The same of a source that says something else of itself. */
  Analysis withFacts(SourceFacts others) {
    return new Analysis(others, frameCount, verdicts, loudness, maps, overview, edges);
  }

  /** The same with other verdicts on its channels. */
  Analysis withChannels(List<ChannelVerdict> channels) {
    Verdicts said = new Verdicts(channels, verdicts.pair());
    return new Analysis(facts, frameCount, said, loudness, maps, overview, edges);
  }

  /** Length in seconds of the source's own clock. */
  public double durationSeconds() {
    return (double) frameCount / facts.rateHz();
  }

  /** With more findings on every channel, the worst first. */
  Analysis withFindings(List<Finding> more) {
    if (more.isEmpty()) {
      return this;
    }
    List<ChannelVerdict> channels = new ArrayList<>();
    for (ChannelVerdict channel : verdicts.channels()) {
      List<Finding> all = new ArrayList<>(channel.findings());
      all.addAll(more);
      all.sort(Comparator.comparing(Finding::severity).reversed());
      channels.add(channel.withFindings(all));
    }
    Verdicts said = new Verdicts(channels, verdicts.pair());
    return new Analysis(facts, frameCount, said, loudness, maps, overview, edges);
  }
}
