package hardpan.bench;

import hardpan.lineup.Placement;
import hardpan.lineup.Placement.State;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import org.jspecify.annotations.Nullable;

/**
 * What became of trials, kept in a file line by line, so that a long run can be cut and go on
 * later. The trials themselves are drawn again from the set's number and their own.
 */
final class LineUpResults {
  private static final String HEADER = "hardpan line-up trials 1, set ";
  private static final int FIELDS = 12;

  private final Path file;
  private final Map<Integer, LineUpOutcome> found = new TreeMap<>();

  /**
   * Opens the file; begins it if it is not there.
   *
   * @throws IOException if it cannot be used, or holds another set
   */
  LineUpResults(Path file, long set, ReferencePool pool) throws IOException {
    this.file = file;
    String header = HEADER + set;
    if (!Files.exists(file)) {
      Files.writeString(file, header + "\n", StandardCharsets.UTF_8);
      return;
    }
    List<String> lines = Files.readAllLines(file, StandardCharsets.UTF_8);
    if (lines.isEmpty() || !lines.get(0).equals(header)) {
      throw new IOException(file + " does not hold results of set " + set);
    }
    for (String line : lines.subList(1, lines.size())) {
      String[] fields = line.split("\t", -1);
      // A line that was cut short by the end of a run is done again.
      if (fields.length == FIELDS) {
        LineUpOutcome outcome = outcome(fields, set, pool);
        found.put(outcome.trial().number(), outcome);
      }
    }
    if (!Files.readString(file, StandardCharsets.UTF_8).endsWith("\n")) {
      Files.writeString(file, "\n", StandardCharsets.UTF_8, StandardOpenOption.APPEND);
    }
  }

  boolean has(int number) {
    return found.containsKey(number);
  }

  /** Adds one at the file's end. */
  synchronized void add(LineUpOutcome outcome) throws IOException {
    found.put(outcome.trial().number(), outcome);
    Placement placement = outcome.placement();
    List<String> fields =
        List.of(
            Integer.toString(outcome.trial().number()),
            Double.toString(outcome.offsetSeconds()),
            Double.toString(outcome.commonSeconds()),
            Boolean.toString(outcome.roomSound()),
            Double.toString(outcome.referenceSeconds()),
            placement.state().name(),
            text(placement.offsetSeconds()),
            text(placement.driftPpm()),
            Boolean.toString(placement.inverted()),
            Double.toString(placement.confidence()),
            Double.toString(outcome.placeSeconds()),
            placement.why().replace('\t', ' ').replace('\n', ' '));
    Files.writeString(
        file,
        String.join("\t", fields) + "\n",
        StandardCharsets.UTF_8,
        StandardOpenOption.CREATE,
        StandardOpenOption.APPEND);
  }

  /** Those from a number on, in order, up to the first that is missing. */
  List<LineUpOutcome> from(int first) {
    List<LineUpOutcome> outcomes = new ArrayList<>();
    for (int number = first; ; number++) {
      LineUpOutcome outcome = found.get(number);
      if (outcome == null) {
        return outcomes;
      }
      outcomes.add(outcome);
    }
  }

  private static LineUpOutcome outcome(String[] fields, long set, ReferencePool pool) {
    Placement placement =
        new Placement(
            State.valueOf(fields[5]),
            number(fields[6]),
            number(fields[7]),
            Boolean.parseBoolean(fields[8]),
            Double.parseDouble(fields[9]),
            null,
            null,
            null,
            null,
            fields[11],
            List.of());
    return new LineUpOutcome(
        LineUpTrial.of(set, Integer.parseInt(fields[0]), pool),
        Double.parseDouble(fields[1]),
        Double.parseDouble(fields[2]),
        Boolean.parseBoolean(fields[3]),
        Double.parseDouble(fields[4]),
        placement,
        Double.parseDouble(fields[10]));
  }

  private static String text(@Nullable Double value) {
    return value == null ? "" : value.toString();
  }

  private static @Nullable Double number(String text) {
    return text.isEmpty() ? null : (Double) Double.parseDouble(text);
  }
}
