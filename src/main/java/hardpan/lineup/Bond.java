package hardpan.lineup;

/**
 * Two sources whose common sound was matched: the straight line that leads from the seconds of one
 * to those of the other, and how well it is known.
 *
 * @param source id of the source that was placed
 * @param host id of the source it was placed on
 * @param placement what the match says; placed
 * @param centreSeconds middle of the measured windows in the source
 * @param hostSeconds the same moment in the host
 * @param drift growth of the delay in a second of the source
 * @param deviationSeconds standard deviation of {@code hostSeconds}, from the scatter of the
 *     windows
 * @param driftDeviation standard deviation of {@code drift}
 * @param strength number of windows that agree; what the bond counts against others
 */
record Bond(
    String source,
    String host,
    Placement placement,
    double centreSeconds,
    double hostSeconds,
    double drift,
    double deviationSeconds,
    double driftDeviation,
    double strength) {
  private static final double LEAST_SCATTER_SECONDS = 2e-6;
  private static final double PRIOR_DEVIATION = 40e-6;

  /**
   * The bond of a match.
   *
   * @throws IllegalArgumentException if the placement has no offset or no drift
   */
  static Bond of(String source, String host, Placement placement) {
    Double offset = placement.offsetSeconds();
    Double driftPpm = placement.driftPpm();
    if (offset == null || driftPpm == null) {
      throw new IllegalArgumentException("a bond needs a place");
    }
    double mean = 0;
    int count = 0;
    for (Placement.Window window : placement.windows()) {
      if (window.counted()) {
        mean += window.sourceSeconds();
        count++;
      }
    }
    mean /= Math.max(1, count);
    double spread = 0;
    for (Placement.Window window : placement.windows()) {
      if (window.counted()) {
        spread += (window.sourceSeconds() - mean) * (window.sourceSeconds() - mean);
      }
    }
    Double residualMs = placement.residualMs();
    double scatter = Math.max(residualMs == null ? 1e-3 : residualMs / 1000, LEAST_SCATTER_SECONDS);
    double drift = driftPpm * 1e-6;
    return new Bond(
        source,
        host,
        placement,
        mean,
        offset + mean * (1 + drift),
        drift,
        scatter / Math.sqrt(Math.max(1, count)),
        1 / Math.sqrt(spread / (scatter * scatter) + 1 / (PRIOR_DEVIATION * PRIOR_DEVIATION)),
        Math.max(1, count));
  }

  boolean joins(String id) {
    return source.equals(id) || host.equals(id);
  }

  String other(String id) {
    return source.equals(id) ? host : source;
  }

  /** The line of the source when that of the host is known. */
  Clock sourceClock(Clock hostClock) {
    double scale = hostClock.scale() * (1 + drift);
    return new Clock(hostClock.at(hostSeconds) - scale * centreSeconds, scale);
  }

  /** The line of the host when that of the source is known. */
  Clock hostClock(Clock sourceClock) {
    double scale = sourceClock.scale() / (1 + drift);
    return new Clock(sourceClock.at(centreSeconds) - scale * hostSeconds, scale);
  }

  /** By how much two lines miss this bond, in seconds, with sign. */
  double mismatch(Clock sourceClock, Clock hostClock) {
    return sourceClock.at(centreSeconds) - hostClock.at(hostSeconds);
  }

  /**
   * Where a source's seconds lie on the reference.
   *
   * @param offsetSeconds reference seconds at its second 0
   * @param scale reference seconds in one of its own
   */
  record Clock(double offsetSeconds, double scale) {
    static final Clock REFERENCE = new Clock(0, 1);

    double at(double seconds) {
      return offsetSeconds + scale * seconds;
    }

    double driftPpm() {
      return (scale - 1) * 1e6;
    }
  }
}
