package hardpan.desk;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.File;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The program as a process of its own on a machine without a screen. */
class NoScreenTest {
  /** Only here can the screen be taken away by the environment. */
  @EnabledOnOs(OS.LINUX)
  @ParameterizedTest
  @ValueSource(strings = {"", "desk", "desk somewhere"})
  void oneSentenceAndExitCodeThree(String arguments, @TempDir Path folder) throws Exception {
    Path errors = folder.resolve("errors.txt");
    Path output = folder.resolve("output.txt");
    List<String> command = new ArrayList<>();
    command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
    if (Runtime.version().feature() >= 24) {
      // As the manifest of the packaged program says.
      command.add("--enable-native-access=ALL-UNNAMED");
    }
    command.add("-cp");
    command.add(
        System.getProperty("surefire.test.class.path", System.getProperty("java.class.path")));
    command.add("hardpan.Main");
    ProcessBuilder builder = new ProcessBuilder(command);
    if (!arguments.isEmpty()) {
      builder.command().addAll(List.of(arguments.split(" ", -1)));
    }
    builder.environment().remove("DISPLAY");
    builder.environment().remove("WAYLAND_DISPLAY");
    builder.redirectError(errors.toFile()).redirectOutput(output.toFile());
    builder.directory(new File("."));
    Process process = builder.start();
    assertTrue(process.waitFor(60, TimeUnit.SECONDS), "it hangs");
    List<String> said = Files.readAllLines(errors, StandardCharsets.UTF_8);
    assertEquals(1, said.size(), said.toString());
    assertTrue(said.get(0).startsWith("hardpan: The window needs a screen"), said.get(0));
    assertEquals(3, process.exitValue());
    assertEquals(0, Files.size(output));
  }
}
