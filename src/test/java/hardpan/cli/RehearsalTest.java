package hardpan.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class RehearsalTest {
  @Test
  void goesThroughSplittingAndHandingOver(@TempDir Path folder) throws Exception {
    Rehearsal.main(new String[] {folder.toString()});
    assertThat(folder.resolve("split/checksums.txt")).exists();
    assertThat(folder.resolve("whole/report.json")).exists();
  }
}
