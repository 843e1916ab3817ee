package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;

class TextReportTest {
  @Test
  void linesFitEightyColumns() {
    String text = TextReport.of(SampleReports.honeyEvening());
    for (String line : text.split("\n", -1)) {
      assertTrue(line.length() <= TextReport.WIDTH, line.length() + ": " + line);
      assertEquals(line.stripTrailing(), line);
    }
    assertTrue(text.endsWith("\n"));
    assertFalse(text.contains("\u00a0"));
    assertFalse(text.contains("\t"));
  }

  @Test
  void everySourceHasItsBlock() {
    Report report = SampleReports.honeyEvening();
    String text = TextReport.of(report);
    for (SourceReport source : report.sources()) {
      String head = source.path() + "  [" + Standing.of(report, source).label() + "]";
      assertTrue(text.contains("\n\n" + head + "\n"), head);
      assertTrue(text.contains(TextReport.ofSource(report, source)), head);
    }
    for (LaneReport lane : report.lanes()) {
      assertTrue(text.contains("\n  " + lane.file() + " "), lane.file());
    }
    assertTrue(text.contains("LOOK AT FIRST\n  FAULT CAM-B/B0001.MTS: "), text);
    assertTrue(text.contains("no level to measure, silent"), text);
  }

  @Test
  void aRoleThatIsAGuessIsSaidToBeOne() {
    Report report = SampleReports.honeyEvening();
    String plain = TextReport.of(report);
    assertTrue(plain.contains("Ida-Brandl, left, from"), plain);
    List<LaneReport> lanes = report.lanes().stream().map(SampleReports::guessed).toList();
    Report guessed =
        Report.of(report.madeBy(), report.madeAt(), report.reference(), report.sources(), lanes);
    String text = TextReport.of(guessed);
    assertTrue(text.contains("Ida-Brandl, left (a guess), from"), text);
    String page = ReportPage.html(guessed, Map.of(), SamplePictures.extras());
    assertTrue(page.contains("left (a guess)"));
    assertFalse(ReportPage.html(report, Map.of(), SamplePictures.extras()).contains("(a guess)"));
  }

  @Test
  void numbersStayWithTheirUnits() {
    List<String> lines = new ArrayList<>();
    TextReport.wrap(lines, "  ", "x".repeat(70) + " reach 19.2 dB there");
    assertEquals(List.of("  " + "x".repeat(70) + " reach", "    19.2 dB there"), lines);
  }

  @Test
  void aLongNameStaysWhole() {
    List<String> lines = new ArrayList<>();
    TextReport.wrap(lines, "", "one " + "n".repeat(200) + " two");
    assertEquals(List.of("one", "n".repeat(200), "two"), lines);
  }

  /** An accent is no column of its own, and a supplementary character is one. */
  @Test
  void columnsAreCountedAsRead() {
    List<String> lines = new ArrayList<>();
    TextReport.wrap(lines, "", "e\u0301".repeat(40) + " " + "𝄞".repeat(39));
    assertEquals(1, lines.size());
    lines.clear();
    TextReport.wrap(lines, "", "e\u0301".repeat(40) + " " + "𝄞".repeat(40));
    assertEquals(2, lines.size());
  }

  /** Terminal escapes (ECMA-48) and direction overrides (UAX 9) in a name must not act. */
  @Test
  void namesCannotSteerTheTerminal() {
    String hostile = "a\u001b[2Jb\u0007\u009b31m\u202ec\r\nd\ud800.mov";
    Report report =
        SampleReports.withSources(
            SourceReport.unreadable(
                hostile,
                SourceReport.Kind.CLIP,
                null,
                new ErrorReport(ErrorReport.Code.MALFORMED, "Bad.")));
    String text = TextReport.of(report);
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      assertTrue(c == '\n' || !Character.isISOControl(c), "control " + (int) c);
      assertFalse(c >= '\u202a' && c <= '\u202e', "override at " + i);
      assertFalse(Character.isSurrogate(c), "surrogate at " + i);
    }
    assertTrue(text.contains("a\ufffd[2Jb"), text);
  }
}
