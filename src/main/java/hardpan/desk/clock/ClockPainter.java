package hardpan.desk.clock;

import hardpan.desk.model.ClockColumns;
import hardpan.desk.model.ClockItem;
import hardpan.desk.model.ClockLayout;
import hardpan.desk.model.ClockModel;
import hardpan.desk.model.ClockRun;
import hardpan.desk.model.ClockScale;
import hardpan.desk.model.Flag;
import hardpan.desk.model.Mark;
import hardpan.desk.model.Tone;
import hardpan.report.FindingReport.Severity;
import java.util.List;

/**
 * Fills the pixels of the picture: columns of time, bands, runs with their waveforms, findings.
 * Only what is seen is touched.
 */
final class ClockPainter {
  /** Width of a column of time at least. */
  static final int COLUMN_WIDTH = 96;

  /** No run is narrower, so that none is overlooked. */
  static final int NARROWEST = 4;

  private static final int STRIP_FAULT = 8;
  private static final int EDGE_BAR = 3;
  private static final int DASH = 7;
  private static final int DASH_GAP = 4;
  private static final int DOT = 3;
  private static final int DOT_GAP = 5;
  private static final int HATCH = 7;

  private final WavePainter waves = new WavePainter();

  void paint(Raster raster, Palette palette, ClockFrame frame, List<ClockColumns.Column> columns) {
    raster.fill(palette.argb(Tone.PAPER), 0, 0, raster.width(), raster.height());
    for (ClockColumns.Column column : columns) {
      raster.fill(palette.argb(Tone.HAIR), column.fromX(), 0, frame.px(1), raster.height());
    }
    for (ClockLayout.Line line : frame.layout().lines()) {
      run(raster, palette, frame, line);
    }
    for (ClockLayout.Box box : frame.layout().boxes()) {
      source(raster, palette, frame, box);
    }
    List<ClockLayout.Heading> headings = frame.layout().headings();
    for (int i = 0; i < headings.size(); i++) {
      int y = frame.headingY(i);
      int top = frame.top(headings.get(i).y());
      if (y + headings.get(i).height() > top && y < raster.height()) {
        int visible = Math.max(y, top);
        raster.fill(
            palette.argb(Tone.BAND),
            0,
            visible,
            raster.width(),
            y + headings.get(i).height() - visible);
      }
    }
    if (frame.pinned() > 0) {
      // The rest scrolls below this line.
      int thin = frame.px(1);
      int end = frame.headHeight() + frame.pinned();
      raster.fill(palette.argb(Tone.EDGE), 0, end - thin, raster.width(), thin);
    }
    wholeShoot(raster, palette, frame);
  }

  /** Left edge of a run or a source in the picture, which may lie outside. */
  static int left(ClockScale scale, double startSeconds) {
    return scale.pixel(startSeconds);
  }

  /** Its right edge, at least a few pixels on. */
  static int right(ClockFrame frame, double startSeconds, double endSeconds) {
    return Math.max(
        left(frame.scale(), startSeconds) + frame.px(NARROWEST), frame.scale().pixel(endSeconds));
  }

  private void run(Raster raster, Palette palette, ClockFrame frame, ClockLayout.Line line) {
    ClockRun run = line.run();
    int left = left(frame.scale(), run.startSeconds());
    int right = right(frame, run.startSeconds(), run.endSeconds());
    int y = frame.y(line.y());
    int top = frame.top(line.y());
    boolean seen =
        right > 0 && left < raster.width() && y + line.height() > top && y < raster.height();
    if (seen) {
      clipped(raster, top, palette.argb(Tone.CARD), left, y, right - left, line.height());
      int thin = frame.px(1);
      int edge = palette.argb(Tone.EDGE);
      clipped(raster, top, edge, left, y - thin, right - left, thin);
      clipped(raster, top, edge, left, y + line.height(), right - left, thin);
      clipped(raster, top, edge, left - thin, y - thin, thin, line.height() + 2 * thin);
      clipped(raster, top, edge, right, y - thin, thin, line.height() + 2 * thin);
    }
  }

  /** Only what is below a line. */
  private static void clipped(Raster raster, int top, int argb, int x, int y, int w, int h) {
    int from = Math.max(y, top);
    raster.fill(argb, x, from, w, y + h - from);
  }

  private void source(Raster raster, Palette palette, ClockFrame frame, ClockLayout.Box box) {
    ClockItem item = box.item();
    int left = left(frame.scale(), item.startSeconds());
    int right = right(frame, item.startSeconds(), item.endSeconds());
    int y = frame.y(box.y());
    int clip = frame.top(box.y());
    if (right <= 0 || left >= raster.width() || y + box.height() <= clip || y >= raster.height()) {
      return;
    }
    int from = Math.max(0, left);
    int to = Math.min(raster.width(), right);
    int thin = frame.px(1);
    for (int strip = 0; strip < box.strips(); strip++) {
      int top = y + strip * box.stripHeight();
      if (strip > 0 || item.firstStrip() > 0) {
        clipped(raster, clip, palette.argb(Tone.HAIR), from, top, to - from, thin);
      }
    }
    for (Flag flag : item.flags()) {
      if (flag.severity() == Severity.FAULT && flag.channel() >= 0) {
        hatch(raster, palette, frame, box, flag);
      }
    }
    waves.paint(raster, palette, frame, box, Tone.WAVE, from, to);
    if (box.goesOn()) {
      // Where one file of a run ends and the next begins: a notch, no gap.
      int notch = Math.max(thin, box.stripHeight() / 4);
      clipped(raster, clip, palette.argb(Tone.EDGE), left, y, thin, notch);
      clipped(raster, clip, palette.argb(Tone.EDGE), left, y + box.height() - notch, thin, notch);
    }
    for (Severity severity : Severity.values()) {
      for (Flag flag : item.flags()) {
        if (flag.severity() == severity) {
          flag(raster, palette, frame, box, flag);
        }
      }
    }
  }

  /** The rows a finding is drawn on: those of its channel where that has a strip of its own. */
  private record Ground(int y, int height, int top) {
    static Ground of(ClockFrame frame, ClockLayout.Box box, Flag flag) {
      boolean one = flag.channel() >= 0 && flag.channel() < box.strips() && box.strips() > 1;
      int height = one ? box.stripHeight() : box.height();
      int y = frame.y(box.y()) + (one ? flag.channel() * height : 0);
      return new Ground(y, height, frame.top(box.y()));
    }
  }

  /** Behind the waveform, damaged sound is hatched. */
  private static void hatch(
      Raster raster, Palette palette, ClockFrame frame, ClockLayout.Box box, Flag flag) {
    Ground ground = Ground.of(frame, box, flag);
    int top = Math.max(ground.y, ground.top);
    int high = ground.y + ground.height - top;
    int argb = palette.argb(Mark.of(flag.severity()).tone());
    int drawnTo = 0;
    for (Flag.Stretch stretch : stretches(flag, box.item())) {
      int start = frame.scale().pixel(stretch.startSeconds());
      if (start >= raster.width()) {
        break;
      }
      int from = Math.max(start, drawnTo);
      int to = frame.scale().pixel(stretch.endSeconds()) + 1;
      if (to > from) {
        raster.hatch(argb, from, top, to - from, high, frame.px(HATCH), frame.px(1));
        drawnTo = to;
      }
    }
  }

  /** Where a finding is; what has no stretch of its own is all over its clip. */
  private static List<Flag.Stretch> stretches(Flag flag, ClockItem item) {
    return flag.stretches().isEmpty()
        ? List.of(new Flag.Stretch(item.startSeconds(), item.endSeconds()))
        : flag.stretches();
  }

  /**
   * Along the edges of its channel a finding has a bar: both edges, unbroken, for a fault; dashes
   * along the lower one for a warning; dots for a note.
   */
  private void flag(
      Raster raster, Palette palette, ClockFrame frame, ClockLayout.Box box, Flag flag) {
    Ground ground = Ground.of(frame, box, flag);
    int y = ground.y;
    int argb = palette.argb(Mark.of(flag.severity()).tone());
    int bar = frame.px(EDGE_BAR);
    int lower = y + ground.height - bar;
    int drawnTo = 0;
    for (Flag.Stretch stretch : stretches(flag, box.item())) {
      int start = frame.scale().pixel(stretch.startSeconds());
      if (start >= raster.width()) {
        break;
      }
      int end = Math.max(start + 1, frame.scale().pixel(stretch.endSeconds()) + 1);
      int from = Math.max(start, drawnTo);
      int to = Math.min(raster.width(), end);
      if (to <= from) {
        continue;
      }
      drawnTo = to;
      switch (flag.severity()) {
        case FAULT -> {
          clipped(raster, ground.top, argb, from, y, to - from, bar);
          clipped(raster, ground.top, argb, from, lower, to - from, bar);
        }
        case WARNING -> broken(raster, frame, argb, from, to, lower, ground.top, DASH, DASH_GAP);
        case NOTE -> broken(raster, frame, argb, from, to, lower, ground.top, DOT, DOT_GAP);
      }
    }
  }

  private static void broken(
      Raster raster,
      ClockFrame frame,
      int argb,
      int from,
      int to,
      int y,
      int top,
      int on,
      int off) {
    int drawn = frame.px(on);
    for (int x = from; x < to; x += drawn + frame.px(off)) {
      clipped(raster, top, argb, x, y, Math.min(drawn, to - x), frame.px(EDGE_BAR));
    }
  }

  /** The strip at the top: the whole shoot, a line a device, and what of it is seen below. */
  private void wholeShoot(Raster raster, Palette palette, ClockFrame frame) {
    int height = frame.stripHeight();
    ClockModel model = frame.model();
    ClockScale all = ClockScale.fit(model.firstSecond(), model.lastSecond(), raster.width());
    raster.fill(palette.argb(Tone.BAND), 0, 0, raster.width(), height);
    int from = Math.max(0, all.pixel(frame.scale().startSeconds()));
    int to = Math.max(from + frame.px(NARROWEST), all.pixel(frame.scale().endSeconds()));
    raster.fill(palette.argb(Tone.CARD), from, 0, to - from, height);
    int bands = Math.max(1, model.bands().size());
    int room = height - frame.px(4);
    int thick = Math.max(1, Math.min(frame.px(3), room / bands - 1));
    for (int band = 0; band < model.bands().size(); band++) {
      int y = frame.px(2) + band * room / bands;
      for (List<ClockRun> row : model.bands().get(band).rows()) {
        for (ClockRun run : row) {
          int left = all.pixel(run.startSeconds());
          int right = Math.max(left + 1, all.pixel(run.endSeconds()));
          boolean fault = run.worst() == Severity.FAULT;
          raster.fill(palette.argb(Tone.EDGE), left, y, right - left, thick);
          if (fault) {
            raster.fill(palette.argb(Tone.FAULT), left, y - 1, frame.px(STRIP_FAULT), thick + 2);
          }
        }
      }
    }
    if (from > 0 || to < raster.width()) {
      raster.frame(palette.argb(Tone.FOCUS), from, 0, to - from, height, frame.px(2));
    }
    raster.fill(palette.argb(Tone.EDGE), 0, frame.headHeight() - 1, raster.width(), 1);
  }
}
