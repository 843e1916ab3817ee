package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.junit.jupiter.api.Test;

/** docs/report-format.md must be true: its examples, its sum, and that it names every field. */
class ReportFormatDocTest {
  private static final ObjectMapper MAPPER = new ObjectMapper();

  @Test
  void theFirstExampleIsAReportAsWritten() throws IOException, MediaException {
    String example = examples().get(0);
    assertEquals(example, ReportJson.toText(ReportJson.read(example)));
  }

  @Test
  void theExamplesAreTakenFromTheInventedShoot() throws IOException, MediaException {
    Report shoot = SampleReports.honeyEvening();
    Report example = ReportJson.read(examples().get(0));
    SourceReport clip = example.sources().get(0);
    SourceReport whole = shoot.source(clip.path()).orElseThrow();
    assertEquals(whole.placement(), clip.placement());
    assertEquals(whole.pair(), clip.pair());
    assertEquals(whole.channels().get(1), clip.channels().get(0));
    assertEquals(shoot.lanes().get(1), example.lanes().get(0));
    JsonNode unreadable =
        MAPPER.readTree(ReportJson.toText(shoot)).get("sources").get(shoot.sources().size() - 1);
    assertEquals(unreadable, MAPPER.readTree(examples().get(1)));
  }

  /** 132.482916667 + 600 x 1.00002341 = 732.496962667 s; x 48000 = 35159854.2, worked by hand. */
  @Test
  void theWorkedSumIsRight() throws IOException {
    double seconds = 132.482916667 + 600 * (1 + 23.41 * 1e-6);
    assertEquals(732.496962667, seconds, 1e-9);
    assertEquals(35_159_854, Math.round(seconds * 48000));
    assertTrue(text().contains("732.496962667 s of the reference, which is frame 35,159,854"));
  }

  @Test
  void everyKeyAndWordIsExplained() throws IOException {
    String text = text();
    JsonNode schema = MAPPER.readTree(Files.readString(Path.of("docs/report-schema.json")));
    List<String> names = new ArrayList<>();
    for (JsonNode properties : schema.findValues("properties")) {
      properties.fieldNames().forEachRemaining(names::add);
    }
    for (JsonNode words : schema.findValues("enum")) {
      words.forEach(
          word -> {
            if (word.isTextual()) {
              names.add(word.asText());
            }
          });
    }
    assertTrue(names.size() > 80, "names: " + names.size());
    for (String name : names) {
      assertTrue(
          text.contains("`" + name + "`") || text.contains("`\"" + name + "\"`"),
          "not explained: " + name);
    }
  }

  private static String text() throws IOException {
    return Files.readString(Path.of("docs/report-format.md"));
  }

  private static List<String> examples() throws IOException {
    List<String> list = new ArrayList<>();
    Matcher matcher = Pattern.compile("```json\n(.*?)```", Pattern.DOTALL).matcher(text());
    while (matcher.find()) {
      list.add(matcher.group(1));
    }
    assertEquals(2, list.size());
    return list;
  }
}
