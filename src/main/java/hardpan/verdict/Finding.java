package hardpan.verdict;

import hardpan.base.Span;
import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * One observed condition on a channel.
 *
 * @param code a short word of ours, stable
 * @param severity note, warning or fault
 * @param spans where, in frames of the source; empty for the whole source
 * @param evidence the numbers behind it, in a fixed order
 * @param says one sentence
 * @param remedy what to do, one sentence
 */
public record Finding(
    String code,
    Severity severity,
    List<Span> spans,
    Map<String, @Nullable Object> evidence,
    String says,
    String remedy) {
  /** Copies the collections. */
  public Finding {
    spans = List.copyOf(spans);
    evidence = Collections.unmodifiableMap(new LinkedHashMap<>(evidence));
  }

  /** How bad. */
  public enum Severity {
    NOTE,
    WARNING,
    FAULT
  }
}
