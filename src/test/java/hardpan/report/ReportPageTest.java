package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.io.StringReader;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.Set;
import javax.xml.XMLConstants;
import javax.xml.parsers.DocumentBuilder;
import javax.xml.parsers.DocumentBuilderFactory;
import org.junit.jupiter.api.Test;
import org.w3c.dom.Document;
import org.w3c.dom.Element;
import org.w3c.dom.NodeList;
import org.xml.sax.InputSource;
import org.xml.sax.helpers.DefaultHandler;

class ReportPageTest {
  private static final String SCRIPT = "<script>alert('x')</script>";
  private static final List<String> HOSTILE =
      List.of(
          SCRIPT + ".mov",
          "\"><img src=x onerror=alert(1)>.mov",
          "' onload='alert(1).mov",
          "a&b&amp;c]]>.mov",
          "蜂蜜-🐝-👩‍🌾.mov",
          "عسل/مساء.mov",
          "photo\u202egpj.mov",
          "tab\tline\nnull\u0000esc\u001b.mov",
          "lone\ud83dsurrogate\uffff.mov",
          "--></style></svg></title>.mov",
          "javascript:alert(1)",
          "n".repeat(300) + ".mov");

  @Test
  void writesTheInventedShootForTheEye() throws Exception {
    Report report = SampleReports.honeyEvening();
    String html = ReportPage.html(report, SamplePictures.of(report), SamplePictures.extras());
    keep("honey-evening", html);
    Document page = parse(html);
    assertEquals(7, elements(page, "article").size());
    List<String> boxes = new ArrayList<>();
    for (Element rect : elements(page, "rect")) {
      if (rect.getAttribute("class").startsWith("box")) {
        boxes.add(rect.getAttribute("class"));
      }
    }
    assertEquals(List.of("box", "box", "box", "box", "box box-ambiguous"), boxes);
    String text = page.getDocumentElement().getTextContent();
    for (String phrase :
        List.of(
            "Honey evening, Lindmoor beekeepers",
            "7 sources: the reference, 3 placed on it",
            "clock +23.4\u00a0ppm",
            "30\u00a0dB pad",
            "+4\u00a0dBu less 30\u00a0dB is \u221226\u00a0dBu = 38.8\u00a0mV",
            "ring pin\u00a03 (cold)",
            "The camera's side file; it holds no sound.",
            "Never lift the mains earth",
            "0:12.50 to 5:10.25",
            "3\u00a0h 21\u00a0min of sound")) {
      assertTrue(text.contains(phrase), phrase);
    }
  }

  /** Each box must stand where the placement formula says, within the tenth it is drawn to. */
  @Test
  void boxesStandInTheirPlaces() throws Exception {
    Report report = SampleReports.honeyEvening();
    Document page = parse(ReportPage.html(report, Map.of(), SamplePictures.extras()));
    List<Element> boxes = new ArrayList<>();
    for (Element rect : elements(page, "rect")) {
      if (rect.getAttribute("class").startsWith("box")) {
        boxes.add(rect);
      }
    }
    double perSecond = number(boxes.get(0), "width") / 5400;
    double zero = number(boxes.get(0), "x");
    double[] starts = {0, 132.482916667, 2403.25, 641.1, 3601.5};
    double[] lengths = {5400, 1800.04 * (1 + 23.41e-6), 1500, 2400, 900};
    for (int i = 0; i < starts.length; i++) {
      assertEquals(zero + starts[i] * perSecond, number(boxes.get(i), "x"), 0.11, "box " + i);
      assertEquals(lengths[i] * perSecond, number(boxes.get(i), "width"), 0.11, "box " + i);
    }
  }

  /** A damaged clip has its sign and its word on the common clock too. */
  @Test
  void faultsAreMarkedOnTheClock() {
    Report report = SampleReports.honeyEvening();
    String html = ReportPage.html(report, Map.of(), SamplePictures.extras());
    String clock = html.substring(html.indexOf("<svg class=\"clock\""));
    clock = clock.substring(0, clock.indexOf("</svg>"));
    long damaged =
        report.sources().stream()
            .filter(source -> source.error() == null)
            .filter(
                source ->
                    FirstLooks.of(source).stream()
                        .anyMatch(look -> look.severity() == FindingReport.Severity.FAULT))
            .count();
    assertTrue(damaged > 0);
    assertEquals(damaged, clock.split("class=\"is-fault\"", -1).length - 1);
    assertEquals(damaged, clock.split("<title>[^<]*, [0-9] faults?<", -1).length - 1);
  }

  @Test
  void needsNothingFromOutside() {
    Report report = SampleReports.honeyEvening();
    String html = ReportPage.html(report, SamplePictures.of(report), SamplePictures.extras());
    for (String forbidden :
        List.of("http:", "https:", "//", "<script", "@import", "url(", "<link", "<img")) {
      assertFalse(html.contains(forbidden), forbidden);
    }
  }

  @Test
  void isReachableForEveryone() throws Exception {
    Report report = SampleReports.honeyEvening();
    Document page =
        parse(ReportPage.html(report, SamplePictures.of(report), SamplePictures.extras()));
    assertEquals("en", page.getDocumentElement().getAttribute("lang"));
    assertEquals(1, elements(page, "main").size());
    assertEquals(1, elements(page, "header").size());
    assertEquals(1, elements(page, "footer").size());
    assertEquals(1, elements(page, "nav").size());
    assertEquals(1, elements(page, "h1").size());
    int level = 1;
    Set<String> ids = new HashSet<>();
    for (Element element : elements(page, "*")) {
      String id = element.getAttribute("id");
      assertTrue(id.isEmpty() || ids.add(id), "id twice: " + id);
      if (element.getTagName().matches("h[1-6]")) {
        int next = element.getTagName().charAt(1) - '0';
        assertTrue(next <= level + 1, "heading skips a level: " + element.getTextContent());
        level = next;
      }
    }
    for (Element element : elements(page, "*")) {
      for (String attribute : List.of("href", "aria-labelledby")) {
        for (String target : element.getAttribute(attribute).split(" ", -1)) {
          String id = target.replaceFirst("^#", "");
          assertTrue(id.isEmpty() || ids.contains(id), attribute + " to nowhere: " + target);
        }
      }
      if (element.getAttribute("role").equals("img")) {
        assertFalse(elements(element, "title").isEmpty());
        assertFalse(elements(element, "desc").get(0).getTextContent().isBlank());
      }
      if (element.getTagName().equals("svg") && element.getAttribute("role").isEmpty()) {
        assertEquals("true", element.getAttribute("aria-hidden"));
      }
      if (element.getTagName().equals("th")) {
        assertTrue(Set.of("col", "row").contains(element.getAttribute("scope")));
      }
      if (element.getAttribute("class").startsWith("badge")) {
        assertFalse(element.getTextContent().isBlank(), "a badge without a word");
        assertEquals(1, elements(element, "use").size(), "a badge without a shape");
      }
    }
    assertTrue(ids.containsAll(List.of("looks", "clock", "sources", "lanes", "s1", "s7")));
  }

  @Test
  void hostileTextsStayTexts() throws Exception {
    List<SourceReport> sources = new ArrayList<>();
    for (String name : HOSTILE) {
      FindingReport finding =
          new FindingReport(
              "hum", FindingReport.Severity.FAULT, List.of(), Map.of(name, name), name, name);
      sources.add(
          SampleReports.clip(
              name,
              name,
              60,
              "2026-09-19T18:00:00Z",
              new PairReport(PairReport.Verdict.STEREO, 1, 1.0, 0.0, 0.0, null),
              List.of(SampleReports.withFindings(SampleReports.channel(0, name, -6, -20), finding)),
              new PlacementReport(
                  PlacementReport.State.PLACED,
                  1.0,
                  0.0,
                  false,
                  1,
                  0.0,
                  60.0,
                  List.of(name),
                  name)));
      sources.add(
          SourceReport.unreadable(
              "bad/" + name,
              SourceReport.Kind.CLIP,
              name,
              new ErrorReport(ErrorReport.Code.MALFORMED, name)));
    }
    List<LaneReport> lanes =
        HOSTILE.stream()
            .map(
                name ->
                    new LaneReport(
                        name,
                        0,
                        0L,
                        1L,
                        name,
                        name,
                        name,
                        List.of(0, 1),
                        null,
                        null,
                        48000,
                        32,
                        LaneReport.SampleFormat.FLOAT,
                        1,
                        false,
                        0,
                        0,
                        null))
            .toList();
    Report report =
        Report.of(SCRIPT, SampleReports.empty().madeAt(), HOSTILE.get(0), sources, lanes);
    PageExtras extras =
        new PageExtras(
            SCRIPT,
            HOSTILE.stream().map(name -> new PageExtras.LeftOut(name, name)).toList(),
            HOSTILE,
            HOSTILE.stream().map(name -> new PageExtras.Total(name, name)).toList());
    String html = ReportPage.html(report, SamplePictures.of(report), extras);
    keep("hostile", html);
    Document page = parse(html);
    Set<String> tags = new HashSet<>();
    for (Element element : elements(page, "*")) {
      tags.add(element.getTagName());
      for (int i = 0; i < element.getAttributes().getLength(); i++) {
        String attribute = element.getAttributes().item(i).getNodeName();
        assertFalse(attribute.startsWith("on") || attribute.equals("src"), attribute);
        String href = element.getAttribute("href");
        assertTrue(href.isEmpty() || href.startsWith("#"), href);
      }
    }
    assertFalse(tags.contains("script"));
    assertFalse(tags.contains("img"));
    assertEquals(1, elements(page, "style").size());
    assertTrue(page.getDocumentElement().getTextContent().contains(SCRIPT + ".mov"));
    assertFalse(html.contains("\u202e"));
    assertFalse(html.contains("\u0000"));
    assertTrue(html.contains("👩‍🌾"));
  }

  @Test
  void anEmptyShootAndOneWithoutAReference() throws Exception {
    PageExtras bare = new PageExtras("Nothing", List.of(), List.of(), List.of());
    Document empty = parse(ReportPage.html(SampleReports.empty(), Map.of(), bare));
    assertTrue(empty.getDocumentElement().getTextContent().contains("No source was found."));
    Report loose =
        SampleReports.withSources(
            SampleReports.clip("a.mov", "a", 1, "2026-01-01T00:00:00Z", null, List.of(), null));
    String text =
        parse(ReportPage.html(loose, Map.of(), bare)).getDocumentElement().getTextContent();
    assertTrue(text.contains("Nothing was lined up"), text);
    assertFalse(text.contains("Without a place"), text);
    assertFalse(text.contains("Cautions"), text);
  }

  /** Eighty clips of five devices over eight hours: labels must not run into one another. */
  @Test
  void aBusyDayStaysReadable() throws Exception {
    List<SourceReport> sources = new ArrayList<>();
    sources.add(
        SampleReports.clip(
            "REC/day.wav", "REC", 28800, "2026-09-19T09:00:00Z", null, List.of(), null));
    Random random = new Random(20260919);
    for (int device = 0; device < 5; device++) {
      double at = 200 * device;
      for (int part = 1; part <= 16; part++) {
        double seconds = random.nextInt(4) == 0 ? 1500 : 20 + random.nextInt(300);
        sources.add(
            SampleReports.clip(
                "CAM-" + (char) ('A' + device) + "/C00" + part + ".MP4",
                "CAM-" + (char) ('A' + device),
                seconds,
                "2026-09-19T09:00:00Z",
                null,
                List.of(SampleReports.channel(0, "left", -6, -20)),
                SampleReports.placed(at, 0, false, 0.99, 0.1, seconds)));
        at += seconds + random.nextInt(600);
      }
    }
    Report report =
        Report.of("x", SampleReports.empty().madeAt(), "REC/day.wav", sources, List.of());
    String html = ReportPage.html(report, SamplePictures.of(report), SamplePictures.extras());
    keep("busy-day", html);
    Map<String, Double> taken = new HashMap<>();
    int labels = 0;
    for (Element text : elements(parse(html), "text")) {
      if (text.getAttribute("class").isEmpty()) {
        double x = number(text, "x");
        String y = text.getAttribute("y");
        assertTrue(x >= taken.getOrDefault(y, 0.0), text.getTextContent());
        // Six units a letter at 13 px is on the narrow side for a system typeface.
        taken.put(y, x + 6 * (text.getTextContent().length() - 2));
        labels++;
      }
    }
    assertTrue(labels >= 50, "labels: " + labels);
  }

  /** Lengths from zero to absurd must neither hang nor break the drawing. */
  @Test
  void oddLengthsAreDrawn() throws Exception {
    for (double seconds : new double[] {0, 1e-6, 0.5, 3, 90000, 4e6, 1e12, 1e300}) {
      SourceReport clip =
          SampleReports.clip(
              "a.mov",
              "a",
              seconds,
              "2026-01-01T00:00:00Z",
              null,
              List.of(SampleReports.channel(0, "left", -6, -20)),
              SampleReports.placed(-seconds, 50, false, 1, 0, seconds));
      SourceReport reference =
          SampleReports.clip("r.wav", "r", seconds, "2026-01-01T00:00:00Z", null, List.of(), null);
      Report report =
          Report.of(
              "x", SampleReports.empty().madeAt(), "r.wav", List.of(reference, clip), List.of());
      String html = ReportPage.html(report, SamplePictures.of(report), SamplePictures.extras());
      int ticks = html.split("class=\"tick\"", -1).length - 1;
      assertTrue(ticks >= 1 && ticks <= 28, seconds + " s: " + ticks + " ticks");
      assertFalse(html.contains("NaN"));
      parse(html);
    }
  }

  @Test
  void waveformsSurviveOddColumns() {
    float[] odd = {Float.NaN, 5, Float.POSITIVE_INFINITY, Float.NEGATIVE_INFINITY, 0.5f};
    String path = WaveDrawing.path(odd, odd, 0, 0, 100, 40);
    assertTrue(path.matches("M[-0-9. L]+Z"), path);
    for (String coordinate : path.replaceAll("[MLZ]", " ").strip().split(" +", -1)) {
      double value = Double.parseDouble(coordinate);
      assertTrue(value >= 0 && value <= 100, coordinate);
    }
    assertEquals("", WaveDrawing.path(new float[0], new float[0], 0, 0, 100, 40));
    assertEquals("", WaveDrawing.path(odd, odd, 0, 0, -3, 40));
    // One full-scale column in four, drawn four units wide and two high: corner by corner.
    assertEquals(
        "M0 0.8L1 0L2 0.8L3 0.8L4 0.8L4 1.2L3 1.2L2 1.2L1 2L0 1.2Z",
        WaveDrawing.path(new float[] {0, -1, 0, 0}, new float[] {0, 1, 0, 0}, 0, 0, 4, 2));
    assertThrows(
        IllegalArgumentException.class,
        () -> new SourcePicture(List.of(odd), List.of(new float[3])));
    assertThrows(IllegalArgumentException.class, () -> new SourcePicture(List.of(odd), List.of()));
  }

  /** Clipped stretches are marked at their share of the width, 600 units standing for all. */
  @Test
  void clippedStretchesAreMarked() {
    SourcePicture picture =
        new SourcePicture(List.of(new float[] {-1, -1}), List.of(new float[] {1, 1}));
    String svg =
        WaveDrawing.strip(
            picture,
            0,
            100,
            List.of(new SpanReport(25, 50), new SpanReport(99.99, 100)),
            List.of(),
            "W");
    assertTrue(svg.contains("class=\"cut\" x=\"150\" y=\"0\" width=\"150\""), svg);
    assertTrue(svg.contains("class=\"cut\" x=\"598\" y=\"0\" width=\"2\""), svg);
    assertTrue(svg.contains("2 clipped stretches"), svg);
    List<SpanReport> many = new ArrayList<>();
    for (int i = 0; i < 50_000; i++) {
      many.add(new SpanReport(i * 0.002, i * 0.002 + 0.001));
    }
    String full = WaveDrawing.strip(picture, 0, 100, many, List.of(), "W");
    assertEquals(1, full.split("class=\"cut\"", -1).length - 1);
    assertTrue(full.contains("class=\"cut\" x=\"0\" y=\"0\" width=\"600\""), full);
    assertTrue(full.contains("50000 clipped stretches"), full);
  }

  /** Each finding has a row of its own from the bottom up: 60 high, rows of 4 and a gap of 1. */
  @Test
  void findingsAreMarkedInRows() {
    SourcePicture picture =
        new SourcePicture(List.of(new float[] {-1, -1}), List.of(new float[] {1, 1}));
    List<FindingReport> findings =
        List.of(
            new FindingReport(
                "hum",
                FindingReport.Severity.WARNING,
                List.of(new SpanReport(0, 50)),
                Map.of(),
                "It hums.",
                ""),
            new FindingReport(
                "dropout",
                FindingReport.Severity.NOTE,
                List.of(new SpanReport(10, 20), new SpanReport(80, 90)),
                Map.of(),
                "It stops.",
                ""));
    String svg = WaveDrawing.strip(picture, 0, 100, List.of(), findings, "W");
    assertTrue(
        svg.contains("class=\"is-warning\" x=\"0\" y=\"55\" width=\"300\" height=\"4\""), svg);
    assertTrue(svg.contains("class=\"is-note\" x=\"60\" y=\"50\" width=\"60\""), svg);
    assertTrue(svg.contains("class=\"is-note\" x=\"480\" y=\"50\" width=\"60\""), svg);
    assertTrue(svg.contains("hum: 1 stretch marked"), svg);
    assertTrue(svg.contains("dropout: 2 stretches marked"), svg);
  }

  /** The dot of a window that lies 0.08 ms late: range 1.25 x 0.08 = 0.1 ms, 80 % of the way up. */
  @Test
  void residualsAreDrawnToScale() {
    String figure =
        ResidualDrawing.figure(
            List.of(
                new SourcePicture.Residual(50, 0.08, true),
                new SourcePicture.Residual(25, -0.04, true),
                new SourcePicture.Residual(75, 9, false)),
            100);
    // Middle 30, half a range is 25 units: 30 - 0.8 x 25 = 10; 30 + 0.4 x 25 = 40.
    assertTrue(figure.contains("class=\"dot\" d=\"M300 10h0\""), figure);
    assertTrue(figure.contains("class=\"dot\" d=\"M150 40h0\""), figure);
    // Beyond the edge: at the edge, 5 units from the top, as a stroke of 10.
    assertTrue(figure.contains("class=\"miss\" d=\"M450 0v10\""), figure);
    assertTrue(figure.contains("2 of 3 windows count; they lie within 0.080 ms"), figure);
    assertTrue(figure.contains("0.10 ms late and early"), figure);
    assertTrue(figure.contains("Upright strokes"), figure);
    assertEquals("", ResidualDrawing.figure(List.of(), 100));
  }

  private static void keep(String name, String html) throws IOException {
    Path folder = Files.createDirectories(Path.of("target", "report-page"));
    Files.writeString(folder.resolve(name + ".html"), html);
  }

  private static Document parse(String html) throws Exception {
    assertTrue(html.startsWith("<!DOCTYPE html>\n"));
    DocumentBuilderFactory factory = DocumentBuilderFactory.newInstance();
    factory.setAttribute(XMLConstants.ACCESS_EXTERNAL_DTD, "");
    DocumentBuilder builder = factory.newDocumentBuilder();
    builder.setErrorHandler(new DefaultHandler());
    return builder.parse(new InputSource(new StringReader(html)));
  }

  private static double number(Element element, String attribute) {
    return Double.parseDouble(element.getAttribute(attribute));
  }

  private static List<Element> elements(Document page, String tag) {
    return elements(page.getDocumentElement(), tag);
  }

  private static List<Element> elements(Element parent, String tag) {
    NodeList nodes = parent.getElementsByTagName(tag);
    List<Element> list = new ArrayList<>();
    for (int i = 0; i < nodes.getLength(); i++) {
      list.add((Element) nodes.item(i));
    }
    return list;
  }
}
