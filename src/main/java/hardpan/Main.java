package hardpan;

/** Starts Hardpan. */
public final class Main {
  private Main() {}

  /** Entry point. */
  public static void main(String[] args) {
    System.exit(args.length);
  }
}
