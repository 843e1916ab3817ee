package hardpan.desk;

import hardpan.desk.model.Texts;
import hardpan.shoot.SavedShoots;
import java.nio.file.Path;
import java.time.ZoneId;
import java.time.format.DateTimeFormatter;
import java.util.Locale;

/** What is said of a shoot that was worked on before. */
final class RecentWords {
  private static final DateTimeFormatter DAY =
      DateTimeFormatter.ofPattern("yyyy-MM-dd HH:mm", Locale.ROOT);

  private RecentWords() {}

  /** Name, day and place in one line. */
  static String of(SavedShoots.Recent shoot) {
    return Texts.of("recent.line", shoot.name(), when(shoot), where(shoot));
  }

  static String when(SavedShoots.Recent shoot) {
    return DAY.format(shoot.when().atZone(ZoneId.systemDefault()));
  }

  static String where(SavedShoots.Recent shoot) {
    return String.join(", ", shoot.roots().stream().map(Path::toString).toList());
  }
}
