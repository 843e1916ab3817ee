package hardpan.report;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/**
 * The report as one HTML5 page that needs nothing beside itself: style and drawings are inside, no
 * script, no address outside. It is written so that it is well-formed XML too. Every text that came
 * from a file, a name or a sentence is escaped.
 */
public final class ReportPage {
  private ReportPage() {}

  /**
   * Makes the page.
   *
   * @param report what was found
   * @param pictures waveforms by source path; a source without one is shown without
   * @param extras what is said besides
   * @return the whole text, to be written as UTF-8
   */
  public static String html(Report report, Map<String, SourcePicture> pictures, PageExtras extras) {
    StringBuilder html = new StringBuilder(1 << 16);
    Map<String, Integer> numbers = new HashMap<>();
    for (int i = 0; i < report.sources().size(); i++) {
      numbers.putIfAbsent(report.sources().get(i).path(), i + 1);
    }
    List<FirstLooks.Look> looks = FirstLooks.of(report);
    head(html, extras);
    html.append("<body>\n").append(PageIcons.SYMBOLS).append("<div class=\"page\">\n");
    header(html, report, extras, looks);
    html.append("<main>\n");
    looks(html, looks, numbers);
    clock(html, report, pictures);
    withoutPlace(html, report, numbers);
    devices(html, report);
    sources(html, report, pictures);
    lanes(html, report);
    leftOut(html, extras);
    cautions(html, extras);
    html.append("</main>\n<footer><p>Made by ")
        .append(Html.text(report.madeBy()))
        .append(", ")
        .append(SourceHtml.moment(report.madeAt()))
        .append(". The same report for programs is in report.json.</p></footer>\n")
        .append("</div>\n</body>\n</html>\n");
    return html.toString();
  }

  private static void head(StringBuilder html, PageExtras extras) {
    html.append("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n")
        .append("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n")
        .append("<meta name=\"color-scheme\" content=\"light dark\"/>\n<title>")
        .append(Html.isolated(extras.title()))
        .append(": what the sound is like</title>\n<style>\n")
        .append(PageStyle.css())
        .append("</style>\n</head>\n");
  }

  private static void header(
      StringBuilder html, Report report, PageExtras extras, List<FirstLooks.Look> looks) {
    html.append("<header>\n<p class=\"over\">Hardpan report</p>\n<h1>")
        .append(Html.name(extras.title()))
        .append("</h1>\n");
    for (String sentence : Sentences.overview(report)) {
      html.append("<p class=\"lead\">").append(Html.text(Figures.tied(sentence))).append("</p>\n");
    }
    if (!extras.totals().isEmpty()) {
      html.append("<dl class=\"facts\">");
      for (PageExtras.Total total : extras.totals()) {
        html.append("<div><dt>")
            .append(Html.text(total.label()))
            .append("</dt><dd>")
            .append(Html.text(Figures.tied(total.value())))
            .append("</dd></div>");
      }
      html.append("</dl>\n");
    }
    html.append("<nav aria-label=\"Parts of this page\"><ul>");
    List<String> parts = new ArrayList<>();
    parts.add("looks>Look at first (" + looks.size() + ")");
    parts.add("clock>On one clock");
    if (!report.devices().isEmpty()) {
      parts.add("devices>Devices (" + report.devices().size() + ")");
    }
    parts.add("sources>Sources (" + report.sources().size() + ")");
    if (!report.lanes().isEmpty()) {
      parts.add("lanes>Lanes (" + report.trackCount() + ")");
    }
    if (!extras.leftOut().isEmpty()) {
      parts.add("left-out>Not used (" + extras.leftOut().size() + ")");
    }
    if (!extras.cautions().isEmpty()) {
      parts.add("cautions>Cautions");
    }
    for (String part : parts) {
      html.append("<li><a href=\"#").append(part.replace(">", "\">")).append("</a></li>");
    }
    html.append("</ul></nav>\n</header>\n");
  }

  private static void looks(
      StringBuilder html, List<FirstLooks.Look> looks, Map<String, Integer> numbers) {
    section(html, "looks", "What to look at first");
    if (looks.isEmpty()) {
      html.append("<p>No fault and nothing doubtful was found.</p>\n");
    } else {
      html.append("<ol class=\"looks\">\n");
      for (FirstLooks.Look look : looks) {
        html.append("<li>")
            .append(PageIcons.badge(look.severity()))
            .append(" ")
            .append(link(look.path(), numbers));
        if (!look.channels().isEmpty()) {
          html.append(", ").append(Html.name(String.join(" and ", look.channels())));
        }
        html.append("<p>").append(Html.text(Figures.tied(look.says()))).append("</p>");
        if (!look.remedy().isBlank()) {
          html.append("<p>What to do: ")
              .append(Html.text(Figures.tied(look.remedy())))
              .append("</p>");
        }
        html.append("</li>\n");
      }
      html.append("</ol>\n");
    }
    html.append("</section>\n");
  }

  private static void clock(
      StringBuilder html, Report report, Map<String, SourcePicture> pictures) {
    section(html, "clock", "The shoot on one clock");
    String svg = ClockDrawing.svg(report, pictures);
    if (svg.isEmpty()) {
      html.append("<p>Nothing was lined up, so there is no common clock to draw.</p>\n");
    } else {
      html.append("<p class=\"soft\">Upper line of figures: time since the reference began. Lower")
          .append(" line, where known: time of day by the reference's clock. Numbers on the boxes:")
          .append(" those of the sources below.</p>\n")
          .append("<div class=\"card scroll\" role=\"region\" tabindex=\"0\"")
          .append(" aria-label=\"The shoot on one clock\">")
          .append(svg)
          .append("</div>\n<ul class=\"legend\"><li>")
          .append(PageIcons.badge(Standing.REFERENCE))
          .append(" double outline</li><li>")
          .append(PageIcons.badge(Standing.PLACED))
          .append(" plain outline</li><li>")
          .append(PageIcons.badge(Standing.AMBIGUOUS))
          .append(" dashed outline, drawn at the best place</li></ul>\n");
    }
    html.append("</section>\n");
  }

  private static void withoutPlace(
      StringBuilder html, Report report, Map<String, Integer> numbers) {
    List<SourceReport> outside =
        report.sources().stream()
            .filter(
                source ->
                    switch (Standing.of(report, source)) {
                      case UNPLACED, UNREADABLE -> true;
                      case NOT_LINED_UP -> report.reference() != null;
                      case REFERENCE, PLACED, AMBIGUOUS -> false;
                    })
            .toList();
    if (outside.isEmpty()) {
      return;
    }
    section(html, "without-place", "Without a place");
    html.append("<ul class=\"looks\">\n");
    for (SourceReport source : outside) {
      ErrorReport error = source.error();
      PlacementReport placement = source.placement();
      html.append("<li>")
          .append(PageIcons.badge(Standing.of(report, source)))
          .append(" ")
          .append(link(source.path(), numbers))
          .append("<p>")
          .append(
              Html.text(
                  Figures.tied(
                      error != null
                          ? Sentences.errorSentence(error)
                          : placement != null
                              ? Sentences.placementSentence(placement)
                              : "It was not compared with the reference.")))
          .append("</p></li>\n");
    }
    html.append("</ul>\n</section>\n");
  }

  private static void sources(
      StringBuilder html, Report report, Map<String, SourcePicture> pictures) {
    section(html, "sources", "Sources");
    int number = 0;
    for (SourceReport source : report.sources()) {
      SourceHtml.append(
          html, ++number, source, Standing.of(report, source), pictures.get(source.path()));
    }
    if (number == 0) {
      html.append("<p>No source was found.</p>\n");
    }
    html.append("</section>\n");
  }

  private static void lanes(StringBuilder html, Report report) {
    if (report.lanes().isEmpty()) {
      return;
    }
    section(html, "lanes", "Lanes");
    html.append("<div class=\"card scroll\" role=\"region\" tabindex=\"0\" aria-label=\"Lanes\">")
        .append("<table><caption>Every lane of the hand-over. Start: on the reference's")
        .append(" clock.</caption><thead><tr>");
    for (String head : List.of("Name", "Role", "Start", "Length", "Format", "Source", "File")) {
      html.append(head.equals("Start") || head.equals("Length") ? "<th class=\"n\"" : "<th")
          .append(" scope=\"col\">")
          .append(head)
          .append("</th>");
    }
    html.append("</tr></thead><tbody>\n");
    for (LaneReport lane : report.lanes()) {
      Long start = lane.startFrameOnReference();
      html.append("<tr><th scope=\"row\">")
          .append(Html.name(lane.name()))
          .append("</th><td>")
          .append(Html.name(lane.roleWords()))
          .append("</td><td class=\"n\">")
          .append(
              start == null ? "no place" : Figures.clock((double) start / lane.sampleRateHz(), 3))
          .append("</td><td class=\"n\">")
          .append(Figures.clock((double) lane.frameCount() / lane.sampleRateHz(), 3))
          .append("</td><td>")
          .append(lane.sampleRateHz())
          .append(" Hz, ")
          .append(lane.bitsPerSample())
          .append("-bit ")
          .append(lane.sampleFormat().word())
          .append(remarks(lane))
          .append("</td><td class=\"name\">")
          .append(Html.name(lane.source()))
          .append(", channel ")
          .append(
              String.join(
                  " + ", lane.channels().stream().map(i -> Integer.toString(i + 1)).toList()))
          .append("</td><td class=\"name\">")
          .append(Html.name(lane.file()))
          .append("</td></tr>\n");
    }
    html.append("</tbody></table></div>\n</section>\n");
  }

  private static String remarks(LaneReport lane) {
    List<String> remarks = Sentences.laneRemarks(lane);
    return remarks.isEmpty() ? "" : "; " + Html.text(Figures.tied(String.join("; ", remarks)));
  }

  private static void devices(StringBuilder html, Report report) {
    if (report.devices().isEmpty()) {
      return;
    }
    section(html, "devices", "Devices and their clocks");
    html.append("<div class=\"card scroll\" role=\"region\" tabindex=\"0\"")
        .append(" aria-label=\"Devices\"><table><thead><tr><th scope=\"col\">Device</th>")
        .append("<th class=\"n\" scope=\"col\">Sources</th><th scope=\"col\">Why</th>")
        .append("<th scope=\"col\">Clock</th></tr></thead><tbody>\n");
    for (DeviceReport device : report.devices()) {
      html.append("<tr><th scope=\"row\">")
          .append(Html.name(device.name()))
          .append("</th><td class=\"n\">")
          .append(device.sources().size())
          .append("</td><td>")
          .append(Html.text(Figures.tied(device.why())))
          .append("</td><td>")
          .append(Html.text(Figures.tied(device.says())))
          .append("</td></tr>\n");
    }
    html.append("</tbody></table></div>\n</section>\n");
  }

  private static void leftOut(StringBuilder html, PageExtras extras) {
    if (extras.leftOut().isEmpty()) {
      return;
    }
    section(html, "left-out", "Not used, and why");
    html.append("<div class=\"card scroll\" role=\"region\" tabindex=\"0\"")
        .append(" aria-label=\"Not used\"><table><thead><tr><th scope=\"col\">File</th>")
        .append("<th scope=\"col\">Why</th></tr></thead><tbody>\n");
    for (PageExtras.LeftOut file : extras.leftOut()) {
      html.append("<tr><th scope=\"row\">")
          .append(Html.name(file.path()))
          .append("</th><td>")
          .append(Html.text(file.reason()))
          .append("</td></tr>\n");
    }
    html.append("</tbody></table></div>\n</section>\n");
  }

  private static void cautions(StringBuilder html, PageExtras extras) {
    if (extras.cautions().isEmpty()) {
      return;
    }
    section(html, "cautions", "Cautions");
    html.append("<ul>\n");
    for (String caution : extras.cautions()) {
      html.append("<li>").append(Html.text(caution)).append("</li>\n");
    }
    html.append("</ul>\n</section>\n");
  }

  private static void section(StringBuilder html, String id, String heading) {
    html.append("<section id=\"")
        .append(id)
        .append("\" aria-labelledby=\"")
        .append(id)
        .append("-h\">\n<h2 id=\"")
        .append(id)
        .append("-h\">")
        .append(heading)
        .append("</h2>\n");
  }

  private static String link(String path, Map<String, Integer> numbers) {
    Integer number = numbers.get(path);
    return number == null
        ? Html.name(path)
        : "<a href=\"#s" + number + "\">" + Html.name(path) + "</a>";
  }
}
