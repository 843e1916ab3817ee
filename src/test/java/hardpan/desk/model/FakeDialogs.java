package hardpan.desk.model;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Answers as told and remembers what it was asked. */
public final class FakeDialogs implements Dialogs {
  /** What is chosen. */
  public @Nullable Path folder;

  /** What is confirmed. */
  public boolean yes;

  /** What was asked. */
  public final List<String> asked = new ArrayList<>();

  @Override
  public Optional<Path> chooseFolder(String title, @Nullable Path near) {
    asked.add(title);
    return Optional.ofNullable(folder);
  }

  @Override
  public Optional<Path> chooseSavedShoot(String title) {
    asked.add(title);
    return Optional.ofNullable(folder);
  }

  @Override
  public boolean confirm(String question, String yesWords, String noWords) {
    asked.add(question);
    return yes;
  }
}
