package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;

/**
 * The timeline against what the readers of the OpenTimelineIO library ask for ({@code read_from} of
 * each class, {@code src/opentimelineio}), and against the report it was made from.
 */
@NullUnmarked
class TimelineTest {
  private static final double NTSC = 30_000 / 1001.0;

  private static final Map<String, Original> ORIGINALS =
      Map.of(
          "CAM-A/A0001.MOV",
          new Original("../shoot/CAM-A/A0001.MOV", true, 25.0, "18:02:12:12"),
          "CAM-A/A0002.MOV",
          new Original("../shoot/CAM-A/A0002.MOV", true, 25.0, "18:40:03:06"),
          "CAM-B/B0001.MTS",
          new Original("../shoot/CAM-B/B0001.MTS", true, NTSC, null),
          "PHONE-IDA/IMG_0412.MOV",
          new Original("../shoot/PHONE-IDA/IMG_0412.MOV", true, null, null));

  /** Required keys of each schema; an absent one makes the library refuse the file. */
  private static final Map<String, List<String>> REQUIRED =
      Map.of(
          "Timeline.1", List.of("tracks"),
          "Stack.1", List.of("children"),
          "Track.1", List.of("children", "kind"),
          "Clip.2", List.of("media_references", "active_media_reference_key"),
          "Gap.1", List.of("source_range"),
          "ExternalReference.1", List.of("target_url"),
          "Marker.2", List.of("marked_range"),
          "RationalTime.1", List.of("rate", "value"),
          "TimeRange.1", List.of("start_time", "duration"));

  @Test
  void everyObjectHasItsRequiredKeys() throws IOException {
    List<String> seen = new ArrayList<>();
    check(timeline(SampleReports.honeyEvening()), seen);
    assertEquals(REQUIRED.keySet(), Set.copyOf(seen), "every schema is in use");
  }

  private static void check(JsonNode node, List<String> seen) {
    if (node.has("OTIO_SCHEMA")) {
      String schema = node.get("OTIO_SCHEMA").asText();
      assertTrue(REQUIRED.containsKey(schema), schema);
      for (String key : REQUIRED.get(schema)) {
        assertTrue(node.hasNonNull(key), schema + " without " + key);
      }
      assertEquals("OTIO_SCHEMA", node.fieldNames().next());
      if (schema.equals("RationalTime.1")) {
        assertTrue(node.get("rate").asDouble() > 0, node.toString());
      }
      seen.add(schema);
    }
    node.forEach(child -> check(child, seen));
  }

  @Test
  void videoTracksAreTheDevicesAndAudioTracksTheLanes() throws IOException {
    List<String> tracks = new ArrayList<>();
    for (JsonNode track : tracks(timeline(SampleReports.honeyEvening()))) {
      tracks.add(track.get("kind").asText() + " " + track.get("name").asText());
    }
    assertEquals(
        List.of("Video CAM-A", "Video CAM-B", "Audio CAM-A Ida-Brandl", "Audio CAM-A Jonas-Reet"),
        tracks);
  }

  /** Walks a track as a player does and finds every clip at its place, to the sample. */
  @Test
  void everythingStartsWhereTheReportSays() throws IOException {
    JsonNode timeline = timeline(SampleReports.honeyEvening());
    Map<String, Double> starts = starts(timeline);
    // Placed to the nearest sample of the source; half a sample at 48 kHz is 10.4 microseconds.
    assertEquals(132.482916667, starts.get("A0001.MOV"), 10.5e-6);
    assertEquals(2403.25, starts.get("A0002.MOV"), 10.5e-6);
    assertEquals(641.1, starts.get("B0001.MTS"), 10.5e-6);
    double lane = Math.round(132.482916667 * 48_000) / 48_000.0;
    assertEquals(lane, starts.get("Ida-Brandl.wav"), 1e-9);
    assertEquals(lane, starts.get("Jonas-Reet.wav"), 1e-9);
    assertFalse(starts.containsKey("IMG_0412.MOV"), "it has no place");
    assertFalse(starts.containsKey("B0002.MTS"), "it has two places");
    assertEquals(64_800.0 * 48_000, timeline.at("/global_start_time/value").asDouble());
    assertEquals(48_000.0, timeline.at("/global_start_time/rate").asDouble());
    assertEquals(
        List.of("CAM-B/B0002.MTS", "PHONE-IDA/IMG_0412.MOV", "CAM-B/B0003.MTS"),
        texts(timeline.at("/metadata/hardpan/notOnTheTimeline")));
  }

  @Test
  void gapsOfLanesAreWholeSamples() throws IOException {
    for (JsonNode track : tracks(timeline(SampleReports.honeyEvening()))) {
      if (track.get("kind").asText().equals("Audio")) {
        double gap = track.at("/children/0/source_range/duration/value").asDouble();
        assertEquals(Math.rint(gap), gap);
        assertEquals(48_000.0, track.at("/children/0/source_range/duration/rate").asDouble());
      }
    }
  }

  @Test
  void picturesCountTheirOwnFramesAndLanesTheirTimeStamp() throws IOException {
    JsonNode timeline = timeline(SampleReports.honeyEvening());
    JsonNode clip = clip(timeline, "A0001.MOV");
    // 1800.04 s at 25 a second.
    assertEquals(45_001.0, clip.at("/source_range/duration/value").asDouble());
    assertEquals(25.0, clip.at("/source_range/duration/rate").asDouble());
    assertEquals(0.0, clip.at("/source_range/start_time/value").asDouble());
    assertEquals(
        "../shoot/CAM-A/A0001.MOV", clip.at("/media_references/DEFAULT_MEDIA/target_url").asText());
    assertEquals("18:02:12:12", clip.at("/metadata/hardpan/startTimecode").asText());
    JsonNode lane = clip(timeline, "Ida-Brandl.wav");
    JsonNode available = lane.at("/media_references/DEFAULT_MEDIA/available_range");
    assertEquals(lane.get("source_range"), available);
    assertEquals(
        64_800L * 48_000 + Math.round(132.482916667 * 48_000),
        available.at("/start_time/value").asLong());
    assertEquals(86_401_920, available.at("/duration/value").asLong());
    assertEquals(
        "lanes/Ida-Brandl.wav", lane.at("/media_references/DEFAULT_MEDIA/target_url").asText());
  }

  @Test
  void aPictureOfUnknownRateSaysSo() throws IOException {
    Map<String, Original> unknown =
        Map.of("CAM-A/A0001.MOV", new Original("a.mov", true, null, null));
    JsonNode clip = clip(timeline(SampleReports.honeyEvening(), unknown), "A0001.MOV");
    assertTrue(clip.at("/metadata/hardpan/picturesPerSecond").isNull());
    assertTrue(clip.at("/metadata/hardpan/note").asText().contains("not known"));
    assertEquals(48_000.0, clip.at("/source_range/duration/rate").asDouble());
    assertEquals(86_401_920, clip.at("/source_range/duration/value").asLong());
  }

  @Test
  void findingsAreMarkersInTheClipsOwnTime() throws IOException {
    JsonNode markers =
        clip(timeline(SampleReports.honeyEvening()), "Jonas-Reet.wav").get("markers");
    assertEquals(1, markers.size());
    JsonNode marker = markers.get(0);
    assertEquals("hum", marker.get("name").asText());
    assertEquals("ORANGE", marker.get("color").asText());
    long stamp = 64_800L * 48_000 + Math.round(132.482916667 * 48_000);
    assertEquals(stamp, marker.at("/marked_range/start_time/value").asLong());
    assertEquals(1800L * 48_000, marker.at("/marked_range/duration/value").asLong());
    assertTrue(marker.get("comment").asText().startsWith("Mains hum"));
  }

  /** On a corrected lane, a source's second 1000 at +100 ppm lies 0.1 s later. */
  @Test
  void markersOfCorrectedLanesFollowTheReferencesClock() throws IOException {
    ChannelReport channel =
        SampleReports.withFindings(
            SampleReports.channel(0, "left", -6, -23),
            new FindingReport(
                "hum",
                FindingReport.Severity.FAULT,
                List.of(new SpanReport(1000, 1001)),
                Map.of(),
                "Hum.",
                ""));
    Report report =
        report(
            source("CAM-A/a.mov", 5.00001, 100, channel),
            lane("a.wav", "CAM-A/a.mov", 240_001, 2000L * 48_000, true));
    JsonNode marker = clip(timeline(report), "a.wav").get("markers").get(0);
    double reference = 5.00001 + 1000 * 1.0001;
    assertEquals(
        Math.round(reference * 48_000),
        marker.at("/marked_range/start_time/value").asLong() - 64_800L * 48_000);
    assertEquals("RED", marker.get("color").asText());
  }

  /** With a bend of 3 ms at 600 s that is gone at 1200 s, second 1000 lies 1 ms later still. */
  @Test
  void markersAndTimesFollowABentClock() throws IOException {
    ChannelReport channel =
        SampleReports.withFindings(
            SampleReports.channel(0, "left", -6, -23),
            new FindingReport(
                "hum",
                FindingReport.Severity.FAULT,
                List.of(new SpanReport(1000, 1001)),
                Map.of(),
                "Hum.",
                ""));
    SourceReport bent =
        SampleReports.clip(
            "CAM-A/a.mov",
            "CAM-A",
            1900,
            "2026-09-19T18:02:11+02:00",
            null,
            List.of(channel),
            SampleReports.bent(SampleReports.placed(5.00001, 100, false, 0.99, 0.1, 1900), 3));
    LaneReport lane = lane("a.wav", "CAM-A/a.mov", 240_001, 2000L * 48_000, true);
    Report report = report(bent, SampleReports.bent(lane, true, LaneReport.Bend.FOLLOWED));
    JsonNode clip = clip(timeline(report), "a.wav");
    assertEquals("followed", clip.at("/metadata/hardpan/clockBend").asText());
    assertEquals(
        Math.round((5.00001 + 1000 * 1.0001 + 0.001) * 48_000),
        clip.get("markers").get(0).at("/marked_range/start_time/value").asLong()
            - 64_800L * 48_000);
    assertTrue(Tables.findings(report).contains(",1005.10101,"), Tables.findings(report));
  }

  @Test
  void whatOverlapsLiesOnAFurtherTrack() throws IOException {
    Report report =
        report(
            List.of(
                source("CAM-A/a.mov", 10, 0, SampleReports.channel(0, "left", -6, -23)),
                source("CAM-A/b.mov", 11, 0, SampleReports.channel(0, "left", -6, -23))),
            List.of(
                lane("a.wav", "CAM-A/a.mov", 480_000, 96_000, false),
                lane("b.wav", "CAM-A/b.mov", 528_000, 96_000, false),
                lane("c.wav", "CAM-A/b.mov", 624_000, 96_000, false)));
    JsonNode timeline = timeline(report);
    List<String> names = new ArrayList<>();
    tracks(timeline).forEach(track -> names.add(track.get("name").asText()));
    assertEquals(List.of("CAM-A left", "CAM-A left (2)"), names);
    Map<String, Double> starts = starts(timeline);
    assertEquals(10.0, starts.get("a.wav"), 1e-9);
    assertEquals(11.0, starts.get("b.wav"), 1e-9);
    assertEquals(13.0, starts.get("c.wav"), 1e-9);
  }

  /** Two parts of a run: findings of the second lie behind the first, its picture behind it too. */
  @Test
  void partsOfARunFollowOneAnother() throws IOException {
    FindingReport hum =
        new FindingReport(
            "hum",
            FindingReport.Severity.NOTE,
            List.of(new SpanReport(5, 6)),
            Map.of(),
            "Hum.",
            "");
    ChannelReport plain = SampleReports.channel(0, "left", -6, -23);
    SourceReport first = source("CAM-A/a.mov", 10, -50, plain);
    // 1,900 s at -50 ppm last 1,899.905 s on the reference.
    SourceReport second =
        part(2, source("CAM-A/b.mov", 1909.905, -50, SampleReports.withFindings(plain, hum)));
    LaneReport lane = lane("run.wav", "CAM-A#1", 480_000, 3800L * 48_000, false);
    Map<String, Original> originals =
        Map.of(
            "CAM-A/a.mov",
            new Original("a.mov", true, 25.0, null),
            "CAM-A/b.mov",
            new Original("b.mov", true, 25.0, null));
    JsonNode timeline = timeline(report(List.of(first, second), List.of(lane)), originals);
    JsonNode marker = clip(timeline, "run.wav").get("markers").get(0);
    assertEquals(
        (64_800L + 10 + 1900 + 5) * 48_000, marker.at("/marked_range/start_time/value").asLong());
    List<String> names = new ArrayList<>();
    tracks(timeline).forEach(track -> names.add(track.get("name").asText()));
    assertEquals(List.of("CAM-A", "CAM-A left"), names);
    assertEquals(1909.905, starts(timeline).get("b.mov"), 10.5e-6);
    assertEquals(47_497, clip(timeline, "a.mov").at("/source_range/duration/value").asLong());
    assertEquals(
        47_500,
        clip(timeline, "a.mov")
            .at("/media_references/DEFAULT_MEDIA/available_range/duration/value")
            .asLong());
  }

  private static SourceReport part(int runPart, SourceReport source) throws IOException {
    String whole = ReportJson.toText(SampleReports.withSources(source));
    return ReportJson.read(whole.replace("\"runPart\": 1", "\"runPart\": " + runPart))
        .sources()
        .get(0);
  }

  /** A lane before the reference, another at 44.1 kHz behind it: both at whole samples. */
  @Test
  void timeBeforeTheReferenceAndOtherRates() throws IOException {
    LaneReport other =
        new LaneReport(
            "lanes/o.wav",
            0,
            0L,
            1000L,
            "left",
            "microphone",
            "CAM-A/a.mov",
            List.of(0),
            441_001L,
            64_800L * 44_100 + 441_001,
            44_100,
            16,
            LaneReport.SampleFormat.PCM,
            1000,
            false,
            0,
            0,
            null);
    Report report =
        report(
            List.of(source("CAM-A/a.mov", -2.25, 0, SampleReports.channel(0, "left", -6, -23))),
            List.of(lane("a.wav", "CAM-A/a.mov", -108_000, 96_001, false), other));
    JsonNode timeline = timeline(report);
    assertEquals(-3.0, timeline.at("/metadata/hardpan/beginsAtReferenceSeconds").asDouble());
    assertEquals((64_800.0 - 3) * 48_000, timeline.at("/global_start_time/value").asDouble());
    Map<String, Double> starts = starts(timeline);
    assertEquals(0.75, starts.get("a.wav"), 1e-12);
    assertEquals(3 + 441_001 / 44_100.0, starts.get("o.wav"), 1e-9);
  }

  /** A joined lane: the stretch of the file that holds the source's sound, not the silence. */
  @Test
  void aStretchOfAFileLiesInThatFile() throws IOException {
    LaneReport joined =
        new LaneReport(
            "lanes/day.wav",
            1,
            480_000L,
            4_800_000L,
            "left",
            "microphone",
            "CAM-A/a.mov",
            List.of(0),
            240_000L,
            64_800L * 48_000 + 240_000,
            48_000,
            24,
            LaneReport.SampleFormat.PCM,
            96_000,
            false,
            0,
            0,
            null);
    Report report =
        report(source("CAM-A/a.mov", 5, 0, SampleReports.channel(0, "left", -6, -23)), joined);
    JsonNode clip = clip(timeline(report), "day.wav");
    double stamp = 64_800.0 * 48_000 + 240_000;
    assertEquals(stamp, clip.at("/source_range/start_time/value").asDouble());
    assertEquals(96_000.0, clip.at("/source_range/duration/value").asDouble());
    JsonNode available = clip.at("/media_references/DEFAULT_MEDIA/available_range");
    assertEquals(stamp - 480_000, available.at("/start_time/value").asDouble());
    assertEquals(4_800_000.0, available.at("/duration/value").asDouble());
    assertEquals(1, clip.at("/metadata/hardpan/fileChannel").asInt());
    assertEquals(5.0, starts(timeline(report)).get("day.wav"), 1e-12);
  }

  @Test
  void withoutAReferenceThereIsNoTimeline() {
    assertEquals(Optional.empty(), Timeline.otio(SampleReports.empty(), "x", Map.of()));
  }

  /** RFC 3986: what is no plain character is encoded, byte by byte in UTF-8. */
  @Test
  void urlsAreEncoded() {
    assertEquals(
        "../a%20b/%23%3F%25/m%C3%BCller.mov", RelativeUrl.of("../a b/#?%/m\u00fcller.mov"));
    assertEquals("C%3A/x+y(1)%5B2%5D.mov", RelativeUrl.of("C:/x+y(1)[2].mov"));
  }

  private static Report report(SourceReport source, LaneReport lane) {
    return report(List.of(source), List.of(lane));
  }

  private static Report report(List<SourceReport> sources, List<LaneReport> lanes) {
    Report evening = SampleReports.honeyEvening();
    List<SourceReport> all = new ArrayList<>(sources);
    all.add(evening.sources().get(0));
    return Report.of("Hardpan", evening.madeAt(), SampleReports.REFERENCE, all, lanes);
  }

  private static SourceReport source(
      String path, double offset, double driftPpm, ChannelReport channel) {
    return SampleReports.clip(
        path,
        "CAM-A",
        1900,
        "2026-09-19T18:02:11+02:00",
        null,
        List.of(channel),
        SampleReports.placed(offset, driftPpm, false, 0.99, 0.1, 1900));
  }

  private static LaneReport lane(
      String file, String source, long start, long frames, boolean corrected) {
    return new LaneReport(
        "lanes/" + file,
        0,
        0L,
        frames,
        "left",
        "microphone",
        source,
        List.of(0),
        start,
        64_800L * 48_000 + start,
        48_000,
        24,
        LaneReport.SampleFormat.PCM,
        frames,
        corrected,
        0,
        0,
        null);
  }

  private static JsonNode timeline(Report report) throws IOException {
    return timeline(report, ORIGINALS);
  }

  private static JsonNode timeline(Report report, Map<String, Original> originals)
      throws IOException {
    String text = Timeline.otio(report, "Honey evening", originals).orElseThrow();
    assertTrue(text.endsWith("}\n"));
    return new ObjectMapper().readTree(text);
  }

  private static JsonNode tracks(JsonNode timeline) {
    return timeline.at("/tracks/children");
  }

  private static JsonNode clip(JsonNode timeline, String name) {
    for (JsonNode track : tracks(timeline)) {
      for (JsonNode child : track.get("children")) {
        if (child.get("name").asText().equals(name)) {
          return child;
        }
      }
    }
    throw new AssertionError("no clip " + name);
  }

  /** Start seconds of every clip, by adding up what lies before it on its track. */
  private static Map<String, Double> starts(JsonNode timeline) {
    Map<String, Double> starts = new HashMap<>();
    for (JsonNode track : tracks(timeline)) {
      double at = 0;
      for (JsonNode child : track.get("children")) {
        JsonNode length = child.at("/source_range/duration");
        if (child.get("OTIO_SCHEMA").asText().equals("Clip.2")) {
          starts.put(child.get("name").asText(), at);
        }
        at += length.get("value").asDouble() / length.get("rate").asDouble();
      }
    }
    return starts;
  }

  private static List<String> texts(JsonNode array) {
    List<String> texts = new ArrayList<>();
    array.forEach(node -> texts.add(node.asText()));
    return texts;
  }
}
