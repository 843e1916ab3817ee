package hardpan.desk.clock;

import hardpan.desk.model.ClockLayout;
import hardpan.desk.model.ClockModel;
import hardpan.desk.model.ClockScale;
import hardpan.shoot.FineWaves;
import java.util.List;

/**
 * What is to be drawn, in pixels of the screen.
 *
 * @param model the shoot
 * @param layout how high everything lies
 * @param scale which stretch of time is seen
 * @param scroll how much of the bands is above the picture
 * @param pinned how much of the layout, from its top, does not scroll; 0 for nothing
 * @param density pixels of the screen in one of the window's
 * @param fine waveforms read from the sound
 */
record ClockFrame(
    ClockModel model,
    ClockLayout layout,
    ClockScale scale,
    int scroll,
    int pinned,
    double density,
    FineWaves fine) {
  private static final int STRIP_HEIGHT = 16;
  private static final int TIMES_HEIGHT = 22;

  /** With the time of day below the time since the reference began. */
  private static final int BOTH_TIMES_HEIGHT = 36;

  /** A length of the window in pixels of the screen. */
  int px(double inWindow) {
    return (int) Math.round(inWindow * density);
  }

  /** Height of the strip of the whole shoot. */
  int stripHeight() {
    return px(STRIP_HEIGHT);
  }

  /** Height of all that stays when the bands are scrolled. */
  int headHeight() {
    return headHeight(model, density);
  }

  static int headHeight(ClockModel model, double density) {
    int times = model.dayClock().isPresent() ? BOTH_TIMES_HEIGHT : TIMES_HEIGHT;
    return (int) (Math.round(STRIP_HEIGHT * density) + Math.round(times * density));
  }

  /** Whether something of the layout stays when the rest is scrolled. */
  boolean isPinned(int inLayout) {
    return inLayout < pinned;
  }

  /** Where something of the layout is in the picture; it may lie above its {@link #top}. */
  int y(int inLayout) {
    return inLayout - (isPinned(inLayout) ? 0 : scroll) + headHeight();
  }

  /**
   * Where the name of a band stands: with the band, or at the edge below which it goes by as long
   * as any of it is seen.
   *
   * @param number which of the layout's headings
   */
  int headingY(int number) {
    List<ClockLayout.Heading> headings = layout.headings();
    ClockLayout.Heading heading = headings.get(number);
    int end = number + 1 < headings.size() ? headings.get(number + 1).y() : layout.height();
    int own = y(heading.y());
    return isPinned(heading.y())
        ? own
        : Math.max(own, Math.min(top(heading.y()), y(end) - heading.height()));
  }

  /** Down to where a name that stands at the edge covers what goes by below it. */
  int coveredTo() {
    int to = headHeight() + pinned;
    for (int i = 0; i < layout.headings().size(); i++) {
      if (headingY(i) > y(layout.headings().get(i).y())) {
        to = Math.max(to, headingY(i) + layout.headings().get(i).height());
      }
    }
    return to;
  }

  /** Above this nothing is seen of what begins at a height of the layout. */
  int top(int inLayout) {
    return headHeight() + (isPinned(inLayout) ? 0 : pinned);
  }
}
