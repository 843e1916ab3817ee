package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;

import hardpan.base.Monitor;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.ReaderChoice;
import hardpan.media.StartClaim;
import hardpan.media.StartClaim.Origin;
import hardpan.media.StartClaim.Trust;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.FileTime;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.util.List;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

@NullUnmarked
class StartTimesTest {
  private static final Instant NOW = Instant.parse("2026-03-01T12:00:00Z");

  @TempDir Path folder;

  private void clip(String name, int seconds, String created, String modified) throws IOException {
    Path file = folder.resolve(name);
    Files.createDirectories(file.getParent());
    var settings =
        new FfmpegClipWriter.Settings(
            "mov", "pcm_s16le", 8000, 1, null, false, OffsetDateTime.parse(created));
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(
          new float[][] {ShootSamples.speech(name.hashCode(), 8000, seconds)}, 8000 * seconds);
    }
    Files.setLastModifiedTime(file, FileTime.from(Instant.parse(modified)));
  }

  private List<ShootSource> weighed() throws Exception {
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      return StartTimes.of(steps.read(steps.find(List.of(folder))).sources(), NOW);
    }
  }

  private static StartClaim claim(ShootSource source, Origin origin) {
    return source.analysis().facts().origin().startClaims().stream()
        .filter(claim -> claim.origin() == origin)
        .findFirst()
        .orElseThrow();
  }

  @Test
  void theTimeOfChangeLessTheLengthIsAWeakHint() throws Exception {
    clip("CAM/20260214_183005.mov", 3, "2026-02-14T18:30:06Z", "2026-02-14T17:30:08Z");
    clip("CAM/b.mov", 2, "2026-02-14T18:40:06Z", "2026-02-14T17:40:08Z");
    List<ShootSource> sources = weighed();
    StartClaim modified = claim(sources.get(0), Origin.FILE_MODIFIED);
    assertEquals(LocalDateTime.parse("2026-02-14T17:30:05"), modified.local());
    assertEquals(Trust.LOW, modified.trust());
    // The creation time shows what the name shows: local time, though the format means UTC.
    assertEquals(null, claim(sources.get(0), Origin.CONTAINER).offset());
    assertEquals(
        LocalDateTime.parse("2026-02-14T18:30:05"), sources.get(0).analysis().facts().startedAt());
    assertEquals("Z", claim(sources.get(1), Origin.CONTAINER).offset().getId());
  }

  @Test
  void oneDeviceCannotHaveWrittenTwoFilesAtOnce() throws Exception {
    clip("CAM/a.mov", 9, "2026-02-14T18:30:06Z", "2026-02-15T09:00:00Z");
    clip("CAM/b.mov", 7, "2026-02-14T18:40:06Z", "2026-02-15T09:00:01Z");
    for (ShootSource source : weighed()) {
      assertEquals(Trust.NONE, claim(source, Origin.FILE_MODIFIED).trust());
    }
  }

  @Test
  void theFutureIsNotBelieved() throws Exception {
    clip("CAM/a.mov", 1, "2026-03-02T02:00:00Z", "2026-02-15T09:00:00Z");
    clip("CAM/b.mov", 2, "2026-03-02T04:00:00Z", "2026-02-15T09:10:01Z");
    List<ShootSource> sources = weighed();
    assertEquals(Trust.FAIR, claim(sources.get(0), Origin.CONTAINER).trust());
    assertEquals(Trust.NONE, claim(sources.get(1), Origin.CONTAINER).trust());
    assertEquals(null, sources.get(1).analysis().facts().startedAt());
  }
}
