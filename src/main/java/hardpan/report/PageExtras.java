package hardpan.report;

import java.util.List;

/**
 * What the page says beyond the report.
 *
 * @param title name of the shoot
 * @param leftOut files that were seen and not used
 * @param cautions sentences of warning; {@link Sentences#usualCautions} has the usual ones
 * @param totals what it comes to, such as how much was read and how long it took
 */
public record PageExtras(
    String title, List<LeftOut> leftOut, List<String> cautions, List<Total> totals) {
  /** Copies. */
  public PageExtras {
    leftOut = List.copyOf(leftOut);
    cautions = List.copyOf(cautions);
    totals = List.copyOf(totals);
  }

  /**
   * A file that was not used.
   *
   * @param path relative to the given folder
   * @param reason one sentence
   */
  public record LeftOut(String path, String reason) {}

  /**
   * One sum.
   *
   * @param label what it is
   * @param value with its unit
   */
  public record Total(String label, String value) {}
}
