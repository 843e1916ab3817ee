package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import hardpan.base.Monitor;
import hardpan.demo.DemoMaker;
import hardpan.demo.DemoShoot;
import hardpan.demo.DemoTruth;
import hardpan.lanes.Arrangement;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.Layout;
import hardpan.lanes.NameTemplate;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.ReaderChoice;
import hardpan.report.LaneReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.wave.BextLoudness;
import hardpan.wave.WaveHeader;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.concurrent.TimeUnit;
import java.util.regex.Pattern;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * A hand-over read by programs that are not ours, each value compared with the report. Where a
 * program is not installed its test is skipped and says so; {@code .ci/run} installs them.
 */
@NullUnmarked
class OutsideReadersTest {
  private static final int RATE = ShootSamples.RATE;

  private static final List<String> DEMO_CLIPS =
      DemoShoot.truth().sources().stream()
          .filter(source -> source.kind().equals("clip"))
          .map(DemoTruth.SourceTruth::path)
          .toList();

  @TempDir static Path folder;
  private static Path target;
  private static Report report;
  private static final List<Written> WRITTEN = new ArrayList<>();
  private static Path day;
  private static Report dayReport;

  /** A hand-over and its report. */
  private record Written(Path target, Report report) {
    List<Read> lanes() {
      return report.lanes().stream().map(lane -> new Read(this, lane)).toList();
    }
  }

  /** One of its lanes. */
  private record Read(Written of, LaneReport lane) {
    Path path() {
      return of.target.resolve(lane.file());
    }

    String file() {
      return path().toString();
    }

    /** Samples since midnight of the shoot's clock; 0 for a clip that found no place on it. */
    long timeReference() {
      Long samples = lane.timeReferenceSamples();
      return samples == null ? 0 : samples;
    }

    WaveHeader header() throws IOException {
      return WaveHeader.read(path());
    }
  }

  /** The lanes of the test shoot and of the demo shoot. */
  private static List<Read> lanes() {
    return WRITTEN.stream().flatMap(written -> written.lanes().stream()).toList();
  }

  /** Lanes of every kind: cut out, merged, corrected, float, with findings, from odd names. */
  @BeforeAll
  static void handOver() throws Exception {
    Path supper = ShootSamples.harvestSupper(folder.resolve("supper"));
    float[] host = ShootSamples.speech(11, RATE, 20);
    float[] loud = ShootSamples.heard(host, RATE, 4, 13, 16);
    for (int i = 0; i < loud.length; i++) {
      loud[i] = Math.max(-0.9f, Math.min(0.9f, 9 * loud[i]));
    }
    Path clip = supper.resolve("CAM-\u00dc/f\u00eate.mov");
    Files.createDirectories(clip.getParent());
    var settings = new FfmpegClipWriter.Settings("mov", "pcm_s24le", RATE, 2, null, true, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(clip, settings)) {
      float[] quiet = ShootSamples.heard(ShootSamples.speech(12, RATE, 20), RATE, 4, 13, 17);
      writer.write(new float[][] {loud, quiet}, loud.length);
    }
    target = folder.resolve("out");
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      Shoot shoot = steps.lineUp(steps.read(steps.find(List.of(supper))), null);
      HandOver.Options options =
          new HandOver.Options(
              target, false, DriftCorrection.ON, ReaderChoice.BEST, ShootSamples.MADE_AT);
      report = HandOver.write(shoot, options, Monitor.SILENT).report();
      day = folder.resolve("day");
      HandOver.Options joined =
          new HandOver.Options(
              day,
              false,
              DriftCorrection.AUTO,
              new Arrangement(Layout.DEVICE, true, NameTemplate.parse("{date}_{device}")),
              true,
              ReaderChoice.BEST,
              ShootSamples.MADE_AT);
      dayReport = HandOver.write(shoot, joined, Monitor.SILENT).report();
    }
    WRITTEN.clear();
    WRITTEN.add(new Written(target, report));
    WRITTEN.add(demo());
    assertTrue(
        WRITTEN.get(1).lanes().stream()
            .anyMatch(lane -> lane.lane().timeReferenceSamples() == null));
    assertEquals(7, report.lanes().size());
    assertTrue(report.lanes().stream().anyMatch(LaneReport::clockCorrected));
    assertTrue(
        report.lanes().stream()
            .anyMatch(lane -> lane.sampleFormat() == LaneReport.SampleFormat.FLOAT));
  }

  /** The demo shoot, handed over as the command line does by custom. */
  private static Written demo() throws Exception {
    Path media = DemoMaker.ensure(folder.resolve("demo"), Monitor.SILENT);
    Path out = folder.resolve("demo-out");
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      Shoot shoot = steps.lineUp(steps.read(steps.find(List.of(media))), null);
      Report written =
          HandOver.write(shoot, ShootSamples.options(out, false), Monitor.SILENT).report();
      assertEquals(14, written.lanes().size());
      return new Written(out, written);
    }
  }

  /** libsndfile. */
  @Test
  void sndfileInfo() throws Exception {
    for (Read read : lanes()) {
      LaneReport lane = read.lane();
      String said = said("sndfile-info", read.file());
      assertEquals(lane.frameCount(), number(said, "Frames +: ([0-9]+)"), said);
      assertEquals(lane.sampleRateHz(), number(said, "Sample Rate +: ([0-9]+)"), said);
      assertEquals(lane.bitsPerSample(), number(said, "Bit Width +: ([0-9]+)"), said);
      assertFalse(said.contains("Error"), said);
      WaveHeader header = read.header();
      if (!header.cuePoints().isEmpty()) {
        assertEquals(header.cuePoints().size(), number(said, "Count +: ([0-9]+)"), said);
      }
      String bext = said("sndfile-info", "--broadcast", read.file());
      assertTrue(bext.contains(header.bext().originatorReference()), bext);
      assertTrue(bext.contains(header.bext().originationDate()), bext);
    }
    for (Written written : WRITTEN) {
      assertTrue(
          written.lanes().stream().anyMatch(OutsideReadersTest::hasCues),
          "some lane carries a finding");
    }
  }

  /**
   * Files of several channels, a lane for each device over the whole shoot: three programs agree.
   */
  @Test
  void polyFilesOfTheWholeDay() throws Exception {
    Map<String, Integer> channels = new HashMap<>();
    for (LaneReport lane : dayReport.lanes()) {
      channels.merge(lane.file(), lane.fileChannel() + 1, Math::max);
    }
    assertTrue(channels.containsValue(2));
    for (LaneReport lane : dayReport.lanes()) {
      String file = day.resolve(lane.file()).toString();
      int count = channels.get(lane.file());
      String sndfile = said("sndfile-info", file);
      assertEquals(count, number(sndfile, "Channels +: ([0-9]+)"), sndfile);
      assertEquals(lane.fileFrameCount(), number(sndfile, "Frames +: ([0-9]+)"), sndfile);
      assertFalse(sndfile.contains("Error"), sndfile);
      String ffprobe =
          said("ffprobe", "-v", "warning", "-of", "json", "-show_format", "-show_streams", file);
      JsonNode json = new ObjectMapper().readTree(ffprobe);
      assertEquals(count, json.at("/streams/0/channels").asInt());
      assertEquals(lane.fileFrameCount(), json.at("/streams/0/duration_ts").asLong());
      assertEquals(
          lane.timeReferenceSamples() - lane.fileStartFrame(),
          json.at("/format/tags/time_reference").asLong(),
          ffprobe);
      String sox = said("sox", "--info", file);
      assertEquals(count, number(sox, "Channels +: ([0-9]+)"), sox);
    }
  }

  private static boolean hasCues(Read read) {
    try {
      return !read.header().cuePoints().isEmpty();
    } catch (IOException e) {
      throw new AssertionError(e);
    }
  }

  /** The FFmpeg program, a build of its own. */
  @Test
  void ffprobe() throws Exception {
    for (Read read : lanes()) {
      LaneReport lane = read.lane();
      String said =
          said(
              "ffprobe",
              "-v",
              "warning",
              "-of",
              "json",
              "-show_format",
              "-show_streams",
              read.file());
      JsonNode json = new ObjectMapper().readTree(said);
      JsonNode stream = json.at("/streams/0");
      JsonNode tags = json.at("/format/tags");
      assertEquals(lane.frameCount(), stream.get("duration_ts").asLong());
      assertEquals(Integer.toString(lane.sampleRateHz()), stream.get("sample_rate").asText());
      assertEquals(lane.bitsPerSample(), stream.get("bits_per_sample").asInt());
      assertEquals(1, stream.get("channels").asInt());
      String form = lane.sampleFormat() == LaneReport.SampleFormat.FLOAT ? "pcm_f" : "pcm_s";
      assertTrue(stream.get("codec_name").asText().startsWith(form), said);
      assertEquals(Long.toString(read.timeReference()), tags.get("time_reference").asText());
      WaveHeader header = read.header();
      assertEquals(header.bext().originatorReference(), tags.get("originator_reference").asText());
      assertEquals(lane.name(), tags.get("title").asText());
      assertTrue(
          tags.get("umid")
              .asText()
              .equalsIgnoreCase("0x" + header.bext().umid().toString().substring(0, 64)),
          said);
      assertEquals(
          header.bext().codingHistory(),
          tags.get("coding_history").asText().replace("\r\n", "\n").stripTrailing());
    }
  }

  /** MediaInfo, which shows the loudness fields too. */
  @Test
  void mediainfo() throws Exception {
    for (Read read : lanes()) {
      LaneReport lane = read.lane();
      JsonNode tracks =
          new ObjectMapper()
              .readTree(said("mediainfo", "--Output=JSON", read.file()))
              .at("/media/track");
      JsonNode general = tracks.get(0);
      JsonNode audio = tracks.get(1);
      assertEquals(lane.frameCount(), audio.get("SamplingCount").asLong());
      assertEquals(lane.sampleRateHz(), audio.get("SamplingRate").asInt());
      assertEquals(lane.bitsPerSample(), audio.get("BitDepth").asInt());
      assertEquals("2", general.at("/extra/bext_Version").asText());
      double delay = (double) read.timeReference() / lane.sampleRateHz();
      assertEquals(delay, audio.get("Delay").asDouble(), 1e-6);
      BextLoudness loudness = read.header().bext().loudness();
      JsonNode extra = audio.get("extra");
      assertEquals(loudness.integratedLufs(), extra.get("LoudnessValue").asDouble(), 1e-9);
      assertEquals(loudness.rangeLu(), extra.get("LoudnessRange").asDouble(), 1e-9);
      assertEquals(loudness.maxTruePeakDbtp(), extra.get("MaxTruePeakLevel").asDouble(), 1e-9);
      assertEquals(loudness.maxMomentaryLufs(), extra.get("MaxMomentaryLoudness").asDouble(), 1e-9);
      assertEquals(loudness.maxShortTermLufs(), extra.get("MaxShortTermLoudness").asDouble(), 1e-9);
    }
  }

  /** FFmpeg's own meter (ITU-R BS.1770) on the file against what we wrote into it. */
  @Test
  void ebur128OfFfmpegAgreesWithTheLoudnessFields() throws Exception {
    for (Read read : lanes()) {
      LaneReport lane = read.lane();
      String said =
          said(
              "ffmpeg",
              "-hide_banner",
              "-nostats",
              "-i",
              read.file(),
              "-af",
              "ebur128=peak=true",
              "-f",
              "null",
              "-");
      BextLoudness loudness = read.header().bext().loudness();
      String summary = said.substring(said.indexOf("Summary:"));
      assertEquals(
          loudness.integratedLufs(), real(summary, "I: +(-?[0-9.]+) LUFS"), 0.11, lane.file());
      // Its filter is another one; BS.1770, Annex 2, attachment 1: one of 4 x may under-read by
      // 0.69.
      assertEquals(
          loudness.maxTruePeakDbtp(), real(summary, "Peak: +(-?[0-9.]+) dBFS"), 0.7, lane.file());
    }
  }

  @Test
  void sox() throws Exception {
    for (Read read : lanes()) {
      LaneReport lane = read.lane();
      assertEquals(
          Long.toString(lane.frameCount()), said("sox", "--info", "-s", read.file()).strip());
      assertEquals(
          Integer.toString(lane.sampleRateHz()), said("sox", "--info", "-r", read.file()).strip());
      assertEquals("1", said("sox", "--info", "-c", read.file()).strip());
      assertEquals(
          Integer.toString(lane.bitsPerSample()), said("sox", "--info", "-b", read.file()).strip());
    }
  }

  /** libxml2. */
  @Test
  void xmllint() throws Exception {
    Path xml = folder.resolve("lane.xml");
    for (Read read : lanes()) {
      LaneReport lane = read.lane();
      Files.writeString(xml, read.header().ixml());
      assertEquals("", said("xmllint", "--noout", "--nonet", xml.toString()));
      String high = value(xml, "SPEED/TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI");
      String low = value(xml, "SPEED/TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO");
      if (lane.timeReferenceSamples() == null) {
        assertEquals("", high + low, "a clip without a place claims no time");
      } else {
        assertEquals(read.timeReference(), (Long.parseLong(high) << 32) + Long.parseLong(low));
      }
      assertEquals(Integer.toString(lane.sampleRateHz()), value(xml, "SPEED/FILE_SAMPLE_RATE"));
      assertEquals(lane.name(), value(xml, "TRACK_LIST/TRACK/NAME"));
      String source = lane.source().substring(lane.source().lastIndexOf('/') + 1);
      assertEquals(source, value(xml, "HISTORY/PARENT_FILENAME"));
      // The harvest supper's other clips were made without one.
      boolean picture = source.equals("f\u00eate.mov") || DEMO_CLIPS.contains(lane.source());
      assertEquals(picture, !value(xml, "SPEED/TIMECODE_RATE").isEmpty(), source);
      long family =
          read.of().report().lanes().stream()
              .filter(other -> other.source().equals(lane.source()))
              .count();
      assertEquals(Long.toString(family), value(xml, "FILE_SET/TOTAL_FILES"));
    }
  }

  private static String value(Path xml, String path) throws Exception {
    return said("xmllint", "--nonet", "--xpath", "string(/BWFXML/" + path + ")", xml.toString())
        .strip();
  }

  /**
   * The OpenTimelineIO project's own library opens the timeline and finds every clip where the
   * report has it; skipped where Python cannot import it.
   */
  @Test
  void openTimelineIo() throws Exception {
    String script =
        """
        import sys
        try:
            import opentimelineio as otio
        except ImportError:
            print("none")
            sys.exit(0)
        timeline = otio.adapters.read_from_file(sys.argv[1])
        for track in timeline.tracks:
            for clip in track.find_clips():
                at = clip.transformed_time(otio.opentime.RationalTime(0, 48000)
                                           + clip.source_range.start_time, timeline.tracks)
                print(track.kind, clip.name, repr(at.to_seconds()), len(clip.markers), sep="|")
        """;
    String said = said("python3", "-c", script, target.resolve("timeline.otio").toString());
    boolean there = !said.strip().equals("none");
    if (!there) {
      System.out.println("Skipped: Python has no opentimelineio here.");
    }
    assumeTrue(there, "Python has no opentimelineio here");
    Map<String, Double> starts = new HashMap<>();
    for (String line : said.strip().lines().toList()) {
      String[] cells = line.split("\\|", -1);
      starts.put(cells[1], Double.parseDouble(cells[2]));
    }
    for (LaneReport lane : report.lanes()) {
      String name = lane.file().substring(lane.file().lastIndexOf('/') + 1);
      double wanted = (double) lane.startFrameOnReference() / lane.sampleRateHz();
      assertEquals(wanted, starts.get(name), 1e-6, name);
    }
    for (SourceReport source : report.sources()) {
      if (source.path().endsWith("f\u00eate.mov")) {
        assertEquals(source.placement().offsetSeconds(), starts.get("f\u00eate.mov"), 2e-5);
      }
    }
  }

  private static long number(String text, String pattern) {
    return Long.parseLong(found(text, pattern));
  }

  private static double real(String text, String pattern) {
    return Double.parseDouble(found(text, pattern));
  }

  private static String found(String text, String pattern) {
    var matcher = Pattern.compile(pattern).matcher(text);
    assertTrue(matcher.find(), pattern + " in " + text);
    return matcher.group(1);
  }

  /** What a program prints; skips the test where it is not installed. */
  private static String said(String... command) throws Exception {
    Process process;
    try {
      List<String> line = new ArrayList<>(Arrays.asList(command));
      ProcessBuilder builder = new ProcessBuilder(line).redirectErrorStream(true);
      builder.environment().put("LC_ALL", "C.UTF-8");
      process = builder.start();
    } catch (IOException e) {
      System.out.println("Skipped: there is no " + command[0] + " here.");
      assumeTrue(false, "there is no " + command[0] + " here");
      throw e;
    }
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertTrue(process.waitFor(60, TimeUnit.SECONDS), command[0]);
    assertEquals(0, process.exitValue(), command[0] + ": " + said);
    return said;
  }
}
