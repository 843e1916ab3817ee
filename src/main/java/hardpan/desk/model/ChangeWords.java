package hardpan.desk.model;

import hardpan.shoot.ShootSession;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/** Says what is different on the disk since a shoot was kept. */
final class ChangeWords {
  private static final int MOST_NAMES = 3;

  private ChangeWords() {}

  static Notice of(ShootSession.Changes changes) {
    if (!changes.missingRoots().isEmpty()) {
      List<String> names = changes.missingRoots().stream().map(Path::toString).toList();
      return new Notice(
          Mark.WARNING,
          Texts.of("changes.missing", String.join(", ", names)),
          null,
          Notice.Action.READ_AGAIN);
    }
    List<String> parts = new ArrayList<>();
    add(parts, "changes.added", changes.added());
    add(parts, "changes.changed", changes.changed());
    add(parts, "changes.gone", changes.gone());
    return new Notice(
        Mark.WARNING,
        Texts.of("changes.since", String.join(" ", parts)),
        null,
        Notice.Action.READ_AGAIN);
  }

  /** Sources that were there a moment ago cannot be reached any more. */
  static Notice away(List<Path> away) {
    List<String> names = away.stream().map(Path::toString).toList();
    return new Notice(Mark.WARNING, Texts.of("changes.away", String.join(", ", names)), null);
  }

  private static void add(List<String> parts, String key, List<String> paths) {
    if (!paths.isEmpty()) {
      List<String> named = paths.subList(0, Math.min(MOST_NAMES, paths.size()));
      String more = paths.size() > MOST_NAMES ? ", \u2026" : "";
      parts.add(Texts.count(key, paths.size()) + " (" + String.join(", ", named) + more + ").");
    }
  }
}
