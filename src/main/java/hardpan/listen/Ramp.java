package hardpan.listen;

/**
 * A factor that never jumps: from where it is it goes to its aim in a straight line over a set
 * time, also when the aim changes on the way.
 */
final class Ramp {
  private double now;
  private double aim;
  private double step;

  /** Begins at 0. */
  Ramp() {}

  /**
   * Sets the aim; nothing changes if it is the aim already.
   *
   * @param factor 0 or more
   * @param frames how long the way there is, at least 1
   */
  void aimAt(double factor, int frames) {
    if (factor != aim) {
      aim = factor;
      step = (aim - now) / frames;
    }
  }

  /** The factor of the next frame. */
  double next() {
    double next = now + step;
    boolean there = step >= 0 ? next >= aim : next <= aim;
    now = there ? aim : next;
    return now;
  }

  /** Whether it has come to 0. */
  boolean isSilent() {
    return now == 0 && aim == 0;
  }
}
