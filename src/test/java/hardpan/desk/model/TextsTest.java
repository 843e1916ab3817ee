package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.report.FindingReport;
import hardpan.report.PairReport;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.MissingResourceException;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.junit.jupiter.api.Assertions;
import org.junit.jupiter.api.Test;

class TextsTest {
  @Test
  void everyWordOfTheReportHasAText() {
    for (PairReport.Verdict verdict : PairReport.Verdict.values()) {
      assertFalse(Texts.of("pair." + verdict.word()).isBlank());
    }
    for (FindingReport.Severity severity : FindingReport.Severity.values()) {
      assertFalse(Texts.of("severity." + severity.word()).isBlank());
    }
  }

  @Test
  void everyTextTheSourcesAskForIsThere() throws IOException {
    Pattern asked = Pattern.compile("Texts\\.(of|count)\\(\\s*\"([a-z.-]+[a-z])\"");
    int count = 0;
    try (Stream<Path> files = Files.walk(Path.of("src/main/java/hardpan/desk"))) {
      List<Path> sources = files.filter(file -> file.toString().endsWith(".java")).toList();
      for (Path source : sources) {
        Matcher matcher = asked.matcher(Files.readString(source));
        while (matcher.find()) {
          boolean counted = matcher.group(1).equals("count");
          String key = matcher.group(2) + (counted ? ".many" : "");
          assertTrue(Texts.has(key), key + " in " + source);
          assertTrue(!counted || Texts.has(matcher.group(2) + ".one"), key);
          count++;
        }
      }
    }
    assertTrue(count > 40, "only " + count + " found");
  }

  @Test
  void oneAndManyDiffer() {
    assertEquals("1 fault", Texts.count("row.faults", 1));
    assertEquals("2 faults", Texts.count("row.faults", 2));
  }

  /** Every code of a finding that the report's format names has plain words. */
  @Test
  void everyDocumentedFindingHasWords() throws IOException {
    Pattern row =
        Pattern.compile("(?m)^\\| ((?:`[a-z-]+`(?:, )?)+) \\| (?:as said|fault|warning|note)");
    Matcher rows = row.matcher(Files.readString(Path.of("docs/report-format.md")));
    int count = 0;
    while (rows.find()) {
      Matcher codes = Pattern.compile("[a-z-]+").matcher(rows.group(1));
      while (codes.find()) {
        assertTrue(Texts.has("finding." + codes.group()), codes.group());
        count++;
      }
    }
    assertTrue(count >= 20, "only " + count + " found");
  }

  @Test
  void anUnknownFindingIsShownByItsCode() {
    assertEquals("recorded too low", FindingWords.of("too-low"));
    assertEquals("odd new thing", FindingWords.of("odd-new-thing"));
  }

  /** What is on the window at once; Alt and a letter must mean one thing. */
  @Test
  void noTwoControlsShareALetter() {
    List<String> always =
        List.of(
            "menu.shoot",
            "menu.edit",
            "menu.view",
            "menu.help",
            "page.sources",
            "page.lanes",
            "head.another",
            "head.dark",
            "target.label",
            "target.choose",
            "handover",
            "open-report",
            "act.read-again");
    List<String> lanes =
        List.of(
            "lane.name",
            "lane.role",
            "lane.write",
            "lane.one",
            "lane.both",
            "files.layout",
            "files.poly",
            "files.names",
            "files.samples",
            "files.drift");
    List<String> page = Stream.concat(always.stream(), lanes.stream()).toList();
    assertDistinct(page);
    // In the dark that button says the other word.
    assertDistinct(page.stream().map(key -> key.equals("head.dark") ? "head.light" : key).toList());
    assertDistinct(
        List.of("menu.shoot", "menu.edit", "menu.view", "menu.help", "head.dark", "empty.choose"));
    assertDistinct(
        List.of("menu.open", "menu.recent", "menu.again", "menu.handover", "menu.close"));
    assertDistinct(List.of("menu.sources", "menu.lanes", "menu.dark"));
    List<String> place =
        List.of(
            "listen.go",
            "place.typed",
            "place.hear-now",
            "place.hear-found",
            "place.refuse",
            "place.leave-out");
    assertDistinct(Stream.concat(always.stream(), place.stream()).toList());
  }

  private static void assertDistinct(List<String> keys) {
    Map<Character, String> taken = new HashMap<>();
    for (String key : keys) {
      String text = Texts.of(key);
      int at = text.indexOf('_');
      assertTrue(at >= 0, key + " has no letter");
      String other = taken.put(Character.toLowerCase(text.charAt(at + 1)), key);
      assertTrue(other == null, key + " has the letter of " + other);
    }
  }

  @Test
  void anUnknownTextIsAFault() {
    Assertions.assertThrows(MissingResourceException.class, () -> Texts.of("no.such.text"));
  }

  @Test
  void momentsAndLevelsReadAlikeEverywhere() {
    assertEquals("0:04.271", Times.clock(4.2709, 3));
    assertEquals("\u22120:07.360", Times.clock(-7.36, 3));
    assertEquals("1:01:01", Times.clock(3661.4, 0));
    assertEquals("0:00", Times.clock(-0.2, 0));
    assertEquals("\u221223.5", Times.level(-23.5));
    assertEquals("\u2013", Times.level(null));
  }
}
