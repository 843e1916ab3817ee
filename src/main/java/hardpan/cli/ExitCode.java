package hardpan.cli;

import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;

/** The exit codes, in one place; the README and {@code docs/command-line.md} list them. */
final class ExitCode {
  /** All done. */
  static final int DONE = 0;

  /** Done, but some sources have errors or stayed unplaced. */
  static final int PARTLY = 1;

  /** What was asked for makes no sense. */
  static final int USAGE = 2;

  /** Nothing could be done. */
  static final int NOTHING = 3;

  /** Cancelled: nothing was left half-done. */
  static final int CANCELLED = 130;

  private ExitCode() {}

  static int of(Shoot shoot) {
    return shoot.isWhole() ? DONE : PARTLY;
  }

  static int of(ShootException failure) {
    return failure.reason() == ShootException.Reason.REQUEST ? USAGE : NOTHING;
  }
}
