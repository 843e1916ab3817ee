package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;

/** The tables read back by a reader written from the grammar of RFC 4180, section 2. */
@NullUnmarked
class TablesTest {
  @Test
  void everySourceIsALine() {
    Report report = SampleReports.honeyEvening();
    List<Map<String, String>> rows =
        read(
            Tables.placements(
                report,
                Map.of("CAM-A/A0001.MOV", new Original("x.mov", true, 25.0, "18:02:12:12"))));
    assertEquals(report.sources().size(), rows.size());
    Map<String, String> clip = rows.get(1);
    assertEquals("CAM-A/A0001.MOV", clip.get("path"));
    assertEquals("placed", clip.get("state"));
    assertEquals("132.482916667", clip.get("offsetSeconds"));
    assertEquals("23.41", clip.get("driftPpm"));
    assertEquals("86401920", clip.get("frameCount"));
    assertEquals("18:02:12:12", clip.get("startTimecode"));
    assertEquals("false", clip.get("clockCorrected"));
    assertEquals("lanes/Ida-Brandl.wav lanes/Jonas-Reet.wav", clip.get("lanes"));
    assertTrue(clip.get("says").contains("Nine of ten windows agree"), clip.get("says"));
    assertEquals("reference", rows.get(0).get("state"));
    assertEquals("", rows.get(0).get("offsetSeconds"));
    Map<String, String> broken = rows.get(6);
    assertEquals("cannot be read", broken.get("state"));
    assertTrue(broken.get("says").startsWith("Damaged: "));
    assertEquals("not placed", rows.get(5).get("state"));
    assertEquals("fits", rows.get(4).get("says").substring(0, 4).toLowerCase(Locale.ROOT));
  }

  @Test
  void everyStretchOfAFindingIsALine() {
    Report report = SampleReports.honeyEvening();
    List<Map<String, String>> rows = read(Tables.findings(report));
    int wanted = 0;
    for (SourceReport source : report.sources()) {
      for (ChannelReport channel : source.channels()) {
        for (FindingReport finding : channel.findings()) {
          wanted += Math.max(1, finding.spans().size());
        }
      }
    }
    assertEquals(wanted, rows.size());
    Map<String, String> hum =
        rows.stream().filter(row -> row.get("code").equals("hum")).findFirst().orElseThrow();
    assertEquals("2", hum.get("channel"));
    assertEquals("warning", hum.get("severity"));
    assertEquals("1800", hum.get("endSeconds"));
    assertEquals("132.482916667", hum.get("referenceStartSeconds"));
    // 132.482916667 + 1800 x (1 + 23.41e-6), by hand.
    assertEquals("1932.525054667", hum.get("referenceEndSeconds"));
    assertEquals("Mains hum at 50 Hz and its multiples, about -52 dBFS.", hum.get("says"));
    Map<String, String> low =
        rows.stream().filter(row -> row.get("code").equals("low-level")).findFirst().orElseThrow();
    assertEquals("", low.get("startSeconds"));
  }

  @Test
  void hostileTextsStayInTheirCell() {
    List<String> names =
        List.of("a,b.mov", "say \"x\".mov", "=1+1.mov", "@x", "-x", "+x", "line\r\nbreak.mov");
    List<SourceReport> sources =
        names.stream()
            .map(
                name ->
                    SourceReport.unreadable(
                        name,
                        SourceReport.Kind.CLIP,
                        name,
                        new ErrorReport(ErrorReport.Code.IO, name)))
            .toList();
    List<Map<String, String>> rows =
        read(
            Tables.placements(
                SampleReports.withSources(sources.toArray(new SourceReport[0])), Map.of()));
    assertEquals(names.size(), rows.size());
    for (int i = 0; i < names.size(); i++) {
      String name = names.get(i);
      boolean formula = "=@-+".indexOf(name.charAt(0)) >= 0;
      assertEquals(formula ? "'" + name : name, rows.get(i).get("path"));
      assertEquals("Cannot be opened: " + name, rows.get(i).get("says"));
    }
  }

  @Test
  void anEmptyReportIsAHeadingOnly() {
    assertEquals(List.of(), read(Tables.placements(SampleReports.empty(), Map.of())));
    assertEquals(List.of(), read(Tables.findings(SampleReports.empty())));
  }

  /** RFC 4180, section 2: records end with CR LF, quotes are doubled inside quotes. */
  private static List<Map<String, String>> read(String table) {
    List<List<String>> records = new ArrayList<>();
    List<String> record = new ArrayList<>();
    StringBuilder cell = new StringBuilder();
    boolean quoted = false;
    for (int i = 0; i < table.length(); i++) {
      char c = table.charAt(i);
      if (quoted) {
        if (c != '"') {
          cell.append(c);
        } else if (i + 1 < table.length() && table.charAt(i + 1) == '"') {
          cell.append('"');
          i++;
        } else {
          quoted = false;
        }
      } else if (c == '"') {
        assertEquals(0, cell.length(), "a quote inside a bare cell");
        quoted = true;
      } else if (c == ',') {
        record.add(cell.toString());
        cell.setLength(0);
      } else if (c == '\r') {
        assertEquals('\n', table.charAt(++i));
        record.add(cell.toString());
        cell.setLength(0);
        records.add(record);
        record = new ArrayList<>();
      } else {
        assertTrue(c != '\n', "a bare line feed");
        cell.append(c);
      }
    }
    assertTrue(!quoted && record.isEmpty() && cell.isEmpty(), "the last record has no end");
    List<Map<String, String>> rows = new ArrayList<>();
    for (List<String> cells : records.subList(1, records.size())) {
      assertEquals(records.get(0).size(), cells.size(), cells.toString());
      Map<String, String> row = new LinkedHashMap<>();
      for (int i = 0; i < cells.size(); i++) {
        row.put(records.get(0).get(i), cells.get(i));
      }
      rows.add(row);
    }
    return rows;
  }
}
