package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Locale;
import org.junit.jupiter.api.Test;

class FiguresTest {
  @Test
  void decimals() {
    assertEquals("-6.0", Figures.fixed(-6.02, 1));
    assertEquals("0.0", Figures.fixed(-0.04, 1));
    assertEquals("–", Figures.fixed(null, 1));
    assertEquals("–", Figures.fixed(Double.NaN, 1));
    assertEquals("+23.4", Figures.signed(23.41, 1));
    assertEquals("-12.7", Figures.signed(-12.7, 1));
    assertEquals("0.0", Figures.signed(0.04, 1));
    assertEquals("–", Figures.signed(Double.POSITIVE_INFINITY, 1));
    assertEquals("30", Figures.shortest(30.0, 1));
    assertEquals("100", Figures.shortest(100.0, 1));
    assertEquals("2.5", Figures.shortest(2.5, 2));
  }

  @Test
  void moments() {
    assertEquals("0:00", Figures.clock(0, 0));
    assertEquals("2:12.483", Figures.clock(132.482916667, 3));
    assertEquals("1:00:01.500", Figures.clock(3601.5, 3));
    assertEquals("1:00:00", Figures.clock(3599.9, 0));
    assertEquals("\u22120:12.35", Figures.clock(-12.345678, 2));
    assertEquals("0:00", Figures.clock(-0.2, 0));
    assertEquals("27:46:40", Figures.clock(100000, 0));
  }

  @Test
  void lengths() {
    assertEquals("9.5 s", Figures.length(9.5));
    assertEquals("30 min", Figures.length(1800.04));
    assertEquals("1 min 36 s", Figures.length(95.5));
    assertEquals("1 h 30 min", Figures.length(5400.0));
    assertEquals("2 h", Figures.length(7199.0));
    assertEquals("unknown length", Figures.length(null));
  }

  /** Only certainty may read as 100 %. */
  @Test
  void shares() {
    assertEquals("99 %", Figures.percent(0.9999));
    assertEquals("100 %", Figures.percent(1));
    assertEquals("29 %", Figures.percent(0.29));
    assertEquals("0 %", Figures.percent(0));
  }

  @Test
  void unitsStayWithTheirNumbers() {
    assertEquals(
        "about \u221252\u00a0dBFS, 15\u00a0min, 99\u00a0%, 3 dBs",
        Figures.tied("about -52 dBFS, 15 min, 99 %, 3 dBs"));
  }

  @Test
  void theMachinesLanguageDoesNotMatter() {
    Locale before = Locale.getDefault();
    try {
      for (Locale locale :
          new Locale[] {Locale.GERMANY, new Locale("ar", "EG"), new Locale("tr", "TR")}) {
        Locale.setDefault(locale);
        Report report = SampleReports.honeyEvening();
        String text = TextReport.of(report);
        String json = ReportJson.toText(report);
        String html = ReportPage.html(report, SamplePictures.of(report), SamplePictures.extras());
        Locale.setDefault(Locale.ROOT);
        assertEquals(TextReport.of(report), text, locale.toString());
        assertEquals(ReportJson.toText(report), json, locale.toString());
        assertEquals(
            ReportPage.html(report, SamplePictures.of(report), SamplePictures.extras()),
            html,
            locale.toString());
      }
    } finally {
      Locale.setDefault(before);
    }
  }
}
