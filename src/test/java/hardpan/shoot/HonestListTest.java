package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.media.ReaderChoice;
import hardpan.report.ChannelReport;
import hardpan.report.FindingReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.wave.WaveFormat;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What is damaged is said, and what can stand in for it. */
class HonestListTest {
  @TempDir private Path folder;

  private static List<FindingReport> findings(Report report, String path) {
    SourceReport source = report.source(path).orElseThrow();
    return source.channels().stream().map(ChannelReport::findings).flatMap(List::stream).toList();
  }

  private static boolean has(List<FindingReport> findings, String code) {
    return findings.stream().anyMatch(finding -> finding.code().equals(code));
  }

  private Report report() throws Exception {
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      Shoot shoot = steps.lineUp(steps.read(steps.find(List.of(folder))), null);
      return ReportMaker.report(shoot, List.of(), ShootSamples.MADE_AT);
    }
  }

  @Test
  void aHoleInATransportStreamIsTold() throws Exception {
    float[] speech = ShootSamples.speech(3, 48_000, 12);
    Path clip = folder.resolve("CAM/a.mts");
    Files.createDirectories(clip.getParent());
    ShootSamples.clip(clip, "mpegts", "ac3", 48_000, speech, speech);
    assertFalse(has(findings(report(), "CAM/a.mts"), "missing-sound"));
    byte[] whole = Files.readAllBytes(clip);
    int packet = 188;
    int from = whole.length / 2 / packet * packet;
    int to = from + whole.length / 8 / packet * packet;
    byte[] holed = new byte[whole.length - (to - from)];
    System.arraycopy(whole, 0, holed, 0, from);
    System.arraycopy(whole, to, holed, from, whole.length - to);
    Files.write(clip, holed);
    List<FindingReport> found = findings(report(), "CAM/a.mts");
    assertTrue(has(found, "missing-sound"), found.toString());
  }

  @Test
  void aRecordingCutShortIsTold() throws Exception {
    Path take = folder.resolve("REC/t.wav");
    ShootSamples.wave(take, WaveFormat.integer(16, 48_000, 1), ShootSamples.speech(4, 48_000, 4));
    assertEquals(List.of(), findings(report(), "REC/t.wav"));
    byte[] whole = Files.readAllBytes(take);
    Files.write(take, Arrays.copyOf(whole, whole.length / 2));
    assertTrue(has(findings(report(), "REC/t.wav"), "odd-file"));
  }

  @Test
  void theRecordersCleanCopyIsNamed() throws Exception {
    float[] speech = ShootSamples.speech(5, 48_000, 30);
    ShootSamples.wave(folder.resolve("REC/t.wav"), WaveFormat.integer(24, 48_000, 1), speech);
    float[] hot = Arrays.copyOfRange(speech, 5 * 48_000, 25 * 48_000);
    float peak = 0;
    for (float x : hot) {
      peak = Math.max(peak, Math.abs(x));
    }
    for (int i = 0; i < hot.length; i++) {
      hot[i] = Math.max(-0.8f, Math.min(0.8f, hot[i] * 6 / peak));
    }
    Path clip = folder.resolve("CAM/a.mov");
    Files.createDirectories(clip.getParent());
    ShootSamples.clip(clip, "mov", "pcm_s16le", 48_000, hot, hot);
    FindingReport clipping =
        findings(report(), "CAM/a.mov").stream()
            .filter(finding -> finding.code().equals("clipping"))
            .findFirst()
            .orElseThrow();
    assertTrue(clipping.remedy().startsWith("Take REC/t.wav (mono) instead: "), clipping.remedy());
  }
}
