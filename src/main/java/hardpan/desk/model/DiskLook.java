package hardpan.desk.model;

import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSession;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.Executor;
import java.util.function.Supplier;
import javafx.beans.property.ReadOnlyBooleanProperty;
import javafx.beans.property.ReadOnlyBooleanWrapper;
import org.jspecify.annotations.Nullable;

/**
 * Looks whether the sources of the shoot on show can be reached and are still the same: quietly,
 * beside whatever else goes on. Belongs to the window's thread; the looking itself runs on others.
 */
final class DiskLook {
  private final DeskModel.Starter starter;
  private final Executor ui;
  private final Supplier<@Nullable OpenShoot> open;
  private final Teller teller;
  private final ReadOnlyBooleanWrapper gone = new ReadOnlyBooleanWrapper();

  /** A drive that does not answer must not be asked again and again. */
  private boolean glancing;

  /** What was said of sources that cannot be reached; null while they can. */
  private @Nullable Notice saidGone;

  /** The same, where they were there a moment ago. */
  private @Nullable Notice saidAway;

  /** Says things in the window. */
  interface Teller {
    /** At once, or when what goes on has ended and nothing else is on show. */
    void tellLater(Notice notice);

    /** At once, in place of what is on show. */
    void tell(Notice notice);

    /** Takes it back, wherever it is. */
    void takeBack(Notice notice);
  }

  /**
   * For one window.
   *
   * @param open the shoot that is worked on
   */
  DiskLook(
      DeskModel.Starter starter, Executor ui, Supplier<@Nullable OpenShoot> open, Teller teller) {
    this.starter = starter;
    this.ui = ui;
    this.open = open;
    this.teller = teller;
  }

  /** Whether the sources were found out of reach. */
  ReadOnlyBooleanProperty goneProperty() {
    return gone.getReadOnlyProperty();
  }

  /** The sources have just been read, or others are on show: they are there. */
  void forget() {
    gone.set(false);
    saidGone = null;
    saidAway = null;
  }

  /** Whether they are still the same as they were kept. */
  void compare(OpenShoot looked) {
    starter.start(
        "hardpan-desk-look",
        () -> {
          try {
            ShootSession.Changes changes = looked.changes();
            ui.execute(() -> compared(looked, changes));
          } catch (ShootException e) {
            Notice words = new Notice(Mark.WARNING, e.sentence(), null);
            ui.execute(
                () -> {
                  if (looked.equals(open.get())) {
                    teller.tellLater(words);
                  }
                });
          } catch (CancellationException e) {
            // Another shoot is on show by now.
          }
        });
  }

  private void compared(OpenShoot looked, ShootSession.Changes changes) {
    if (looked.equals(open.get())) {
      gone.set(!changes.missingRoots().isEmpty());
      if (!changes.isEmpty()) {
        Notice words = ChangeWords.of(changes);
        saidGone = gone.get() ? words : null;
        teller.tellLater(words);
      }
    }
  }

  /** Whether they can be reached; nothing is said as long as that has not changed. */
  void glance() {
    OpenShoot looked = open.get();
    if (looked == null || glancing) {
      return;
    }
    glancing = true;
    starter.start(
        "hardpan-desk-look",
        () -> {
          List<Path> away = looked.away();
          ui.execute(
              () -> {
                glancing = false;
                if (looked.equals(open.get())) {
                  glanced(looked, away);
                }
              });
        });
  }

  private void glanced(OpenShoot looked, List<Path> away) {
    if (!away.isEmpty() && !gone.get()) {
      tellAway(away);
    } else if (away.isEmpty() && gone.get()) {
      Notice said = saidGone;
      forget();
      if (said != null) {
        teller.takeBack(said);
      }
      // What comes back need not be what was there.
      compare(looked);
    }
  }

  /** Says that they cannot be reached and what to do. */
  void tellAway(List<Path> away) {
    Notice words = ChangeWords.away(away);
    saidGone = words;
    saidAway = words;
    gone.set(true);
    teller.tell(words);
  }

  /** What was said when they went out of reach; null if they did not or are back. */
  @Nullable Notice words() {
    return saidAway;
  }
}
