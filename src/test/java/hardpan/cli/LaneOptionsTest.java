package hardpan.cli;

import static org.assertj.core.api.Assertions.assertThat;

import hardpan.shoot.ShootSamples;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.stream.Stream;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Decisions about single lanes from the command line. */
@NullUnmarked
class LaneOptionsTest {
  @TempDir Path folder;
  private Path supper;

  @BeforeEach
  void make() throws Exception {
    supper = ShootSamples.harvestSupper(folder.resolve("supper"));
  }

  private List<String> lanes(String target) throws Exception {
    try (Stream<Path> files = Files.list(folder.resolve(target).resolve("lanes"))) {
      return files.map(file -> file.getFileName().toString()).sorted().toList();
    }
  }

  @Test
  void lanesAreNamedLeftOutAndKeptApart() throws Exception {
    Path file = folder.resolve("shoot.hardpan");
    CliRun run =
        CliRun.of(
            "split",
            supper,
            "--out",
            folder.resolve("one"),
            "--shoot",
            file,
            "--lane",
            "CAM-A:1=Anna",
            "--lane",
            "a1.mov:2=Bo",
            "--role",
            "CAM-A:1=lectern",
            "--write",
            "REC:2=no",
            "--pair",
            "CAM-B=both",
            "--samples",
            "pcm24",
            "--json");
    assertThat(run.code()).as(run.err()).isZero();
    assertThat(lanes("one"))
        .containsExactly(
            "CAM-A_1_Anna.wav",
            "CAM-A_1_Bo.wav",
            "CAM-B_1_left.wav",
            "CAM-B_1_right.wav",
            "REC_1_left.wav");
    String written = run.out().substring(run.out().indexOf("\"lanes\": ["));
    assertThat(written).contains("\"role\": \"lectern\"").doesNotContain("Sample\": 16");
    // Kept, and only what is said anew goes over it.
    CliRun again =
        CliRun.of(
            "split",
            supper,
            "--out",
            folder.resolve("two"),
            "--shoot",
            file,
            "--lane",
            "CAM-A:1=Ane",
            "--pair",
            "CAM-B=one");
    assertThat(again.code()).as(again.err()).isZero();
    assertThat(lanes("two"))
        .containsExactly("CAM-A_1_Ane.wav", "CAM-A_1_Bo.wav", "CAM-B_1_mono.wav", "REC_1_left.wav");
  }

  @Test
  void nothingLeftToWriteIsRefused() throws Exception {
    CliRun run =
        CliRun.of(
            "split",
            supper.resolve("CAM-B"),
            "--out",
            folder.resolve("one"),
            "--write",
            "b1.mp4:1=no");
    assertThat(run.code()).isEqualTo(ExitCode.USAGE);
    assertThat(run.err()).contains("No lane is left to write");
    assertThat(folder.resolve("one")).doesNotExist();
  }

  @ParameterizedTest
  @CsvSource({
    "--lane, CAM-A=Anna",
    "--lane, CAM-A:0=Anna",
    "--lane, CAM-A:1=",
    "--lane, NOBODY:1=Anna",
    "--write, CAM-A:1=perhaps",
    "--pair, CAM-A=two",
    "--pair, both",
    "--samples, pcm20"
  })
  void whatMakesNoSenseIsRefused(String option, String value) {
    CliRun run = CliRun.of("split", supper, "--out", folder.resolve("one"), option, value);
    assertThat(run.code()).isEqualTo(ExitCode.USAGE);
    assertThat(run.err().strip()).isNotEmpty();
    assertThat(folder.resolve("one")).doesNotExist();
  }
}
