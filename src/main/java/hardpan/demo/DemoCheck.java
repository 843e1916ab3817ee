package hardpan.demo;

import hardpan.demo.DemoTruth.ChannelTruth;
import hardpan.demo.DemoTruth.PlacementTruth;
import hardpan.demo.DemoTruth.SourceTruth;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/** Compares what was found about a made shoot with the truth. Pure. */
public final class DemoCheck {
  private static final String NOTHING = "nothing";

  private DemoCheck() {}

  /**
   * What was found about one file, in the words of the report.
   *
   * @param state placement state; null for none
   * @param offsetSeconds null if unknown
   * @param driftPpm null if unknown
   * @param inverted polarity against the reference; null if unknown
   * @param pair pair verdict; null for none
   * @param overloads overload verdict of each channel
   */
  public record Found(
      @Nullable String state,
      @Nullable Double offsetSeconds,
      @Nullable Double driftPpm,
      @Nullable Boolean inverted,
      @Nullable String pair,
      List<String> overloads) {
    /** Copies the list. */
    public Found {
      overloads = List.copyOf(overloads);
    }
  }

  /**
   * One answer compared.
   *
   * @param path the file
   * @param question {@code placement}, {@code pair} or {@code overload}
   * @param expected the truth
   * @param got what was found
   * @param startErrorMs how much later than true the clip's start was placed; null if there is no
   *     place to compare
   * @param middleErrorMs the same in the middle of the clip
   * @param endErrorMs the same at its end
   * @param ok whether the answer is right and, for a place, all three errors are small enough
   */
  public record Row(
      String path,
      String question,
      String expected,
      String got,
      @Nullable Double startErrorMs,
      @Nullable Double middleErrorMs,
      @Nullable Double endErrorMs,
      boolean ok) {}

  /**
   * Compares.
   *
   * @param found by path as in the truth; a missing path counts as wrong, an extra one is ignored
   * @return in the truth's order, for each file its placement, pair and overload
   */
  public static List<Row> compare(DemoTruth truth, Map<String, Found> found) {
    List<Row> rows = new ArrayList<>();
    Found nobody = new Found(null, null, null, null, null, List.of());
    for (SourceTruth source : truth.sources()) {
      Found one = found.get(source.path());
      rows.add(placement(source, one == null ? nobody : one, one == null));
      if (source.pair() != null) {
        String got = one == null ? null : one.pair();
        rows.add(words(source, "pair", source.pair(), Objects.requireNonNullElse(got, NOTHING)));
      }
      rows.add(overload(source, one == null ? nobody : one));
    }
    return rows;
  }

  private static Row placement(SourceTruth source, Found found, boolean missing) {
    PlacementTruth truth = source.placement();
    if (truth == null) {
      boolean ok = !missing && found.state() == null;
      String got = missing ? "missing" : ok ? "reference" : String.valueOf(found.state());
      return new Row(source.path(), "placement", "reference", got, null, null, null, ok);
    }
    String expected = describe(truth.state(), truth.offsetSeconds(), truth.driftPpm());
    String state = Objects.requireNonNullElse(found.state(), missing ? "missing" : NOTHING);
    String got = describe(state, found.offsetSeconds(), found.driftPpm());
    Double offset = truth.offsetSeconds();
    Double drift = truth.driftPpm();
    Double tolerance = truth.toleranceMs();
    Double foundOffset = found.offsetSeconds();
    if (offset == null || drift == null || tolerance == null || foundOffset == null) {
      boolean ok = state.equals(truth.state()) && offset == null;
      return new Row(source.path(), "placement", expected, got, null, null, null, ok);
    }
    double driftError = (found.driftPpm() == null ? 0 : found.driftPpm()) - drift;
    double startMs = (foundOffset - offset) * 1e3;
    double endMs = startMs + source.durationSeconds() * driftError * 1e-3;
    double middleMs = (startMs + endMs) / 2;
    boolean near = Math.abs(startMs) <= tolerance && Math.abs(endMs) <= tolerance;
    boolean upright =
        truth.inverted() == null || Objects.equals(truth.inverted(), found.inverted());
    boolean ok = state.equals(truth.state()) && near && upright;
    String said = upright ? got : got + ", polarity " + polarity(found.inverted());
    return new Row(source.path(), "placement", expected, said, startMs, middleMs, endMs, ok);
  }

  private static String polarity(@Nullable Boolean inverted) {
    return inverted == null ? "unknown" : inverted ? "inverted" : "upright";
  }

  private static String describe(
      String state, @Nullable Double offsetSeconds, @Nullable Double driftPpm) {
    if (offsetSeconds == null) {
      return state;
    }
    String place = String.format(Locale.ROOT, "%s at %.6f s", state, offsetSeconds);
    return driftPpm == null ? place : place + String.format(Locale.ROOT, ", %+.2f ppm", driftPpm);
  }

  private static Row overload(SourceTruth source, Found found) {
    List<String> expected = source.channels().stream().map(ChannelTruth::overload).toList();
    String got = found.overloads().isEmpty() ? NOTHING : String.join(", ", found.overloads());
    return words(source, "overload", String.join(", ", expected), got);
  }

  private static Row words(SourceTruth source, String question, String expected, String got) {
    return new Row(source.path(), question, expected, got, null, null, null, expected.equals(got));
  }
}
