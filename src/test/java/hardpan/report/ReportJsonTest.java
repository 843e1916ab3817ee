package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.atomic.AtomicBoolean;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class ReportJsonTest {
  private static final ObjectMapper MAPPER = new ObjectMapper();

  @TempDir
  @SuppressWarnings("NullAway.Init")
  Path folder;

  /** The keys and their order, copied by hand from the report contract. */
  @Test
  void keysAndOrderAreTheContracts() throws IOException {
    JsonNode root = MAPPER.readTree(ReportJson.toText(SampleReports.honeyEvening()));
    assertKeys(root, "format formatVersion madeBy madeAt reference sources devices lanes leftOut");
    for (JsonNode device : root.get("devices")) {
      assertKeys(device, "name sources make model serial why clockOffsetSeconds says");
    }
    for (JsonNode left : root.get("leftOut")) {
      assertKeys(left, "path reason says");
    }
    for (JsonNode source : root.get("sources")) {
      assertKeys(
          source,
          "path kind container codec sampleRateHz bitsPerSample channelCount frameCount"
              + " durationSeconds startedAt startClaims timeReferenceSamples device run runPart"
              + " reader error pair channels placement");
      for (JsonNode claim : source.get("startClaims")) {
        assertKeys(claim, "origin date time offset trust raw chosen why");
      }
      if (!source.get("error").isNull()) {
        assertKeys(source.get("error"), "code message");
      }
      if (!source.get("pair").isNull()) {
        assertKeys(
            source.get("pair"),
            "verdict confidence correlation gainDifferenceDb lagSeconds bleedDb");
      }
      if (!source.get("placement").isNull()) {
        assertKeys(
            source.get("placement"),
            "state offsetSeconds driftPpm inverted confidence residualMs overlapSeconds via why"
                + " otherPlaces basis flightSeconds clockBend");
      }
      for (JsonNode channel : source.get("channels")) {
        assertKeys(
            channel,
            "index name peakDbfs truePeakDbtp rmsDbfs integratedLufs loudnessRangeLu"
                + " maxMomentaryLufs maxShortTermLufs noiseFloorDbfs dcOffset clipping overload findings");
        assertKeys(channel.get("clipping"), "clipped ceilingDbfs clippedSeconds spans");
        assertKeys(channel.get("overload"), "verdict excessDb padDb confidence");
        channel.get("clipping").get("spans").forEach(s -> assertKeys(s, "startSeconds endSeconds"));
        channel
            .get("findings")
            .forEach(f -> assertKeys(f, "code severity spans evidence says remedy"));
      }
    }
    for (JsonNode lane : root.get("lanes")) {
      assertKeys(
          lane,
          "file fileChannel fileStartFrame fileFrameCount name role roleGuessed source channels"
              + " startFrameOnReference timeReferenceSamples sampleRateHz"
              + " bitsPerSample sampleFormat frameCount"
              + " clockCorrected clockBend clampedSamples leftOutMarkers sha256");
    }
  }

  @Test
  void wordsAreTheContracts() {
    assertEquals(
        "isolated|same-signal|inverted|lower-copy|stereo|one-silent|both-silent|unknown",
        words(PairReport.Verdict.values()));
    assertEquals("none|occasional|line-level", words(OverloadReport.Verdict.values()));
    assertEquals("note|warning|fault", words(FindingReport.Severity.values()));
    assertEquals("placed|ambiguous|unplaced", words(PlacementReport.State.values()));
    assertEquals("malformed|unsupported|io", words(ErrorReport.Code.values()));
    assertEquals("clip|recording", words(SourceReport.Kind.values()));
    assertEquals("native|fallback", words(SourceReport.Reader.values()));
    assertEquals("pcm|float", words(LaneReport.SampleFormat.values()));
    assertEquals("followed|too-small|switched-off", words(LaneReport.Bend.values()));
    assertEquals(PairReport.Verdict.SAME_SIGNAL, Word.of(PairReport.Verdict.class, "same-signal"));
    assertThrows(
        IllegalArgumentException.class, () -> Word.of(PairReport.Verdict.class, "SAME_SIGNAL"));
  }

  @Test
  void readsBackWhatItWrote() throws MediaException {
    Report report = SampleReports.honeyEvening();
    String text = ReportJson.toText(report);
    Report back = ReportJson.read(text);
    assertEquals(report, back);
    assertEquals(text, ReportJson.toText(back));
    assertEquals(SampleReports.empty(), ReportJson.read(ReportJson.toText(SampleReports.empty())));
  }

  @Test
  void evidenceKeepsItsOrderAndKinds() throws MediaException {
    Map<String, @Nullable Object> evidence =
        SampleReports.evidence(
            "zeta",
            1,
            "alpha",
            2.5f,
            "mid",
            null,
            "nan",
            Double.NaN,
            "list",
            List.of(1, "two"),
            "word",
            FindingReport.Severity.NOTE,
            "tiny",
            1.23456789e-7,
            "yes",
            true);
    FindingReport finding =
        new FindingReport("dc", FindingReport.Severity.NOTE, List.of(), evidence, "a", "b");
    assertEquals(
        List.of("zeta", "alpha", "mid", "nan", "list", "word", "tiny", "yes"),
        new ArrayList<>(finding.evidence().keySet()));
    assertNull(finding.evidence().get("nan"));
    ChannelReport channel =
        SampleReports.withFindings(SampleReports.channel(0, "left", -3, -20), finding);
    Report report =
        SampleReports.withSources(
            SampleReports.clip(
                "a.mov", "a", 1, "2026-01-01T00:00:00Z", null, List.of(channel), null));
    String text = ReportJson.toText(report);
    assertTrue(text.contains("\"tiny\": 0.000000123456789"), text);
    Report back = ReportJson.read(text);
    assertEquals(report, back);
    assertEquals(
        new ArrayList<>(finding.evidence().keySet()),
        new ArrayList<>(
            back.sources().get(0).channels().get(0).findings().get(0).evidence().keySet()));
  }

  @Test
  void numbersAreRoundedAndPlain() {
    PlacementReport placement =
        SampleReports.placed(1e-7, -0.000004, false, 0.123456, 1234567.00004, 12345678.9);
    Report report =
        SampleReports.withSources(
            SampleReports.clip(
                "a.mov", "a", 12345678.9, "2026-01-01T00:00:00Z", null, List.of(), placement));
    String text = ReportJson.toText(report);
    assertTrue(text.contains("\"offsetSeconds\": 0.0000001,"), text);
    assertTrue(text.contains("\"driftPpm\": 0.0,"), text);
    assertTrue(text.contains("\"confidence\": 0.1235,"), text);
    assertTrue(text.contains("\"residualMs\": 1234567.0,"), text);
    assertTrue(text.contains("\"durationSeconds\": 12345678.9,"), text);
    assertFalse(text.matches("(?s).*[0-9]E-?[0-9].*"), "no exponent: " + text);
    assertFalse(text.contains("\r"));
    assertTrue(text.endsWith("}\n"));
    assertTrue(text.startsWith("{\n  \"format\": \"hardpan-report\",\n  \"formatVersion\": 1,\n"));
  }

  @Test
  void unknownNumbersAreNullNeverNan() {
    String text = ReportJson.toText(SampleReports.honeyEvening());
    assertFalse(text.contains("NaN"));
    assertFalse(text.contains("Infinity"));
    ChannelReport silent = SampleReports.silent(0, "left");
    assertNull(silent.peakDbfs());
    assertNull(silent.rmsDbfs());
    assertThrows(IllegalArgumentException.class, () -> OverloadReport.none(Double.NaN));
    assertThrows(IllegalArgumentException.class, () -> OverloadReport.none(1.01));
    assertThrows(IllegalArgumentException.class, () -> new SpanReport(2, 1));
    assertThrows(
        IllegalArgumentException.class,
        () -> new ClippingReport(true, 0.0, Double.POSITIVE_INFINITY, List.of()));
    assertThrows(
        IllegalArgumentException.class,
        () -> new PairReport(PairReport.Verdict.STEREO, 1, 1.2, 0.0, 0.0, null));
    assertThrows(
        IllegalArgumentException.class, () -> SampleReports.placed(Double.NaN, 0, false, 1, 0, 0));
  }

  @Test
  void writesUtf8AndLeavesTheStreamOpen() throws IOException {
    AtomicBoolean closed = new AtomicBoolean();
    ByteArrayOutputStream bytes =
        new ByteArrayOutputStream() {
          @Override
          public void close() {
            closed.set(true);
          }
        };
    Report report =
        SampleReports.withSources(
            SourceReport.unreadable(
                "Bienenhaus/Grüße-蜂-🐝.mov",
                SourceReport.Kind.CLIP,
                null,
                new ErrorReport(ErrorReport.Code.IO, "No permission.")));
    ReportJson.write(report, bytes);
    assertFalse(closed.get());
    String text = bytes.toString(StandardCharsets.UTF_8);
    assertTrue(text.contains("Bienenhaus/Grüße-蜂-🐝.mov"), text);
    assertEquals(ReportJson.toText(report), text);
    Path file = folder.resolve("report.json");
    Files.write(file, bytes.toByteArray());
    assertEquals(report, ReportJson.read(file));
  }

  @Test
  void skipsUnknownKeys() throws MediaException {
    Report report = SampleReports.honeyEvening();
    String text =
        ReportJson.toText(report)
            .replace("\"kind\":", "\"colour\": {\"of\": [1, 2]}, \"kind\":")
            .replace("\"lanes\":", "\"later\": null, \"lanes\":");
    assertEquals(report, ReportJson.read(text));
  }

  @Test
  void whereAnEarlierReleaseDoesNotTellNoRoleIsCalledAGuess() throws MediaException {
    Report report = SampleReports.honeyEvening();
    String text = ReportJson.toText(report);
    String older = text.replaceAll("\\s*\"roleGuessed\" ?: ?false,", "");
    assertTrue(older.length() < text.length() && !older.contains("roleGuessed"));
    assertEquals(report, ReportJson.read(older));
  }

  @ParameterizedTest
  @ValueSource(
      strings = {
        "",
        "   ",
        "null",
        "[]",
        "{",
        "{}",
        "no json",
        "{\"format\": \"other\"}",
        "{\"format\": \"hardpan-report\", \"formatVersion\": 0}",
        "{\"format\": \"hardpan-report\", \"formatVersion\": 1}",
        "{\"format\": \"hardpan-report\", \"formatVersion\": 1, \"madeBy\": \"x\","
            + " \"madeAt\": \"yesterday\", \"reference\": null, \"sources\": [], \"lanes\": []}",
        "{\"format\": \"hardpan-report\", \"formatVersion\": 1, \"madeBy\": \"x\","
            + " \"madeAt\": \"2026-01-01T00:00:00Z\", \"sources\": [null], \"lanes\": []}",
        "{\"format\": \"hardpan-report\", \"formatVersion\": 1, \"madeBy\": null,"
            + " \"madeAt\": \"2026-01-01T00:00:00Z\", \"sources\": [], \"lanes\": []}",
      })
  void refusesGarbage(String text) throws IOException {
    assertThrows(MalformedMediaException.class, () -> ReportJson.read(text));
    Path file = folder.resolve("garbage.json");
    Files.writeString(file, text);
    MediaException refusal =
        assertThrows(MalformedMediaException.class, () -> ReportJson.read(file));
    assertTrue(refusal.sentence().contains("garbage.json"), refusal.sentence());
  }

  @Test
  void refusesBrokenFieldsOfAGoodReport() {
    String good = ReportJson.toText(SampleReports.honeyEvening());
    for (String[] change :
        new String[][] {
          {"\"isolated\"", "\"isolatet\""},
          {"\"confidence\": 0.97", "\"confidence\": 1.97"},
          {"\"confidence\": 0.97", "\"confidence\": null"},
          {"\"confidence\": 0.97,", ""},
          {"\"channelCount\": 3", "\"channelCount\": 0"},
          {"\"sampleRateHz\": 48000", "\"sampleRateHz\": 48000.5"},
          {"\"kind\": \"recording\"", "\"kind\": null"},
        }) {
      String broken = good.replaceFirst(change[0], change[1]);
      assertFalse(broken.equals(good), "nothing changed: " + change[0]);
      assertThrows(MalformedMediaException.class, () -> ReportJson.read(broken), change[1]);
    }
  }

  @Test
  void refusesANewerVersionAndAMissingFile() {
    String newer =
        ReportJson.toText(SampleReports.empty())
            .replace("\"formatVersion\": 1", "\"formatVersion\": 2");
    assertThrows(UnsupportedMediaException.class, () -> ReportJson.read(newer));
    assertThrows(
        MediaAccessException.class, () -> ReportJson.read(folder.resolve("not-there.json")));
    assertThrows(MediaAccessException.class, () -> ReportJson.read(folder));
  }

  private static void assertKeys(JsonNode node, String keys) {
    List<String> names = new ArrayList<>();
    node.fieldNames().forEachRemaining(names::add);
    assertEquals(keys, String.join(" ", names));
  }

  private static String words(Word... words) {
    List<String> list = new ArrayList<>();
    for (Word word : words) {
      list.add(word.word());
    }
    return String.join("|", list);
  }
}
