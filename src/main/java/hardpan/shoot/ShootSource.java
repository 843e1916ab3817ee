package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.lineup.Placement;
import hardpan.media.SourceFacts.Kind;
import hardpan.verdict.Finding;
import java.nio.file.Path;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A source of a shoot, as far as the job has come.
 *
 * @param file where it is
 * @param path its path in the report: relative to the given folder, '/' separators, unique
 * @param kind clip or recording, by name until it could be read
 * @param device the device it is taken to come from
 * @param runNumber number of its run on that device, from 1
 * @param error why it could not be read, or null
 * @param analysis what its decode pass gave, or null if it could not be read
 * @param placement its place, or null for the reference, for an unreadable source and before the
 *     line-up
 */
public record ShootSource(
    Path file,
    String path,
    Kind kind,
    String device,
    int runNumber,
    @Nullable MediaException error,
    @Nullable Analysis analysis,
    @Nullable Placement placement) {

  /** Whether it could be read. */
  public boolean isReadable() {
    return analysis != null;
  }

  /** Name of its run. */
  public String run() {
    return device + "#" + runNumber;
  }

  ShootSource read(Analysis result) {
    return new ShootSource(
        file, path, result.facts().kind(), device, runNumber, null, result, placement);
  }

  /** In another run, with more findings on all its channels. */
  ShootSource inRun(Run run, List<Finding> more) {
    Analysis found = analysis == null ? null : analysis.withFindings(more);
    return new ShootSource(file, path, kind, run.device(), run.number(), error, found, placement);
  }

  ShootSource from(String otherDevice, int number) {
    return new ShootSource(file, path, kind, otherDevice, number, error, analysis, placement);
  }

  ShootSource failed(MediaException problem) {
    return new ShootSource(file, path, kind, device, runNumber, problem, null, null);
  }

  ShootSource judged(Analysis result) {
    return new ShootSource(file, path, kind, device, runNumber, error, result, placement);
  }

  ShootSource placed(Placement place) {
    return new ShootSource(file, path, kind, device, runNumber, error, analysis, place);
  }
}
