package hardpan.report;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;

/** A whole shoot in a few plain sentences. */
final class ShootSentences {
  private ShootSentences() {}

  /** What was found in all, the worst of it first: one to five sentences. */
  static List<String> overview(Report report) {
    List<String> sentences = new ArrayList<>();
    String worst = worst(report);
    if (!worst.isEmpty()) {
      sentences.add(worst);
    }
    sentences.add(counts(report));
    if (report.reference() != null) {
      sentences.add("All times are on the clock of the reference, " + report.reference() + ".");
    }
    if (!report.lanes().isEmpty()) {
      long adrift =
          report.lanes().stream()
              .filter(lane -> lane.startFrameOnReference() == null)
              .map(lane -> lane.file() + "|" + lane.fileChannel())
              .distinct()
              .count();
      sentences.add(
          Figures.count(report.trackCount(), "lane was", "lanes were")
              + " written"
              + (adrift == 0 ? "." : ", " + adrift + " of them without a place on the reference."));
    }
    return sentences;
  }

  /** How many sources have faults or no place of their own; empty if none has. */
  private static String worst(Report report) {
    int faulty = 0;
    int without = 0;
    for (SourceReport source : report.sources()) {
      PlacementReport placement = source.placement();
      if (Standing.of(report, source) == Standing.UNPLACED
          && placement != null
          && !placement.wasLeftOut()) {
        without++;
      }
      if (FirstLooks.of(source).stream()
          .anyMatch(look -> look.severity() == FindingReport.Severity.FAULT)) {
        faulty++;
      }
    }
    List<String> parts = new ArrayList<>();
    if (faulty > 0) {
      parts.add(
          faulty
              + " of "
              + Figures.count(report.sources().size(), "source", "sources")
              + (faulty == 1 ? " has faults" : " have faults"));
    }
    if (without > 0) {
      parts.add(without + (without == 1 ? " has no place" : " have no place"));
    }
    return parts.isEmpty() ? "" : String.join(", ", parts) + ".";
  }

  private static String counts(Report report) {
    if (report.sources().isEmpty()) {
      return "No source was found.";
    }
    Map<Standing, Integer> numbers = new EnumMap<>(Standing.class);
    int byHand = 0;
    for (SourceReport source : report.sources()) {
      Standing standing = Standing.of(report, source);
      numbers.merge(standing, 1, Integer::sum);
      PlacementReport placement = source.placement();
      if (standing == Standing.PLACED
          && placement != null
          && placement.basis() == PlacementReport.Basis.HAND) {
        byHand++;
      }
    }
    int found = numbers.getOrDefault(Standing.PLACED, 0) - byHand;
    List<String> places = new ArrayList<>();
    if (found > 0) {
      places.add(found + " placed on it");
    }
    if (byHand > 0) {
      places.add(byHand + " placed by hand");
    }
    List<String> parts = new ArrayList<>();
    numbers.forEach(
        (standing, number) ->
            parts.add(
                switch (standing) {
                  case REFERENCE -> "the reference";
                  case PLACED -> String.join(", ", places);
                  case AMBIGUOUS ->
                      number + (number == 1 ? " fits" : " fit") + " in more than one place";
                  case UNPLACED -> number + " found no place";
                  case NOT_LINED_UP -> number + " not lined up";
                  case UNREADABLE -> number + " cannot be read";
                }));
    return Figures.count(report.sources().size(), "source", "sources")
        + ": "
        + String.join(", ", parts)
        + ".";
  }
}
