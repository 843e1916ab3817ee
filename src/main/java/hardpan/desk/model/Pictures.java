package hardpan.desk.model;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.SourceFacts;
import hardpan.report.SourceReport;
import hardpan.shoot.Analysis;
import hardpan.shoot.CloseLook;
import hardpan.shoot.ShootSource;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.concurrent.CancellationException;
import java.util.concurrent.Executor;
import javafx.beans.property.BooleanProperty;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.ReadOnlyObjectWrapper;
import javafx.beans.property.SimpleBooleanProperty;
import org.jspecify.annotations.Nullable;

/**
 * The pictures of the chosen source. They are measured when they are wanted, on a thread of their
 * own; another choice cancels what is no longer wanted. The last few are kept. Belongs to the
 * window's thread.
 */
public final class Pictures {
  private static final int MOST_KEPT = 6;

  private final DeskModel desk;
  private final DeskModel.Starter starter;
  private final Executor ui;
  private final Look look;
  private final BooleanProperty wanted = new SimpleBooleanProperty();
  private final ReadOnlyObjectWrapper<Shown> shown = new ReadOnlyObjectWrapper<>(Shown.NOTHING);

  /** By file, the one used last at the end. */
  private final Map<Path, Kept> kept = new LinkedHashMap<>(16, 0.75f, true);

  private @Nullable MonitorBridge running;
  private @Nullable ShootSource measured;

  /** Measures a source. */
  @FunctionalInterface
  public interface Look {
    /**
     * Measures.
     *
     * @throws MediaException if it cannot be read any more
     */
    CloseLook at(ShootSource source, Monitor monitor) throws MediaException;
  }

  /**
   * What is shown.
   *
   * @param plots the pictures; empty while there are none
   * @param words what is going on, or why there is nothing; empty beside pictures
   */
  public record Shown(List<Plot> plots, String words) {
    static final Shown NOTHING = new Shown(List.of(), "");

    /** Copies. */
    public Shown {
      plots = List.copyOf(plots);
    }
  }

  /** What was measured, and of what: a file may have changed since. */
  private record Kept(@Nullable SourceFacts facts, CloseLook look) {}

  /** For one window. */
  public Pictures(DeskModel desk, DeskModel.Starter starter, Executor ui, Look look) {
    this.desk = desk;
    this.starter = starter;
    this.ui = ui;
    this.look = look;
    desk.chosenProperty().addListener((property, before, now) -> renew());
    desk.shootProperty().addListener((property, before, now) -> renew());
    wanted.addListener((property, before, now) -> renew());
  }

  /** Whether they are on show; nothing is measured otherwise. */
  public BooleanProperty wantedProperty() {
    return wanted;
  }

  /** What is shown. */
  public ReadOnlyObjectProperty<Shown> shownProperty() {
    return shown.getReadOnlyProperty();
  }

  private void renew() {
    ShownShoot now = desk.shootProperty().get();
    SourceRow row = desk.chosenProperty().get();
    ShootSource source =
        !wanted.get() || now == null || row == null ? null : now.source(row).orElse(null);
    SourceReport report = now == null || row == null ? null : now.report(row).orElse(null);
    if (running != null && !sameFile(measured, source)) {
      running.cancel();
      running = null;
      measured = null;
    }
    if (source == null || report == null) {
      shown.set(Shown.NOTHING);
    } else if (!source.isReadable()) {
      shown.set(new Shown(List.of(), Texts.of("pictures.unreadable")));
    } else {
      CloseLook known = known(source);
      if (known != null) {
        shown.set(new Shown(Plots.of(report, source, known), ""));
      } else if (running == null) {
        measure(source);
      }
    }
  }

  /** The shoot may have been lined up again since; the file is the same. */
  private static boolean sameFile(@Nullable ShootSource one, @Nullable ShootSource other) {
    return one != null && other != null && one.file().equals(other.file());
  }

  private @Nullable CloseLook known(ShootSource source) {
    Kept found = kept.get(source.file());
    return found != null && Objects.equals(found.facts(), facts(source)) ? found.look() : null;
  }

  private static @Nullable SourceFacts facts(ShootSource source) {
    Analysis analysis = source.analysis();
    return analysis == null ? null : analysis.facts();
  }

  private void measure(ShootSource source) {
    MonitorBridge monitor = new MonitorBridge(ui, 0, 1, this::progress);
    running = monitor;
    measured = source;
    shown.set(new Shown(List.of(), Texts.of("pictures.measuring", 0)));
    starter.start(
        "hardpan-desk-close-look",
        () -> {
          try {
            CloseLook result = look.at(source, monitor);
            ui.execute(() -> done(monitor, source, result, ""));
          } catch (CancellationException e) {
            // Nobody wants it any more.
          } catch (MediaException e) {
            ui.execute(() -> done(monitor, source, null, e.sentence()));
          } catch (RuntimeException e) {
            ui.execute(() -> done(monitor, source, null, Texts.of("pictures.failed", e)));
          }
        });
  }

  private void progress(MonitorBridge from, String stage, double fraction) {
    if (from.equals(running)) {
      shown.set(new Shown(List.of(), Texts.of("pictures.measuring", Math.round(100 * fraction))));
    }
  }

  private void done(
      MonitorBridge monitor, ShootSource source, @Nullable CloseLook result, String why) {
    if (!monitor.equals(running)) {
      return;
    }
    running = null;
    measured = null;
    if (result == null) {
      shown.set(new Shown(List.of(), why));
      return;
    }
    kept.put(source.file(), new Kept(facts(source), result));
    while (kept.size() > MOST_KEPT) {
      kept.remove(kept.keySet().iterator().next());
    }
    renew();
  }
}
