package hardpan.desk.model;

import hardpan.lineup.Placement;
import hardpan.report.SourceReport;
import hardpan.shoot.Run;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSource;
import hardpan.shoot.Wishes;

/** A source whose place may be changed, with the run that is moved with it. */
record PlaceTask(Shoot shoot, ShootSource source, SourceReport report, SourceRow row) {
  /** What is moved as one. */
  Run run() {
    return shoot.runOf(source);
  }

  /** Pins of the run are pins of its first file. */
  String pinPath() {
    return run().firstPath();
  }

  /** Of a run all files are left out, or none. */
  boolean isLeftOut(Wishes wishes) {
    return run().paths().stream().anyMatch(wishes::excludes);
  }

  /** Whether it is the reference, or written by the same device without a stop. */
  boolean isReference() {
    String reference = shoot.referencePath();
    return reference != null && run().paths().contains(reference);
  }

  Wishes takenIn(Wishes wishes) {
    Wishes next = wishes;
    for (String path : run().paths()) {
      next = next.takenIn(path);
    }
    return next;
  }

  double driftPpm() {
    Placement placement = source.placement();
    Double drift = placement == null ? null : placement.driftPpm();
    return drift == null ? 0 : drift;
  }

  /** How much later this file begins than the run it belongs to. */
  double laterSeconds() {
    var analysis = source.analysis();
    if (analysis == null) {
      return 0;
    }
    for (Run.Part part : run().parts()) {
      if (part.paths().contains(source.path())) {
        double own = (double) part.startFrame() / analysis.facts().rateHz();
        return own * (1 + driftPpm() * 1e-6);
      }
    }
    return 0;
  }
}
