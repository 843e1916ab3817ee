package hardpan.desk.clock;

import hardpan.desk.model.ClockColumns;
import hardpan.desk.model.ClockItem;
import hardpan.desk.model.ClockLayout;
import hardpan.desk.model.ClockRun;
import hardpan.desk.model.Flag;
import hardpan.desk.model.Mark;
import hardpan.desk.model.SourceRow;
import hardpan.desk.model.Texts;
import hardpan.desk.model.Tone;
import hardpan.report.FindingReport.Severity;
import hardpan.report.Standing;
import java.util.ArrayList;
import java.util.List;
import javafx.scene.canvas.GraphicsContext;

/** Writes what the picture says in words and shapes, over the pixels of {@link ClockPainter}. */
final class ClockWords {
  private static final double INSET = 8;

  /** Above the figures of the clock and below them. */
  private static final double EDGE = 3;

  private static final double BETWEEN = 10;
  private static final double LEAST_ROOM = 26;
  private static final double CHIP_HEIGHT = 15;

  private final Lettering lettering;

  ClockWords(double density) {
    lettering = new Lettering(density);
  }

  /** Draws on an empty layer whose units are pixels of the screen. */
  void paint(
      GraphicsContext gc,
      Palette palette,
      ClockFrame frame,
      int height,
      List<ClockColumns.Column> columns) {
    int width = frame.scale().pixels();
    times(gc, palette, frame, width, columns);
    int divide = frame.headHeight() + frame.pinned();
    part(gc, palette, frame, true, frame.headHeight(), divide);
    part(gc, palette, frame, false, divide, height);
  }

  /** What stays, or what scrolls, between two heights of the picture. */
  private void part(
      GraphicsContext gc, Palette palette, ClockFrame frame, boolean pinned, int top, int bottom) {
    if (bottom <= top) {
      return;
    }
    int width = frame.scale().pixels();
    gc.save();
    gc.beginPath();
    gc.rect(0, top, width, bottom - top);
    gc.clip();
    List<ClockLayout.Heading> headings = frame.layout().headings();
    for (int i = 0; i < headings.size(); i++) {
      ClockLayout.Heading heading = headings.get(i);
      int y = frame.headingY(i);
      if (frame.isPinned(heading.y()) == pinned && y + heading.height() > top && y < bottom) {
        double middle = y + heading.height() / 2.0;
        gc.setFill(palette.colour(Tone.INK));
        double x = frame.px(INSET);
        x = lettering.write(gc, heading.device(), true, x, middle, width) + frame.px(BETWEEN);
        gc.setFill(palette.colour(Tone.SOFT));
        lettering.write(gc, heading.summary(), false, x, middle, width);
      }
    }
    if (!pinned && frame.coveredTo() > top) {
      gc.beginPath();
      gc.rect(0, frame.coveredTo(), width, Math.max(0, bottom - frame.coveredTo()));
      gc.clip();
    }
    for (ClockLayout.Line line : frame.layout().lines()) {
      if (frame.isPinned(line.y()) == pinned
          && frame.y(line.y()) + line.height() > top
          && frame.y(line.labelY()) < bottom) {
        label(gc, palette, frame, line, width);
      }
    }
    for (ClockLayout.Box box : frame.layout().boxes()) {
      if (frame.isPinned(box.y()) == pinned
          && frame.y(box.y()) + box.height() > top
          && frame.y(box.y()) < bottom) {
        chips(gc, palette, frame, box, width);
      }
    }
    gc.restore();
  }

  private void times(
      GraphicsContext gc,
      Palette palette,
      ClockFrame frame,
      int width,
      List<ClockColumns.Column> columns) {
    int top = frame.stripHeight();
    int lines = frame.model().dayClock().isPresent() ? 2 : 1;
    double high = (frame.headHeight() - top - 2.0 * frame.px(EDGE)) / lines;
    double middle = top + frame.px(EDGE) + high / 2;
    gc.setFill(palette.colour(Tone.SOFT));
    for (ClockColumns.Column column : columns) {
      time(gc, frame, column, column.words(), middle, width);
      time(gc, frame, column, column.dayWords(), middle + high, width);
    }
  }

  private void time(
      GraphicsContext gc,
      ClockFrame frame,
      ClockColumns.Column column,
      String words,
      double middle,
      int width) {
    double from = column.fromX() + frame.px(5);
    boolean fits = from + lettering.width(words, false) < width;
    if (!words.isEmpty() && from >= 0 && fits) {
      lettering.write(gc, words, false, from, middle, Math.min(width, column.toX()));
    }
  }

  /**
   * Number, name, and what is wrong with its shape and its words; it stays in view with its run.
   */
  private void label(
      GraphicsContext gc, Palette palette, ClockFrame frame, ClockLayout.Line line, int width) {
    ClockRun run = line.run();
    int left = ClockPainter.left(frame.scale(), run.startSeconds());
    int right = ClockPainter.right(frame, run.startSeconds(), run.endSeconds());
    // Half a line of words under the ruler's edge cannot be read.
    int from = frame.isPinned(line.labelY()) ? frame.top(line.labelY()) : frame.coveredTo();
    boolean cut = frame.y(line.labelY()) < from;
    if (right <= 0 || left >= width || cut) {
      return;
    }
    double x = Math.max(left, frame.px(4));
    double next =
        Double.isInfinite(line.labelUntilSeconds())
            ? width
            : frame.scale().pixel(line.labelUntilSeconds()) - frame.px(BETWEEN);
    double until = Math.min(width - frame.px(4), Math.max(next, x));
    if (until - x < frame.px(LEAST_ROOM)) {
      return;
    }
    double middle = (frame.y(line.labelY()) + frame.y(line.y())) / 2.0 - frame.px(1);
    SourceRow row = run.items().get(0).row();
    for (ClockItem item : run.items()) {
      if (item.row().standing() == Standing.REFERENCE) {
        row = item.row();
      }
    }
    Standing standing = row.standing();
    x = lettering.mark(gc, palette, row.mark(), x, middle, until);
    gc.setFill(palette.colour(Tone.INK));
    x = lettering.write(gc, run.title(), true, x, middle, until) + frame.px(BETWEEN);
    if (standing == Standing.REFERENCE) {
      gc.setFill(palette.colour(Tone.SOFT));
      x =
          lettering.write(gc, Texts.of("clock.reference"), false, x, middle, until)
              + frame.px(BETWEEN);
    }
    if (row.mark() == Mark.BY_HAND && until - x > frame.px(LEAST_ROOM)) {
      gc.setFill(palette.colour(Tone.SOFT));
      x =
          lettering.write(gc, Texts.of("clock.by-hand"), false, x, middle, until)
              + frame.px(BETWEEN);
    }
    Severity worst = run.worst();
    if (worst != null && until - x > frame.px(LEAST_ROOM)) {
      x = lettering.mark(gc, palette, Mark.of(worst), x, middle, until);
      gc.setFill(palette.colour(Tone.SOFT));
      lettering.write(gc, run.flagWords(), false, x, middle, until);
    }
  }

  /** The words of findings right where they are, as soon as there is room for them. */
  private void chips(
      GraphicsContext gc, Palette palette, ClockFrame frame, ClockLayout.Box box, int width) {
    boolean samples = frame.scale().secondsPerPixel() * box.item().rateHz() < 1;
    if (samples || box.stripHeight() < frame.px(CHIP_HEIGHT)) {
      // Single samples must not be hidden; the words are above the run too.
      return;
    }
    double[] usedUntil = new double[box.strips()];
    List<Flag> flags = new ArrayList<>(box.item().flags());
    flags.sort((a, b) -> b.severity().compareTo(a.severity()));
    for (Flag flag : flags) {
      double needed = lettering.width(flag.words(), false) + frame.px(26);
      int strip = flag.channel() >= 0 && flag.channel() < box.strips() ? flag.channel() : 0;
      for (Flag.Stretch stretch : flag.stretches()) {
        double from = Math.max(0, frame.scale().x(stretch.startSeconds()));
        if (from >= width) {
          break;
        }
        double to = Math.min(width, frame.scale().x(stretch.endSeconds()));
        if (to - from >= needed && from >= usedUntil[strip]) {
          double top = frame.y(box.y() + strip * box.stripHeight()) + frame.px(4);
          double high = frame.px(CHIP_HEIGHT);
          gc.setFill(palette.colour(Tone.CARD));
          gc.fillRect(Math.rint(from), top, Math.rint(needed), high);
          double middle = top + high / 2;
          double x =
              lettering.mark(gc, palette, Mark.of(flag.severity()), from + frame.px(4), middle, to);
          gc.setFill(palette.colour(Tone.INK));
          lettering.write(gc, flag.words(), false, x, middle, to);
          usedUntil[strip] = from + needed;
        }
      }
    }
  }
}
