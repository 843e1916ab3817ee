package hardpan.desk.model;

import hardpan.shoot.HandOverCheck;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;

/** What is said of a hand-over that was compared with its checksums. */
final class CheckWords {
  private static final int MOST_NAMED = 5;

  private CheckWords() {}

  static Notice of(Path folder, HandOverCheck.Result result) {
    List<HandOverCheck.Difference> differences = result.differences();
    String compared =
        Texts.of(
            "check.compared",
            Texts.count("check.files", result.files()),
            Texts.count("check.originals", result.originals()));
    List<String> words = new ArrayList<>();
    if (differences.isEmpty()) {
      words.add(Texts.of("check.unchanged", compared));
    } else {
      List<String> named = new ArrayList<>();
      for (HandOverCheck.Difference one :
          differences.subList(0, Math.min(MOST_NAMED, differences.size()))) {
        String kind = one.kind().name().toLowerCase(Locale.ROOT);
        named.add(Texts.of(one.original() ? "check.original" : "check.file", kind, one.path()));
      }
      if (differences.size() > named.size()) {
        named.add(Texts.of("check.more", differences.size() - named.size()));
      }
      words.add(Texts.count("check.differs", differences.size()));
      words.add(String.join("; ", named) + ".");
      words.add(Texts.of("check.compared-all", compared));
    }
    int away = result.outOfReach().size();
    if (away > 0) {
      words.add(Texts.count("check.away", away));
    }
    Path page = folder.resolve("report.html");
    return new Notice(
        differences.isEmpty() ? Mark.DONE : Mark.FAULT,
        String.join(" ", words),
        Files.isRegularFile(page) ? page : null);
  }
}
