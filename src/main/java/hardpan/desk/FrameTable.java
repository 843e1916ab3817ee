package hardpan.desk;

import hardpan.desk.clock.ClockField;
import java.lang.management.ManagementFactory;
import java.lang.management.MemoryUsage;
import java.lang.management.OperatingSystemMXBean;
import java.lang.management.ThreadInfo;
import java.lang.management.ThreadMXBean;
import java.util.Arrays;
import java.util.Locale;
import java.util.Optional;

/**
 * How long pictures took, as a table. Intervals depend on what else the machine does; the processor
 * time of the two threads a picture passes through does not.
 */
final class FrameTable {
  /** The toolkit's thread that puts the picture on the screen. */
  private static final String RENDERER = "QuantumRenderer";

  private static final double MEGABYTE = 1 << 20;

  private final ClockField field;
  private final ThreadMXBean threads;
  private final long renderer;
  private final StringBuilder rows = new StringBuilder();
  private double[] draws = new double[0];
  private double[] intervals = new double[0];
  private int count;
  private long drawsBefore;
  private long ownBefore;
  private long rendererBefore;

  /** For a picture; to be used on the window's thread. */
  FrameTable(ClockField field, ThreadMXBean threads) {
    this.field = field;
    this.threads = threads;
    this.renderer =
        Arrays.stream(threads.getThreadInfo(threads.getAllThreadIds()))
            .filter(info -> info != null && info.getThreadName().startsWith(RENDERER))
            .mapToLong(ThreadInfo::getThreadId)
            .findFirst()
            .orElse(-1);
  }

  /** What comes now is counted by itself. */
  void begin(int pictures) {
    draws = new double[pictures];
    intervals = new double[pictures];
    count = 0;
    drawsBefore = field.drawCount();
    ownBefore = threads.getCurrentThreadCpuTime();
    rendererBefore = rendererNanos();
  }

  private long rendererNanos() {
    return renderer < 0 ? -1 : threads.getThreadCpuTime(renderer);
  }

  /** A picture came so many milliseconds after the one before. */
  void picture(double intervalMillis) {
    intervals[count] = intervalMillis;
    draws[count] = field.lastDrawNanos() / 1e6;
    count++;
  }

  /** What has come since {@link #begin} becomes a row. */
  void row(String name) {
    long drawn = field.drawCount() - drawsBefore;
    double own = (threads.getCurrentThreadCpuTime() - ownBefore) / 1e6 / count;
    double other = (rendererNanos() - rendererBefore) / 1e6 / count;
    rows.append(
        String.format(
            Locale.ROOT,
            "| %s | %d | %d | %s | %.1f | %s | %s |%n",
            name,
            count,
            drawn,
            drawn < count / 2 ? "\u2013" : figures(draws),
            own,
            renderer < 0 ? "\u2013" : String.format(Locale.ROOT, "%.1f", other),
            figures(intervals)));
  }

  /** All rows, and what has to be known about them. */
  String text() {
    return head() + rows + circumstances();
  }

  private String head() {
    return String.format(
        Locale.ROOT,
        "Picture of the shoot: %.0f x %.0f pixels in a window of %.0f x %.0f; rendering: %s; glass: %s.%n%n"
            + "| what moves | pictures | drawn | draw, ms: median, 95 %%, 99 %%, largest"
            + " | window's thread, ms a picture | render thread, ms a picture"
            + " | interval, ms: median, 95 %%, 99 %%, largest |%n|---|---|---|---|---|---|---|%n",
        field.getWidth(),
        field.getHeight(),
        WindowFrames.WIDTH,
        WindowFrames.HEIGHT,
        System.getProperty("prism.order"),
        Optional.ofNullable(System.getProperty("glass.platform")).orElse("the system's own"));
  }

  private static String circumstances() {
    OperatingSystemMXBean system = ManagementFactory.getOperatingSystemMXBean();
    ManagementFactory.getMemoryMXBean().gc();
    MemoryUsage heap = ManagementFactory.getMemoryMXBean().getHeapMemoryUsage();
    return String.format(
        Locale.ROOT,
        "%nAt the end, with all of it on show, %.0f MB of Java's memory were in use, of %.0f MB it was given.%n"
            // Other work on the machine makes the intervals longer, so it must be told.
            + "While this was measured the machine's load average was %.1f on %d processors.%n",
        heap.getUsed() / MEGABYTE,
        heap.getMax() / MEGABYTE,
        system.getSystemLoadAverage(),
        system.getAvailableProcessors());
  }

  private static String figures(double[] times) {
    double[] sorted = times.clone();
    Arrays.sort(sorted);
    return String.format(
        Locale.ROOT,
        "%.1f, %.1f, %.1f, %.1f",
        sorted[sorted.length / 2],
        sorted[(int) (sorted.length * 0.95)],
        sorted[(int) (sorted.length * 0.99)],
        sorted[sorted.length - 1]);
  }
}
