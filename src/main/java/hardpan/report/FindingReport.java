package hardpan.report;

import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * One observed condition of a channel.
 *
 * @param code short name of the condition, lower case with hyphens, such as {@code hum}
 * @param severity how much it matters
 * @param spans where it was observed; empty for the whole channel
 * @param evidence the numbers behind it, in the order given; text, numbers, true or false, null,
 *     lists and maps of these
 * @param says what is wrong, one plain sentence with its numbers
 * @param remedy what to do about it, for this material or the next time; may be empty
 */
public record FindingReport(
    String code,
    Severity severity,
    List<SpanReport> spans,
    Map<String, @Nullable Object> evidence,
    String says,
    String remedy) {
  private static final Pattern CODE = Pattern.compile("[a-z0-9]+(-[a-z0-9]+)*");

  /** Checks the code, copies, and makes the evidence fit for JSON. */
  public FindingReport {
    if (!CODE.matcher(code).matches()) {
      throw new IllegalArgumentException("bad finding code \"" + code + "\"");
    }
    Objects.requireNonNull(severity, "severity");
    Objects.requireNonNull(says, "says");
    Objects.requireNonNull(remedy, "remedy");
    spans = List.copyOf(spans);
    evidence = Numbers.plainMap(evidence);
  }

  /** How much a finding matters, in rising order. */
  public enum Severity implements Word {
    /** Good to know. */
    NOTE,
    /** Listen to it before use. */
    WARNING,
    /** Damaged or missing sound. */
    FAULT
  }
}
