package hardpan.desk;

import java.io.File;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.extension.ConditionEvaluationResult;
import org.junit.jupiter.api.extension.ExecutionCondition;
import org.junit.jupiter.api.extension.ExtensionContext;

/**
 * Skips window tests, with a printed reason, on a Linux without the text layout library that JavaFX
 * needs even without a display. Without it the toolkit does not fail, it hangs.
 */
final class TextLayoutPresent implements ExecutionCondition {
  private static final String LIBRARY = "libpangoft2-1.0.so.0";

  @Override
  public ConditionEvaluationResult evaluateExecutionCondition(ExtensionContext context) {
    if (!System.getProperty("os.name").startsWith("Linux")) {
      return ConditionEvaluationResult.enabled("text layout comes with the system");
    }
    List<String> folders =
        new ArrayList<>(
            List.of(System.getProperty("java.library.path").split(File.pathSeparator, -1)));
    // Not every virtual machine lists Debian's folders, but the system's loader knows them.
    folders.add("/usr/lib/x86_64-linux-gnu");
    folders.add("/usr/lib/aarch64-linux-gnu");
    for (String folder : folders) {
      if (Files.exists(Path.of(folder, LIBRARY))) {
        return ConditionEvaluationResult.enabled(LIBRARY + " is in " + folder);
      }
    }
    String reason =
        "Window tests skipped: "
            + LIBRARY
            + " is missing; Debian's package libpangoft2-1.0-0 has it.";
    System.err.println(reason);
    return ConditionEvaluationResult.disabled(reason);
  }
}
