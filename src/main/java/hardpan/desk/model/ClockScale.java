package hardpan.desk.model;

/**
 * Which stretch of the reference's clock is seen. Pixels are those of the screen, of which a dense
 * one has more than the window counts.
 *
 * @param startSeconds the moment at the left edge
 * @param secondsPerPixel above 0
 * @param pixels width of the picture, at least 1
 */
public record ClockScale(double startSeconds, double secondsPerPixel, int pixels) {
  /** A sample at 48 kHz is this wide at the closest. */
  private static final double WIDEST_SAMPLE_PIXELS = 24;

  private static final double SAMPLE_SECONDS = 1 / 48_000.0;
  private static final double MARGIN = 0.02;

  /** Checks. */
  public ClockScale {
    if (!(secondsPerPixel > 0) || Double.isNaN(startSeconds) || pixels < 1) {
      throw new IllegalArgumentException(startSeconds + " " + secondsPerPixel + " " + pixels);
    }
  }

  /** All of a stretch, with a little room at both ends. */
  public static ClockScale fit(double firstSecond, double lastSecond, int pixels) {
    double length = Math.max(lastSecond - firstSecond, 64 * SAMPLE_SECONDS);
    double margin = MARGIN * length;
    return new ClockScale(firstSecond - margin, (length + 2 * margin) / pixels, pixels);
  }

  /** The pixel of a moment, with its part; may lie outside. */
  public double x(double seconds) {
    return (seconds - startSeconds) / secondsPerPixel;
  }

  /** The whole pixel of a moment, kept within a screen or so of the picture. */
  public int pixel(double seconds) {
    return (int) Math.max(-pixels, Math.min(2.0 * pixels, Math.floor(x(seconds) + 1e-6)));
  }

  /** The moment at a pixel. */
  public double seconds(double x) {
    return startSeconds + x * secondsPerPixel;
  }

  /** The moment at the right edge. */
  public double endSeconds() {
    return seconds(pixels);
  }

  /**
   * Closer or farther; the moment under a pixel stays under it.
   *
   * @param factor above 1 is closer
   */
  public ClockScale zoomed(double factor, double x, ClockModel model) {
    double widest = fit(model.firstSecond(), model.lastSecond(), pixels).secondsPerPixel;
    double closest = Math.min(widest, SAMPLE_SECONDS / WIDEST_SAMPLE_PIXELS);
    double wanted = Math.max(closest, Math.min(widest, secondsPerPixel / factor));
    return new ClockScale(seconds(x) - x * wanted, wanted, pixels).within(model);
  }

  /** Farther along by so many pixels, as far as there is something. */
  public ClockScale moved(double byPixels, ClockModel model) {
    return new ClockScale(seconds(byPixels), secondsPerPixel, pixels).within(model);
  }

  /** With a moment in the middle. */
  public ClockScale centred(double seconds, ClockModel model) {
    return new ClockScale(seconds - pixels * secondsPerPixel / 2, secondsPerPixel, pixels)
        .within(model);
  }

  /** For another width; the left edge stays, and all of it if all was seen. */
  public ClockScale sized(int newPixels, ClockModel model) {
    ClockScale all = fit(model.firstSecond(), model.lastSecond(), pixels);
    return secondsPerPixel >= all.secondsPerPixel * (1 - 1e-9)
        ? fit(model.firstSecond(), model.lastSecond(), newPixels)
        : new ClockScale(startSeconds, secondsPerPixel, newPixels).within(model);
  }

  private ClockScale within(ClockModel model) {
    ClockScale all = fit(model.firstSecond(), model.lastSecond(), pixels);
    double latest = Math.max(all.startSeconds, all.endSeconds() - pixels * secondsPerPixel);
    double start = Math.max(all.startSeconds, Math.min(latest, startSeconds));
    return new ClockScale(start, secondsPerPixel, pixels);
  }

  /** Whether a moment is seen. */
  public boolean shows(double seconds) {
    return seconds >= startSeconds && seconds < endSeconds();
  }
}
