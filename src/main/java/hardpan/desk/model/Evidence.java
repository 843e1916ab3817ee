package hardpan.desk.model;

import hardpan.report.FindingReport;
import hardpan.report.OverloadReport;
import hardpan.report.PairReport;
import hardpan.report.PlacementReport;
import hardpan.report.SpanReport;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** The numbers behind a sentence, in plain words. */
final class Evidence {
  private static final int MOST_PLACES = 12;

  /** Values from 0 to 1 that are said in hundredths. */
  private static final Set<String> SHARES =
      Set.of("confidence", "shareOfActive", "samplesAtCeiling");

  private Evidence() {}

  /** Behind a finding. */
  static Why of(FindingReport finding, String channel) {
    List<String> lines = new ArrayList<>();
    finding.evidence().forEach((key, value) -> add(lines, key, value));
    if (finding.spans().size() > MOST_PLACES) {
      lines.add(Texts.of("why.places-shown", MOST_PLACES, finding.spans().size()));
    }
    if (!lines.isEmpty()) {
      lines.add(0, Texts.of("why.channel", channel));
    }
    return new Why(lines, places(finding.spans()));
  }

  /** Behind the verdict on too hot a feed. */
  static Why of(OverloadReport overload) {
    List<String> lines = new ArrayList<>();
    add(lines, "excessDb", overload.excessDb());
    add(lines, "padDb", overload.padDb());
    add(lines, "confidence", overload.confidence());
    return new Why(lines, List.of());
  }

  /** Behind the verdict on left and right. */
  static Why of(PairReport pair) {
    List<String> lines = new ArrayList<>();
    add(lines, "correlation", pair.correlation());
    add(lines, "gainDifferenceDb", pair.gainDifferenceDb());
    add(lines, "lagSeconds", pair.lagSeconds());
    add(lines, "bleedDb", pair.bleedDb());
    add(lines, "confidence", pair.confidence());
    return new Why(lines, List.of());
  }

  /** Behind a place. */
  static Why of(PlacementReport placement) {
    List<String> lines = new ArrayList<>();
    add(lines, "offsetSeconds", placement.offsetSeconds());
    add(lines, "driftPpm", placement.driftPpm());
    add(lines, "residualMs", placement.residualMs());
    add(lines, "overlapSeconds", placement.overlapSeconds());
    add(lines, "inverted", placement.inverted());
    add(lines, "via", placement.via());
    add(lines, "confidence", placement.confidence());
    return new Why(lines, List.of());
  }

  /** Both, one after the other. */
  static Why both(Why one, Why other) {
    List<String> lines = new ArrayList<>(one.lines());
    lines.addAll(other.lines());
    List<Why.Place> places = new ArrayList<>(one.places());
    other.places().stream().filter(place -> !places.contains(place)).forEach(places::add);
    return new Why(lines, places);
  }

  /** Stretches that can be gone to; the first ones if there are many. */
  static List<Why.Place> places(List<SpanReport> spans) {
    return spans.stream()
        .limit(MOST_PLACES)
        .map(
            span ->
                new Why.Place(
                    span.startSeconds(),
                    Texts.of(
                        "why.place",
                        Times.clock(span.startSeconds(), 1),
                        Times.clock(span.endSeconds(), 1))))
        .toList();
  }

  private static void add(List<String> lines, String key, @Nullable Object value) {
    if (key.equals("standIns") && value instanceof List<?> list) {
      list.forEach(item -> addStandIn(lines, item));
      return;
    }
    String words = words(key, value);
    if (!words.isEmpty()) {
      lines.add(label(key) + ": " + words);
    }
  }

  private static void addStandIn(List<String> lines, @Nullable Object item) {
    if (lines.size() < 3 * MOST_PLACES
        && item instanceof Map<?, ?> map
        && map.get("startSeconds") instanceof Number start
        && map.get("endSeconds") instanceof Number end
        && map.get("cleanCopies") instanceof List<?> copies) {
      String stretch =
          Texts.of(
              "why.place", Times.clock(start.doubleValue(), 1), Times.clock(end.doubleValue(), 1));
      lines.add(
          copies.isEmpty()
              ? Texts.of("why.no-copy", stretch)
              : Texts.of(
                  "why.copy",
                  stretch,
                  String.join(", ", copies.stream().map(String::valueOf).toList())));
    }
  }

  /** What a key means, or the key's own words for one that is new. */
  private static String label(String key) {
    if (key.matches("section[0-9]+")) {
      return Texts.of("why.section", key.substring("section".length()));
    }
    String plain = key.replaceAll("([A-Z])", "-$1").toLowerCase(Locale.ROOT);
    String text = "why." + plain;
    return Texts.has(text) ? Texts.of(text) : plain.replace('-', ' ');
  }

  private static String words(String key, @Nullable Object value) {
    if (value == null) {
      return "";
    }
    if (value instanceof Boolean yes) {
      return Texts.of(yes ? "why.yes" : "why.no");
    }
    if (value instanceof List<?> list) {
      return String.join(", ", list.stream().map(String::valueOf).toList());
    }
    if (!(value instanceof Number number)) {
      return String.valueOf(value);
    }
    double amount = number.doubleValue();
    if (SHARES.contains(key)) {
      // Rounded down as in the sentences, so that nothing but 1 reads as certain.
      return (int) Math.floor(100 * amount + 1e-9) + " %";
    }
    String unit = unit(key);
    boolean whole = amount == Math.rint(amount) && Math.abs(amount) < 1e9;
    int decimals = whole ? 0 : Math.abs(amount) >= 10 ? 1 : Math.abs(amount) >= 0.1 ? 2 : 4;
    return Numbers.plain(amount, key.equals("offsetSeconds") ? 6 : decimals) + unit;
  }

  private static String unit(String key) {
    return key.endsWith("Dbfs")
        ? " dBFS"
        : key.endsWith("Dbtp")
            ? " dBTP"
            : key.endsWith("Db")
                ? " dB"
                : key.endsWith("Seconds") || key.equals("seconds")
                    ? " s"
                    : key.endsWith("Ms")
                        ? " ms"
                        : key.endsWith("Hz") ? " Hz" : key.endsWith("Ppm") ? " ppm" : "";
  }
}
