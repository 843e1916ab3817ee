package hardpan.desk.model;

import java.util.List;

/**
 * A drawing with two axes, as values; how it is painted is the view's affair.
 *
 * @param title what it shows
 * @param words what can be read off it, in a sentence or two; also for those who listen
 * @param x the axis to the right
 * @param y the axis upwards
 * @param columns filled from the lower edge
 * @param cells filled, the fuller the stronger
 * @param dots single measurements
 * @param lines marked values
 */
public record Plot(
    String title,
    String words,
    Axis x,
    Axis y,
    List<Column> columns,
    List<Cell> cells,
    List<Dot> dots,
    List<Line> lines) {
  /** Copies. */
  public Plot {
    columns = List.copyOf(columns);
    cells = List.copyOf(cells);
    dots = List.copyOf(dots);
    lines = List.copyOf(lines);
  }

  /**
   * An axis.
   *
   * @param words what it measures, with its unit
   * @param from value at its beginning
   * @param to value at its end, another one
   * @param ticks marked values in between
   */
  public record Axis(String words, double from, double to, List<Tick> ticks) {
    /** Copies. */
    public Axis {
      ticks = List.copyOf(ticks);
    }

    /** Where a value lies, 0 at the beginning and 1 at the end, held within. */
    public double share(double value) {
      double share = (value - from) / (to - from);
      return share >= 0 ? Math.min(1, share) : 0;
    }
  }

  /** A marked value of an axis. */
  public record Tick(double at, String words) {}

  /** A column from {@code from} to {@code to}, as high as {@code height}. */
  public record Column(double from, double to, double height) {}

  /** A field, filled by a share of 0 to 1. */
  public record Cell(double fromX, double toX, double fromY, double toY, double share) {}

  /** A measurement; those that do not count are drawn as strokes. */
  public record Dot(double x, double y, boolean counted) {}

  /** An upright or level line with its words; nothing is written for empty ones. */
  public record Line(boolean upright, double at, String words, Tone tone) {}
}
