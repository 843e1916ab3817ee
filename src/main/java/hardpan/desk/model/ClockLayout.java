package hardpan.desk.model;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * How high everything of the picture lies, in whole pixels of the screen, from 0 at the top of the
 * first band. What lies where in time is for {@link ClockScale}; this does not change with it.
 */
public final class ClockLayout {
  private static final int MARGIN = 6;
  private static final int HEADING_HEIGHT = 20;
  private static final int LABEL_HEIGHT = 18;
  private static final int GAP = 7;
  private static final int ONE_STRIP = 32;
  private static final int TALL_STRIP = 20;
  private static final int LOW_STRIP = 13;
  private static final int MOST_STRIPS = 8;

  private final double density;
  private final List<Heading> headings;
  private final List<Line> lines = new ArrayList<>();
  private final List<Box> boxes = new ArrayList<>();
  private final int height;
  private final int referenceHeight;

  /**
   * The line of words above a device's runs.
   *
   * @param device its name
   * @param summary what it holds
   * @param y its top
   * @param height its height
   */
  public record Heading(String device, String summary, int y, int height) {}

  /**
   * A run.
   *
   * @param run what
   * @param row number of its row, from 0 at the top
   * @param labelY top of the words above it
   * @param y its top
   * @param height its height
   * @param labelUntilSeconds the words must end here, where the next run begins
   */
  public record Line(
      ClockRun run, int row, int labelY, int y, int height, double labelUntilSeconds) {}

  /**
   * A source in its run.
   *
   * @param item the source
   * @param row number of its row
   * @param labelY top of the words above its run
   * @param y its top
   * @param stripHeight height of each channel
   * @param strips number of channels drawn below each other; 1 if all are drawn as one
   * @param goesOn whether it goes on where another source of its run ends
   */
  public record Box(
      ClockItem item, int row, int labelY, int y, int stripHeight, int strips, boolean goesOn) {
    /** Its height. */
    public int height() {
      return stripHeight * strips;
    }
  }

  /**
   * Lays it out.
   *
   * @param density pixels of the screen in one of the window's
   */
  public ClockLayout(ClockModel model, double density) {
    this.density = density;
    List<Heading> named = new ArrayList<>();
    int y = 0;
    int row = 0;
    int reference = 0;
    for (ClockModel.Band band : model.bands()) {
      named.add(new Heading(band.device(), band.summary(), y, px(HEADING_HEIGHT)));
      y += px(HEADING_HEIGHT);
      for (List<ClockRun> runs : band.rows()) {
        int rowHeight = 0;
        for (int i = 0; i < runs.size(); i++) {
          double until =
              i + 1 < runs.size() ? runs.get(i + 1).startSeconds() : Double.POSITIVE_INFINITY;
          rowHeight = Math.max(rowHeight, put(runs.get(i), row, y, until));
        }
        y += px(LABEL_HEIGHT) + rowHeight + px(GAP);
        if (row == 0 && runs.stream().anyMatch(ClockRun::isReference)) {
          reference = y;
        }
        row++;
      }
    }
    this.headings = List.copyOf(named);
    this.height = y + px(MARGIN);
    this.referenceHeight = reference;
  }

  private int put(ClockRun run, int row, int y, double until) {
    int channels = run.strips();
    boolean merged = channels > MOST_STRIPS;
    int strip = px(merged || channels == 1 ? ONE_STRIP : channels == 2 ? TALL_STRIP : LOW_STRIP);
    int top = y + px(LABEL_HEIGHT);
    int runHeight = merged ? strip : channels * strip;
    lines.add(new Line(run, row, y, top, runHeight, until));
    for (ClockItem item : run.items()) {
      int firstY = merged ? top : top + item.firstStrip() * strip;
      int strips = merged ? 1 : Math.max(1, item.channelCount());
      boolean goesOn = item.startSeconds() > run.startSeconds();
      boxes.add(new Box(item, row, y, firstY, strip, strips, goesOn));
    }
    return runHeight;
  }

  private int px(int inWindow) {
    return (int) Math.round(inWindow * density);
  }

  /** Height of the whole picture. */
  public int height() {
    return height;
  }

  /**
   * Height of what holds the reference: its device's words and its row, at the top; 0 where no
   * reference is shown.
   */
  public int referenceHeight() {
    return referenceHeight;
  }

  /** The lines of words, from top to bottom. */
  public List<Heading> headings() {
    return headings;
  }

  /** The runs, row by row, from early to late. */
  public List<Line> lines() {
    return Collections.unmodifiableList(lines);
  }

  /** The sources, row by row, from early to late. */
  public List<Box> boxes() {
    return Collections.unmodifiableList(boxes);
  }

  /**
   * The source at a point, the words above it included.
   *
   * @param slackSeconds how far beside it a point may be, for sources narrower than a hand is sure
   */
  public Optional<ClockItem> at(double seconds, double y, double slackSeconds) {
    Box best = null;
    double nearest = slackSeconds;
    for (Box box : boxes) {
      double off =
          Math.max(0, Math.max(box.item().startSeconds() - seconds, seconds - end(box.item())));
      boolean inside = y >= box.y() && y < box.y() + box.height();
      boolean label = y >= box.labelY() && y < box.y();
      if ((inside || (label && box.item().firstStrip() == 0)) && off <= nearest) {
        if (best == null || off < nearest) {
          best = box;
          nearest = off;
        }
      }
    }
    return Optional.ofNullable(best).map(Box::item);
  }

  private static double end(ClockItem item) {
    return Math.nextDown(item.endSeconds());
  }

  /** The box of a source; empty for one in the tray. */
  public Optional<Box> boxOf(@Nullable SourceRow row) {
    return boxes.stream().filter(box -> box.item().row().equals(row)).findFirst();
  }

  /** Ways to walk through the picture. */
  public enum Way {
    /** To the source before. */
    BACK,
    /** To the next source. */
    ON,
    /** To the row above. */
    UP,
    /** To the row below. */
    DOWN
  }

  /**
   * Where a step leads.
   *
   * @param from the source to start from, or null
   * @return the source there; the same one where there is no way on; empty for an empty picture
   */
  public Optional<SourceRow> step(@Nullable SourceRow from, Way way) {
    if (boxes.isEmpty()) {
      return Optional.empty();
    }
    Optional<Box> start = boxOf(from);
    if (start.isEmpty()) {
      return Optional.of(boxes.get(0).item().row());
    }
    Box box = start.get();
    int at = boxes.indexOf(box);
    Box to =
        switch (way) {
          case BACK -> boxes.get(Math.max(0, at - 1));
          case ON -> boxes.get(Math.min(boxes.size() - 1, at + 1));
          case UP -> nearest(box, box.row() - 1);
          case DOWN -> nearest(box, box.row() + 1);
        };
    return Optional.of(to.item().row());
  }

  private Box nearest(Box from, int row) {
    return boxes.stream()
        .filter(box -> box.row() == row)
        .min((a, b) -> Double.compare(apart(a, from), apart(b, from)))
        .orElse(from);
  }

  private static double apart(Box one, Box other) {
    return Math.abs(one.item().startSeconds() - other.item().startSeconds());
  }
}
