package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.lineup.BandMap;
import hardpan.lineup.JoinedMap;
import hardpan.lineup.Placement;
import hardpan.media.JoinedReader;
import hardpan.media.ReaderChoice;
import hardpan.media.SideBySideReader;
import hardpan.media.SourceFacts;
import hardpan.media.SourceOpening;
import hardpan.media.SourceReader;
import hardpan.verdict.Verdicts;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** A run as one piece: its facts, verdicts, maps and sound as if it had never been cut. */
final class RunPiece {
  private final Run run;
  private final List<List<ShootSource>> parts = new ArrayList<>();
  private final ReaderChoice choice;
  private final SourceFacts facts;

  /**
   * For a run whose sources were all read.
   *
   * @throws IllegalArgumentException if one of them was not
   */
  RunPiece(Shoot shoot, Run run, ReaderChoice choice) {
    this.run = run;
    this.choice = choice;
    for (Run.Part part : run.parts()) {
      parts.add(part.paths().stream().map(shoot::source).toList());
    }
    this.facts = joinedFacts();
  }

  /** Whether every source of a run was read. */
  static boolean isReadable(Shoot shoot, Run run) {
    return run.paths().stream().allMatch(path -> shoot.source(path).isReadable());
  }

  Run run() {
    return run;
  }

  ShootSource first() {
    return parts.get(0).get(0);
  }

  SourceFacts facts() {
    return facts;
  }

  long frameCount() {
    Run.Part last = run.parts().get(run.parts().size() - 1);
    return last.startFrame() + last.frameCount();
  }

  double durationSeconds() {
    return (double) frameCount() / facts.rateHz();
  }

  /** The run's first channel that a source has; its other channels follow. */
  int firstChannel(String path) {
    List<ShootSource> files = parts.get(run.partOf(path));
    int channel = 0;
    for (ShootSource file : files) {
      if (file.path().equals(path)) {
        break;
      }
      channel += analysis(file).facts().channelCount();
    }
    return channel;
  }

  /**
   * The run's place, from those of its sources: the first one's, with the channel it was measured
   * with counted in the run. Null before the line-up and for the reference.
   */
  @Nullable Placement placement() {
    Placement own = first().placement();
    if (own == null || !run.isJoined()) {
      return own;
    }
    Integer channel = null;
    for (ShootSource source : parts.get(0)) {
      Placement place = source.placement();
      Integer measured = place == null ? null : place.channel();
      if (measured != null) {
        channel = firstChannel(source.path()) + measured;
      }
    }
    return new Placement(
        own.state(),
        own.offsetSeconds(),
        own.driftPpm(),
        own.inverted(),
        own.confidence(),
        own.residualMs(),
        own.overlapSeconds(),
        channel,
        own.referenceChannel(),
        own.why(),
        own.windows(),
        own.via(),
        own.notes());
  }

  Verdicts verdicts() {
    List<JoinedVerdicts.Part> all = new ArrayList<>();
    for (int i = 0; i < parts.size(); i++) {
      Run.Part part = run.parts().get(i);
      Verdicts verdicts =
          JoinedVerdicts.sideBySide(
              parts.get(i).stream().map(file -> analysis(file).verdicts()).toList());
      all.add(new JoinedVerdicts.Part(verdicts, part.startFrame(), part.frameCount()));
    }
    return JoinedVerdicts.of(all);
  }

  /**
   * The band maps of all channels.
   *
   * @param scratch where joined maps are put
   * @throws MediaException if it cannot be written
   */
  List<BandMap> maps(Scratch scratch) throws MediaException {
    List<List<BandMap>> byPart = new ArrayList<>();
    for (List<ShootSource> files : parts) {
      byPart.add(files.stream().flatMap(file -> analysis(file).maps().stream()).toList());
    }
    if (byPart.size() == 1) {
      return byPart.get(0);
    }
    double[] startSeconds =
        run.parts().stream()
            .mapToDouble(part -> (double) part.startFrame() / facts.rateHz())
            .toArray();
    List<BandMap> joined = new ArrayList<>();
    for (int channel = 0; channel < byPart.get(0).size(); channel++) {
      List<BandMap> maps = new ArrayList<>();
      for (List<BandMap> part : byPart) {
        maps.add(part.get(channel));
      }
      joined.add(JoinedMap.of(maps, startSeconds, scratch.prefix()));
    }
    return joined;
  }

  /**
   * Opens its sound.
   *
   * @throws MediaException if a source cannot be opened any more
   */
  SourceReader open() throws MediaException {
    List<JoinedReader.Part> joined = new ArrayList<>();
    int from = 0;
    while (from < parts.size()) {
      int to = from;
      while (to < run.joins().size() && run.joins().get(to).isOneStream()) {
        to++;
      }
      SourceOpening opening = from == to ? side(from) : stream(from, to);
      Run.Part last = run.parts().get(to);
      long frames = last.startFrame() + last.frameCount() - run.parts().get(from).startFrame();
      joined.add(new JoinedReader.Part(frames, opening));
      from = to + 1;
    }
    return joined.size() == 1 ? joined.get(0).opening().open() : new JoinedReader(facts, joined);
  }

  private SourceOpening stream(int from, int to) {
    List<Path> files =
        parts.subList(from, to + 1).stream().map(part -> part.get(0).file()).toList();
    return () -> FiniteSound.openCut(files);
  }

  private SourceOpening side(int part) {
    List<SourceOpening> files = new ArrayList<>();
    for (ShootSource source : parts.get(part)) {
      files.add(() -> FiniteSound.open(source.file(), choice));
    }
    return files.size() == 1 ? files.get(0) : () -> SideBySideReader.open(facts, files);
  }

  private SourceFacts joinedFacts() {
    SourceFacts own = analysis(first()).facts();
    if (!run.isJoined()) {
      return own;
    }
    List<ShootSource> files = parts.get(0);
    List<String> names = new ArrayList<>();
    for (int i = 0; i < files.size(); i++) {
      for (String name : analysis(files.get(i)).facts().channelNames()) {
        boolean named = !name.isBlank() || files.size() == 1;
        names.add(named ? name : SideBySide.ownWord(new Strip(files), i));
      }
    }
    return new SourceFacts(
        own.kind(),
        own.container(),
        own.codec(),
        own.sampleForm(),
        own.rateHz(),
        own.bitsPerSample(),
        names.size(),
        frameCount(),
        own.timeReferenceSamples(),
        names,
        own.readBy(),
        own.origin());
  }

  private static Analysis analysis(ShootSource source) {
    Analysis analysis = source.analysis();
    if (analysis == null) {
      throw new IllegalArgumentException(source.path() + " was not read");
    }
    return analysis;
  }
}
