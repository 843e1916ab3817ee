package hardpan.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertThrows;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.demo.DemoTruth.PlacementTruth;
import hardpan.demo.DemoTruth.SourceTruth;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The committed truth, and the file it lives in. */
class DemoTruthTest {
  private static final Path COMMITTED =
      Path.of("sample-media", DemoShoot.NAME, "truth.json").toAbsolutePath();

  @Test
  void generatorYieldsExactlyTheCommittedTruth() throws IOException {
    assertEquals(Files.readString(COMMITTED), DemoShoot.truth().toJson());
    assertEquals(DemoShoot.truth(), DemoTruth.read(COMMITTED));
  }

  /** 15 m at 343.2 m/s are 43.706294 ms: worked by hand. */
  @Test
  void flightTimeIsInTheFarCamerasOffset() {
    PlacementTruth far = placement("CAM-D/HALL0019.MP4");
    Double offset = far.offsetSeconds();
    assertNotNull(offset);
    assertEquals(70.518264033 - 0.043706294, offset, 1e-9);
  }

  @Test
  void clocksOfOneCameraAreOneClock() {
    assertEquals(
        placement("CAM-A/CLIP0001.MOV").driftPpm(), placement("CAM-A/CLIP0002.MOV").driftPpm());
  }

  private static PlacementTruth placement(String path) {
    for (SourceTruth source : DemoShoot.truth().sources()) {
      PlacementTruth placement = source.placement();
      if (source.path().equals(path) && placement != null) {
        return placement;
      }
    }
    throw new AssertionError(path);
  }

  @Test
  void otherFilesAreRefused(@TempDir Path folder) throws IOException {
    Path file = folder.resolve("truth.json");
    assertThrows(MediaAccessException.class, () -> DemoTruth.read(file));
    Files.writeString(file, "{ not json");
    assertThrows(MalformedMediaException.class, () -> DemoTruth.read(file));
    Files.writeString(
        file, DemoShoot.truth().toJson().replace("\"formatVersion\" : 1", "\"formatVersion\" : 2"));
    assertThrows(MalformedMediaException.class, () -> DemoTruth.read(file));
    Files.writeString(file, " ".repeat(2 << 20));
    assertThrows(MalformedMediaException.class, () -> DemoTruth.read(file));
  }
}
