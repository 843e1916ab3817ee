package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;

import hardpan.base.Monitor;
import hardpan.lineup.BandMap;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts.ReadBy;
import hardpan.media.SourceOrigin;
import hardpan.media.StartClaim;
import hardpan.wave.WaveFormat;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.NullUnmarked;

/** Analyses to keep, and how two of them are compared. */
@NullUnmarked
final class KeptSamples {
  private KeptSamples() {}

  static Path wave(Path file, long seed, double seconds) throws IOException {
    return ShootSamples.wave(
        file, WaveFormat.integer(16, 16_000, 1), ShootSamples.speech(seed, 16_000, seconds));
  }

  static Analysis analysis(Path file, Scratch scratch) throws Exception {
    ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
    Analysis analysis = steps.read(steps.find(List.of(file))).sources().get(0).analysis();
    assertNotNull(analysis);
    return analysis;
  }

  static void store(ShootFile kept, Path file, Analysis analysis) {
    kept.store(SourceMark.of(file), ReadBy.NATIVE, analysis);
    assertEquals(Optional.empty(), kept.trouble());
  }

  static Optional<Analysis> find(ShootFile kept, Path file, Scratch scratch) {
    return kept.find(SourceMark.of(file), ReadBy.NATIVE, scratch.prefix());
  }

  /** Without what the file's entry in its folder says, which is not kept. */
  static Analysis fromWithin(Analysis analysis) {
    SourceOrigin origin = analysis.facts().origin();
    List<StartClaim> claims =
        origin.startClaims().stream()
            .filter(claim -> claim.origin().compareTo(StartClaim.Origin.FILE_MODIFIED) < 0)
            .toList();
    return analysis.withFacts(
        analysis.facts().withOrigin(new SourceOrigin(origin.maker(), claims)));
  }

  /** Equal in every record, every byte of the maps and every bit of the waveform. */
  static void assertSame(Analysis expected, Analysis actual) throws IOException {
    assertEquals(expected.facts(), actual.facts());
    assertEquals(expected.frameCount(), actual.frameCount());
    assertEquals(expected.verdicts(), actual.verdicts());
    assertEquals(expected.loudness(), actual.loudness());
    assertEquals(expected.maps().size(), actual.maps().size());
    for (int i = 0; i < expected.maps().size(); i++) {
      BandMap map = expected.maps().get(i);
      assertEquals(map.frames(), actual.maps().get(i).frames());
      int frames = Math.toIntExact(map.frames());
      assertArrayEquals(map.read(0, frames), actual.maps().get(i).read(0, frames));
    }
    for (int channel = 0; channel < expected.facts().channelCount(); channel++) {
      assertArrayEquals(
          expected.overview().channelBytes(channel), actual.overview().channelBytes(channel));
      assertBits(expected.overview().minima(4096), actual.overview().minima(4096), channel);
      assertBits(expected.overview().maxima(99), actual.overview().maxima(99), channel);
    }
  }

  private static void assertBits(List<float[]> expected, List<float[]> actual, int channel) {
    float[] one = expected.get(channel);
    float[] other = actual.get(channel);
    assertEquals(one.length, other.length);
    for (int i = 0; i < one.length; i++) {
      assertEquals(Float.floatToRawIntBits(one[i]), Float.floatToRawIntBits(other[i]));
    }
  }

  /** Copies a file as a killed process would leave it, its log included. */
  static Path copyAsLeft(Path file, Path target) throws IOException {
    Files.copy(file, target);
    Path log = Path.of(file + "-wal");
    if (Files.exists(log)) {
      Files.copy(log, Path.of(target + "-wal"));
    }
    return target;
  }
}
