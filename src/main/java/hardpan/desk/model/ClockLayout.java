package hardpan.desk.model;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Where everything of the picture goes, in whole pixels, for a given width. Whole pixels, because
 * drawing on them needs no smoothing and is many times faster.
 */
public final class ClockLayout {
  /** Height of the time line at the top. */
  public static final int AXIS_HEIGHT = 26;

  /** Room for the device names at the left. */
  public static final int NAMES_WIDTH = 112;

  /** Room for a clip's number, name and findings above its box. */
  public static final int LABEL_HEIGHT = 18;

  private static final int MARGIN = 12;
  private static final int GAP = 6;
  private static final int TALL_STRIP = 20;
  private static final int LOW_STRIP = 16;
  private static final int MOST_STRIPS = 8;
  private static final int ASTRAY_STRIP = 14;
  private static final int SMALLEST_BOX = 6;
  private static final int MOST_TICKS = 14;
  private static final int TICK_ROOM = 64;
  private static final int[] STEPS_SECONDS = {
    1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 10800, 21600, 43200, 86400
  };

  private final ClockModel model;
  private final int width;
  private final List<Strip> strips = new ArrayList<>();
  private final List<Box> boxes = new ArrayList<>();
  private final int height;

  /**
   * A device's band.
   *
   * @param name what it is called
   * @param astray whether it holds what has no place
   * @param y its top
   * @param height its height
   */
  public record Strip(String name, boolean astray, int y, int height) {}

  /**
   * A clip's box.
   *
   * @param item the clip
   * @param line number of its row, from 0 at the top
   * @param x left edge
   * @param y top edge, below its label
   * @param width at least a few pixels
   * @param height its height
   * @param strips number of channels drawn below each other; 1 if all are drawn as one
   * @param labelEnd where the room for its label ends
   */
  public record Box(
      ClockItem item, int line, int x, int y, int width, int height, int strips, int labelEnd) {
    boolean holds(double atX, double atY) {
      return atX >= x && atX < x + width && atY >= y - LABEL_HEIGHT && atY < y + height;
    }
  }

  /**
   * A moment on the time line.
   *
   * @param x where
   * @param words what is written there
   */
  public record Tick(int x, String words) {}

  /** Lays it out. */
  public ClockLayout(ClockModel model, int width) {
    this.model = model;
    this.width = Math.max(width, NAMES_WIDTH + 3 * MARGIN);
    int y = AXIS_HEIGHT + GAP / 2;
    int line = 0;
    for (ClockModel.Band band : model.bands()) {
      int top = y;
      for (List<ClockItem> row : band.rows()) {
        int rowHeight = 0;
        for (int i = 0; i < row.size(); i++) {
          int labelEnd =
              i + 1 < row.size() ? x(row.get(i + 1).startSeconds()) - GAP : this.width - MARGIN;
          Box box = box(row.get(i), line, y + LABEL_HEIGHT, labelEnd);
          boxes.add(box);
          rowHeight = Math.max(rowHeight, box.height());
        }
        y += LABEL_HEIGHT + rowHeight + GAP;
        line++;
      }
      strips.add(new Strip(band.device(), false, top, y - top));
      y += GAP / 2;
    }
    if (!model.astray().isEmpty()) {
      int top = y;
      for (ClockItem item : model.astray()) {
        Box box = astray(item, line++, y + LABEL_HEIGHT);
        boxes.add(box);
        y += LABEL_HEIGHT + box.height() + GAP;
      }
      strips.add(new Strip(Texts.of("clock.astray"), true, top, y - top));
    }
    this.height = y + GAP / 2;
  }

  private Box box(ClockItem item, int line, int y, int labelEnd) {
    int channels = item.channelCount();
    int drawn = channels > MOST_STRIPS ? 1 : Math.max(1, channels);
    int stripHeight = drawn <= 2 ? TALL_STRIP : LOW_STRIP;
    if (drawn == 1) {
      stripHeight = 2 * TALL_STRIP;
    }
    int left = x(item.startSeconds());
    int boxWidth = Math.max(SMALLEST_BOX, x(item.endSeconds()) - left);
    return new Box(item, line, left, y, boxWidth, drawn * stripHeight, drawn, labelEnd);
  }

  /** What has no place lies at the left edge, in its own length. */
  private Box astray(ClockItem item, int line, int y) {
    int left = NAMES_WIDTH + MARGIN;
    int length = x(model.firstSecond() + item.endSeconds()) - x(model.firstSecond());
    int boxWidth = Math.max(SMALLEST_BOX, Math.min(length, width - MARGIN - left));
    int drawn = item.channelCount() > MOST_STRIPS ? 1 : Math.max(1, item.channelCount());
    return new Box(item, line, left, y, boxWidth, drawn * ASTRAY_STRIP, drawn, width - MARGIN);
  }

  /** The pixel of a moment. */
  public int x(double seconds) {
    double span = model.lastSecond() - model.firstSecond();
    double room = width - NAMES_WIDTH - 2.0 * MARGIN;
    return (int) Math.round(NAMES_WIDTH + MARGIN + (seconds - model.firstSecond()) / span * room);
  }

  /** Height of the whole picture. */
  public int height() {
    return height;
  }

  /** Width it was laid out for. */
  public int width() {
    return width;
  }

  /** The bands from top to bottom. */
  public List<Strip> strips() {
    return List.copyOf(strips);
  }

  /** The clips, row by row, from left to right. */
  public List<Box> boxes() {
    return List.copyOf(boxes);
  }

  /** The moments written on the time line: round ones, as many as there is room for. */
  public List<Tick> ticks() {
    double span = model.lastSecond() - model.firstSecond();
    int most = Math.max(1, Math.min(MOST_TICKS, (width - NAMES_WIDTH) / TICK_ROOM));
    int step = STEPS_SECONDS[STEPS_SECONDS.length - 1];
    for (int candidate : STEPS_SECONDS) {
      if (span / candidate <= most) {
        step = candidate;
        break;
      }
    }
    while (span / step > most && step < Integer.MAX_VALUE / 2) {
      step *= 2;
    }
    List<Tick> ticks = new ArrayList<>();
    for (double at = Math.ceil(model.firstSecond() / step) * step;
        at <= model.lastSecond();
        at += step) {
      ticks.add(new Tick(x(at), Times.clock(at, 0)));
    }
    return ticks;
  }

  /** The clip at a point. */
  public Optional<ClockItem> at(double x, double y) {
    return boxes.stream().filter(box -> box.holds(x, y)).map(Box::item).findFirst();
  }

  /** The box of a source. */
  public Optional<Box> boxOf(@Nullable SourceRow row) {
    return boxes.stream().filter(box -> box.item().row().equals(row)).findFirst();
  }

  /** Ways to walk through the picture. */
  public enum Way {
    /** To the clip before. */
    BACK,
    /** To the next clip. */
    ON,
    /** To the row above. */
    UP,
    /** To the row below. */
    DOWN,
    /** To the first clip. */
    FIRST,
    /** To the last clip. */
    LAST
  }

  /**
   * Where a step leads.
   *
   * @param from the chosen source, or null
   * @return the source there; the same one where there is no way on; empty for an empty picture
   */
  public Optional<SourceRow> step(@Nullable SourceRow from, Way way) {
    if (boxes.isEmpty()) {
      return Optional.empty();
    }
    Optional<Box> start = boxOf(from);
    if (start.isEmpty() || way == Way.FIRST) {
      return Optional.of(boxes.get(0).item().row());
    }
    Box box = start.get();
    int at = boxes.indexOf(box);
    Box to =
        switch (way) {
          case BACK -> boxes.get(Math.max(0, at - 1));
          case ON -> boxes.get(Math.min(boxes.size() - 1, at + 1));
          case UP -> nearest(box, box.line() - 1);
          case DOWN -> nearest(box, box.line() + 1);
          case FIRST -> boxes.get(0);
          case LAST -> boxes.get(boxes.size() - 1);
        };
    return Optional.of(to.item().row());
  }

  private Box nearest(Box from, int line) {
    return boxes.stream()
        .filter(box -> box.line() == line)
        .min((a, b) -> Integer.compare(Math.abs(a.x() - from.x()), Math.abs(b.x() - from.x())))
        .orElse(from);
  }
}
