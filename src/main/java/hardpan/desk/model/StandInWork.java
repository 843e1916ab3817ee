package hardpan.desk.model;

import hardpan.base.Monitor;
import hardpan.shoot.SavedShoots;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSession;
import hardpan.shoot.Wishes;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;

/**
 * A shoot without files behind it: whatever is asked for, the answer is one and the same outcome,
 * nothing was kept before and nothing is kept. For showing a made-up shoot; who needs other answers
 * overrides them.
 */
public class StandInWork implements ShootWork, ShootWork.Session {
  private final Outcome outcome;

  /** With what there is to show. */
  public StandInWork(Outcome outcome) {
    this.outcome = outcome;
  }

  @Override
  public Session open(List<Path> roots) {
    return this;
  }

  @Override
  public List<SavedShoots.Recent> recent() {
    return List.of();
  }

  @Override
  public void forget(SavedShoots.Recent shoot) {}

  @Override
  public Optional<Outcome> kept() {
    return Optional.empty();
  }

  @Override
  public Wishes wishes() {
    return Wishes.NONE;
  }

  @Override
  public boolean isLinedUpFor(Wishes wishes) {
    return true;
  }

  @Override
  public boolean needsReading(Wishes wishes) {
    return false;
  }

  @Override
  public Outcome read(Wishes wishes, Monitor monitor) throws ShootException {
    return outcome;
  }

  @Override
  public Outcome lineUp(Wishes wishes, Monitor monitor) throws ShootException {
    return outcome;
  }

  @Override
  public ShootSession.Changes changes(Monitor monitor) throws ShootException {
    return ShootSession.Changes.NONE;
  }

  @Override
  public List<Path> away() {
    return List.of();
  }

  @Override
  public void keep(Wishes wishes) {}

  @Override
  public Optional<String> trouble() {
    return Optional.empty();
  }

  @Override
  public void close() {}

  @Override
  public boolean wouldReplace(Shoot shoot, Path target) throws ShootException {
    return false;
  }

  @Override
  public Outcome handOver(Shoot shoot, Path target, boolean replace, Wishes wishes, Monitor monitor)
      throws ShootException {
    return outcome;
  }
}
