package hardpan.desk.model;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lanes.DriftCorrection;
import hardpan.media.ReaderChoice;
import hardpan.shoot.HandOver;
import hardpan.shoot.ReportMaker;
import hardpan.shoot.Scratch;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSteps;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** The real job, as the command line does it. */
public final class ShootJob implements ShootWork {
  @Override
  public Outcome read(List<Path> roots, Monitor monitor) throws ShootException {
    Scratch scratch = Scratch.create();
    Shoot shoot;
    String remark;
    try {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, monitor);
      shoot = steps.lineUp(steps.read(steps.find(roots)), null);
    } finally {
      remark = close(scratch);
    }
    return new Outcome(shoot, ReportMaker.report(shoot, List.of(), now()), remark);
  }

  private static @Nullable String close(Scratch scratch) {
    try {
      scratch.close();
      return null;
    } catch (MediaException e) {
      return e.sentence();
    }
  }

  @Override
  public boolean wouldReplace(Shoot shoot, Path target) throws ShootException {
    HandOver.check(target, true, shoot.files());
    try {
      HandOver.check(target, false, shoot.files());
      return false;
    } catch (ShootException e) {
      // With leave to replace it would do, without it would not: an earlier hand-over is there.
      return true;
    }
  }

  @Override
  public Outcome handOver(Shoot shoot, Path target, boolean replace, Monitor monitor)
      throws ShootException {
    HandOver.Result result =
        HandOver.write(
            shoot,
            new HandOver.Options(target, replace, DriftCorrection.AUTO, ReaderChoice.BEST, now()),
            monitor);
    Path leftOver = result.leftOver();
    return new Outcome(
        result.shoot(), result.report(), leftOver == null ? null : Texts.of("left-over", leftOver));
  }

  private static OffsetDateTime now() {
    return OffsetDateTime.now(ZoneOffset.UTC);
  }
}
