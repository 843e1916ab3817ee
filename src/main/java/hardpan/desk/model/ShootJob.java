package hardpan.desk.model;

import hardpan.base.Monitor;
import hardpan.media.ReaderChoice;
import hardpan.shoot.HandOver;
import hardpan.shoot.ReportMaker;
import hardpan.shoot.SavedShoots;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSession;
import hardpan.shoot.Wishes;
import java.nio.file.Path;
import java.time.Instant;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Optional;

/** The real job, as the command line does it. */
public final class ShootJob implements ShootWork {
  private final SavedShoots saved;

  /**
   * For one person.
   *
   * @param saved where shoots are kept
   */
  public ShootJob(SavedShoots saved) {
    this.saved = saved;
  }

  @Override
  public Session open(List<Path> roots) throws ShootException {
    if (roots.stream().noneMatch(SavedShoots::isSavedShoot)) {
      ShootSession session = ShootSession.open(roots, saved.fileFor(roots), ReaderChoice.BEST);
      saved.tidy(Instant.now(), roots);
      return new Kept(roots, saved, session);
    }
    if (roots.size() > 1) {
      throw new ShootException(ShootException.Reason.REQUEST, Texts.of("open.saved.alone"));
    }
    return new Kept(roots, saved, ShootSession.openSaved(roots.get(0), ReaderChoice.BEST));
  }

  @Override
  public List<SavedShoots.Recent> recent() {
    return saved.recent();
  }

  @Override
  public void forget(SavedShoots.Recent shoot) {
    saved.forget(shoot);
  }

  private static final class Kept implements Session {
    /** As opened: so it is opened again from the list. */
    private final List<Path> opened;

    private final SavedShoots saved;
    private final ShootSession session;

    Kept(List<Path> opened, SavedShoots saved, ShootSession session) {
      this.opened = opened;
      this.saved = saved;
      this.session = session;
    }

    @Override
    public List<Path> roots(List<Path> given) {
      return session.roots();
    }

    @Override
    public Optional<Outcome> kept() {
      return session.kept().map(this::shown);
    }

    @Override
    public Wishes wishes() {
      return session.wishes();
    }

    @Override
    public boolean isLinedUpFor(Wishes wishes) {
      return session.isLinedUpFor(wishes);
    }

    @Override
    public boolean needsReading(Wishes wishes) {
      return session.needsReading(wishes);
    }

    @Override
    public Outcome read(Wishes wishes, Monitor monitor) throws ShootException {
      return shown(session.read(wishes, monitor));
    }

    @Override
    public Outcome lineUp(Wishes wishes, Monitor monitor) throws ShootException {
      return shown(session.lineUp(wishes, monitor));
    }

    private Outcome shown(Shoot shoot) {
      saved.opened(new SavedShoots.Recent(shoot.name(), opened, Instant.now()));
      return new Outcome(shoot, ReportMaker.report(shoot, List.of(), now()), null);
    }

    @Override
    public ShootSession.Changes changes(Monitor monitor) throws ShootException {
      return session.changes(monitor);
    }

    @Override
    public List<Path> away() {
      return session.away();
    }

    @Override
    public void keep(Wishes wishes) {
      session.keep(wishes);
    }

    @Override
    public Optional<String> trouble() {
      return session.trouble();
    }

    @Override
    public void close() {
      try {
        session.close();
      } catch (ShootException e) {
        // Some temporary files stay; the system clears them away, and nobody waits to read of it.
      }
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
  public Outcome handOver(Shoot shoot, Path target, boolean replace, Wishes wishes, Monitor monitor)
      throws ShootException {
    HandOver.Result result =
        HandOver.write(
            shoot,
            new HandOver.Options(
                target,
                replace,
                wishes.files().correction(),
                wishes.files().arrangement(),
                wishes.lanes(),
                true,
                ReaderChoice.BEST,
                now()),
            monitor);
    Path leftOver = result.leftOver();
    return new Outcome(
        result.shoot(), result.report(), leftOver == null ? null : Texts.of("left-over", leftOver));
  }

  private static OffsetDateTime now() {
    return OffsetDateTime.now(ZoneOffset.UTC);
  }
}
