package hardpan;

import hardpan.cli.Hardpan;

/**
 * Starts Hardpan. Not an {@code Application} itself, so that the command line runs on machines
 * without a display.
 */
public final class Main {
  private Main() {}

  /** Entry point. */
  public static void main(String[] args) {
    System.exit(Hardpan.run(args));
  }
}
