package hardpan.cli;

import static org.junit.jupiter.api.Assertions.assertFalse;

import java.io.PrintWriter;
import java.io.StringWriter;
import java.util.Arrays;
import java.util.regex.Pattern;
import org.jspecify.annotations.NullUnmarked;

/**
 * What one call of the command line gave.
 *
 * @param code exit code
 * @param out standard output
 * @param err standard error
 */
@NullUnmarked
record CliRun(int code, String out, String err) {
  /** Package or class names of Java and stack traces have no place in what a person reads. */
  private static final Pattern JAVA =
      Pattern.compile(
          "\\b(java|javax|hardpan|org|picocli)\\.[a-z]+\\.|\\b[A-Z][A-Za-z]+(Exception|Error)\\b"
              + "|\\tat |\\bnull\\b|NaN\\b|Infinity");

  /** Runs it; paths and texts are taken as they print. */
  static CliRun of(Object... arguments) {
    return on(false, arguments);
  }

  /** Runs it as on a terminal, with progress. */
  static CliRun on(boolean terminal, Object... arguments) {
    StringWriter out = new StringWriter();
    StringWriter err = new StringWriter();
    PrintWriter errors = new PrintWriter(err, true);
    int code =
        Hardpan.run(
            new Terminal(new PrintWriter(out), errors, terminal),
            errors,
            Arrays.stream(arguments).map(Object::toString).toArray(String[]::new));
    return new CliRun(code, out.toString(), err.toString());
  }

  /** Output with its line breaks taken out, so that sentences can be looked for. */
  String text() {
    return (out + "\n" + err).replaceAll("\\s+", " ");
  }

  /** Nothing of the machinery shows; JSON is full of nulls and passes. */
  CliRun plain() {
    if (!out.startsWith("{")) {
      assertFalse(JAVA.matcher(out).find(), out);
    }
    assertFalse(JAVA.matcher(err).find(), err);
    return this;
  }
}
