package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.media.FfmpegClipWriter.Settings;
import hardpan.media.StartClaim.Origin;
import hardpan.media.StartClaim.Trust;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.LocalTime;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.NullUnmarked;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * What files say about their start and their device; written by the FFmpeg libraries and by our
 * Wave writer.
 */
@NullUnmarked
class OriginTest {
  @TempDir Path dir;

  private SourceOrigin clip(
      String name, boolean picture, @Nullable String started, Map<String, String> tags)
      throws IOException {
    Path file = dir.resolve(name);
    String container = name.substring(name.indexOf('.') + 1);
    Settings settings =
        new Settings(
            container,
            "pcm_s16le",
            48_000,
            1,
            null,
            picture,
            started == null ? null : OffsetDateTime.parse(started));
    try (FfmpegClipWriter writer =
        FfmpegClipWriter.create(file, settings, 1, Map.of("movflags", "use_metadata_tags"), tags)) {
      writer.write(new float[1][48_000], 48_000);
    }
    try (SourceReader reader = SourceOpener.open(file)) {
      return reader.facts().origin();
    }
  }

  private static StartClaim of(SourceOrigin origin, Origin from) {
    return origin.startClaims().stream()
        .filter(claim -> claim.origin() == from)
        .findFirst()
        .orElseThrow(() -> new AssertionError(from + " not in " + origin));
  }

  @Test
  void aTimecodeTrackIsRead() throws Exception {
    SourceOrigin origin =
        clip("a.mov", true, "2026-02-14T18:30:04Z", Map.of("timecode", "18:30:05:10"));
    StartClaim code = of(origin, Origin.TIMECODE);
    assertEquals(LocalDateTime.parse("2026-02-14T18:30:05.4"), code.local());
    assertEquals("18:30:05:10 at 25 a second", code.raw());
    assertEquals(Trust.EXACT, code.trust());
    assertNull(code.offset());
    assertEquals(Trust.FAIR, of(origin, Origin.CONTAINER).trust());
    assertEquals(ZoneOffset.UTC, of(origin, Origin.CONTAINER).offset());
    SourceOrigin counter = clip("b.mov", true, null, Map.of("timecode", "01:00:00:00"));
    assertEquals(Trust.LOW, of(counter, Origin.TIMECODE).trust());
    assertTrue(clip("c.mov", true, null, Map.of()).startClaims().isEmpty());
  }

  @Test
  void theMakersKeysAreRead() throws Exception {
    SourceOrigin origin =
        clip(
            "a.mov",
            false,
            "2026-02-14T17:30:05Z",
            Map.of(
                "com.apple.quicktime.creationdate", "2026-02-14T18:30:05+0100",
                "com.apple.quicktime.make", "Lindwerk",
                "com.apple.quicktime.model", "Lindwerk K4",
                "com.lindwerk.camera-serial-number", "LK400117"));
    StartClaim key = of(origin, Origin.MAKER_KEY);
    assertEquals(LocalDateTime.parse("2026-02-14T18:30:05"), key.local());
    assertEquals(ZoneOffset.ofHours(1), key.offset());
    assertEquals(key, StartClaim.best(origin.startClaims()).orElseThrow());
    assertEquals("Lindwerk", origin.maker().make());
    assertEquals("Lindwerk K4", origin.maker().name());
    assertEquals("LK400117", origin.maker().serial());
  }

  @Test
  void anUnsetClockIsTold() throws Exception {
    SourceOrigin origin = clip("a.mov", false, "2000-01-01T00:00:12Z", Map.of());
    assertEquals(Trust.NONE, of(origin, Origin.CONTAINER).trust());
  }

  private SourceFacts wave(BroadcastExtension bext, String ixml, Map<String, String> info)
      throws IOException {
    Path file = dir.resolve("t" + System.nanoTime() + ".wav");
    try (WaveFileWriter writer =
        WaveFileWriter.create(
            file,
            WaveFormat.integer(16, 48_000, 1),
            new WaveMetadata(bext, ixml, info, List.of()))) {
      writer.writeFloats(new float[1][4800], 4800);
      writer.finish();
    }
    try (SourceReader reader = SourceOpener.open(file)) {
      return reader.facts();
    }
  }

  /** EBU R 99: characters 6 to 17 of the reference are the serial number. */
  @Test
  void theBroadcastExtensionHasNoZoneAndNamesTheDevice() throws Exception {
    SourceFacts facts =
        wave(
            BroadcastExtension.of(
                "",
                "Feldkasten 8",
                "DEFLK000FK800231183005123456789",
                "2026-02-14",
                "18:30:05",
                0,
                null,
                ""),
            null,
            Map.of());
    StartClaim bext = of(facts.origin(), Origin.BEXT);
    assertNull(bext.offset());
    assertEquals(LocalDateTime.parse("2026-02-14T18:30:05"), facts.startedAt());
    assertEquals("Feldkasten 8", facts.origin().maker().name());
    // The reference above is one character short.
    assertEquals("", facts.origin().maker().serial());
    assertEquals("0000FK800231", WaveOrigin.serial("DEFLK0000FK800231183005123456789", "18:30:05"));
    assertEquals("", WaveOrigin.serial("DEFLK0000FK800231183006123456789", "18:30:05"));
    assertEquals("", WaveOrigin.serial("anything", "18:30:05"));
  }

  /** iXML specification 3.01: TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI and _LO, BEXT object. */
  @Test
  void ixmlStandsInForAMissingChunk() throws Exception {
    String ixml =
        "<BWFXML><SPEED><TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>0</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI>"
            + "<TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>3197064000</TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO>"
            + "<TIMESTAMP_SAMPLE_RATE>48000</TIMESTAMP_SAMPLE_RATE></SPEED>"
            + "<BEXT><BWF_ORIGINATOR>Feldkasten 8</BWF_ORIGINATOR>"
            + "<BWF_ORIGINATION_DATE>2026-02-14</BWF_ORIGINATION_DATE>"
            + "<BWF_ORIGINATION_TIME>18:30:05</BWF_ORIGINATION_TIME></BEXT></BWFXML>";
    SourceFacts facts = wave(null, ixml, Map.of());
    // 3,197,064,000 / 48,000 = 66,605.5 s = 18:30:05.5
    assertEquals(LocalDateTime.parse("2026-02-14T18:30:05.5"), facts.startedAt());
    assertEquals("Feldkasten 8", facts.origin().maker().model());
    SourceFacts alone =
        wave(null, ixml.replaceAll("<BEXT>.*</BEXT>", ""), Map.of("ICRD", "2026-02-14"));
    assertNull(alone.startedAt());
    assertEquals(LocalTime.parse("18:30:05.5"), alone.origin().startClaims().get(0).time());
  }
}
