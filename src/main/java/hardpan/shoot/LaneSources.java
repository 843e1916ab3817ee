package hardpan.shoot;

import hardpan.lanes.LaneSource;
import hardpan.lanes.ParentFile;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/** The runs of a shoot as the lanes see them. */
final class LaneSources {
  private LaneSources() {}

  /**
   * All that were read, in the order of the shoot.
   *
   * @param choice which reader opens them
   * @param parents what lanes take over from a run's first file
   */
  static List<LaneSource> of(
      Shoot shoot, ReaderChoice choice, Function<ShootSource, ParentFile> parents) {
    List<LaneSource> sources = new ArrayList<>();
    for (Run run : shoot.allRuns()) {
      if (!RunPiece.isReadable(shoot, run)) {
        continue;
      }
      RunPiece piece = new RunPiece(shoot, run, choice);
      sources.add(
          new LaneSource(
              run.laneSource(),
              run.paths(),
              run.device(),
              run.number(),
              piece.facts(),
              piece.frameCount(),
              piece.verdicts(),
              piece.placement(),
              run.firstPath().equals(shoot.referencePath()),
              parents.apply(piece.first()),
              piece::open));
    }
    return sources;
  }

  /** Facts of the reference, if there is one that was read. */
  static @Nullable SourceFacts referenceFacts(Shoot shoot) {
    Analysis analysis = shoot.reference().map(ShootSource::analysis).orElse(null);
    return analysis == null ? null : analysis.facts();
  }
}
