package hardpan.desk.model;

import hardpan.lineup.Placement;
import hardpan.report.SourceReport;
import hardpan.report.Standing;
import hardpan.shoot.PictureFrames;
import hardpan.shoot.Run;
import hardpan.shoot.ShootSource;
import hardpan.shoot.Wishes;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.concurrent.Executor;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.ReadOnlyObjectWrapper;
import org.jspecify.annotations.Nullable;

/**
 * The place of the chosen source, as the person may change it. Every change is a new {@link Wishes}
 * in {@link Edits}, so it can be taken back. Of files that one device wrote without a stop the
 * first one is moved, and the rest with it. Belongs to the window's thread.
 */
public final class PlaceByHand {
  private static final double LATEST_SECONDS = 1e6;

  private final DeskModel desk;
  private final DeskModel.Starter starter;
  private final Executor ui;
  private final ReadOnlyObjectWrapper<PlaceShown> shown =
      new ReadOnlyObjectWrapper<>(PlaceShown.NONE);

  /** Where sources were before the person moved them, by path. */
  private final Map<String, Double> found = new HashMap<>();

  /** With which channels those places were found, by path. */
  private final Map<String, Compared> compared = new HashMap<>();

  private final Map<String, PictureFrames> counts = new HashMap<>();

  /**
   * Which channels a place was found with.
   *
   * @param own the source's; null if not known
   * @param reference the reference's; null if not known
   */
  record Compared(@Nullable Integer own, @Nullable Integer reference) {
    static final Compared UNKNOWN = new Compared(null, null);
  }

  /** How far a nudge goes. */
  public enum Step {
    /** One frame of the clip's picture. */
    PICTURE,
    /** A thousandth of a second. */
    MILLISECOND,
    /** One sample of the source. */
    SAMPLE
  }

  /**
   * For one window.
   *
   * @param starter reads files' headers
   * @param ui runs things on the window's thread
   */
  public PlaceByHand(DeskModel desk, DeskModel.Starter starter, Executor ui) {
    this.desk = desk;
    this.starter = starter;
    this.ui = ui;
    desk.shootProperty()
        .addListener(
            (property, before, now) -> {
              remember(before, now);
              renew();
            });
    desk.chosenProperty().addListener((property, before, now) -> renew());
    desk.edits().wishesProperty().addListener((property, before, now) -> renew());
    remember(null, desk.shootProperty().get());
    renew();
  }

  /** What there is to show of it. */
  public ReadOnlyObjectProperty<PlaceShown> shownProperty() {
    return shown.getReadOnlyProperty();
  }

  private @Nullable PlaceTask task() {
    ShownShoot now = desk.shootProperty().get();
    SourceRow row = desk.chosenProperty().get();
    if (now == null || row == null) {
      return null;
    }
    ShootSource source = now.source(row).orElse(null);
    SourceReport report = now.report(row).orElse(null);
    return source == null || report == null
        ? null
        : new PlaceTask(now.shoot(), source, report, row);
  }

  private static @Nullable Double solved(@Nullable ShootSource source) {
    Placement placement = source == null ? null : source.placement();
    return placement == null ? null : placement.offsetSeconds();
  }

  /** Keeps the places that were found, for comparing; a new shoot begins anew. */
  private void remember(@Nullable ShownShoot before, @Nullable ShownShoot now) {
    if (now == null || before == null || !before.isSameAs(now)) {
      found.clear();
      compared.clear();
      counts.clear();
    }
    if (now == null) {
      return;
    }
    Wishes wishes = desk.edits().wishesProperty().get();
    for (ShootSource source : now.shoot().sources()) {
      Double solved = solved(source);
      Placement placement = source.placement();
      String first = now.shoot().runOf(source).firstPath();
      if (placement != null && placement.isPinned()) {
        List<Double> heard = placement.otherOffsetsSeconds();
        if (!heard.isEmpty()) {
          found.putIfAbsent(source.path(), heard.get(0));
        }
        compared.putIfAbsent(
            source.path(), new Compared(placement.channel(), placement.referenceChannel()));
      } else if (placement != null && solved != null && wishes.pinOf(first).isEmpty()) {
        found.put(source.path(), solved);
        compared.put(
            source.path(), new Compared(placement.channel(), placement.referenceChannel()));
      }
    }
  }

  /**
   * Where the chosen source lies.
   *
   * @param asFound where it was found, not where the person put it
   * @return null if there is none or it cannot be read
   */
  @Nullable OnClock clock(boolean asFound) {
    PlaceTask task = task();
    Double seconds = task == null ? null : task.report().durationSeconds();
    if (task == null || seconds == null) {
      return null;
    }
    if (task.row().standing() == Standing.REFERENCE) {
      return new OnClock(0, 0, seconds, true);
    }
    Double before = found.get(task.source().path());
    Double offset = asFound && before != null ? before : offsetNow(task);
    return offset == null
        ? new OnClock(0, 0, seconds, false)
        : new OnClock(offset, task.driftPpm(), seconds, true);
  }

  /**
   * With which channels a source found its place, wherever a person put it since; where its sound
   * found none, the channels most likely to be heard together.
   */
  Compared comparedOf(ShootSource source) {
    Compared known = compared.getOrDefault(source.path(), Compared.UNKNOWN);
    ShownShoot now = desk.shootProperty().get();
    return now == null ? known : LikelyChannels.fill(now.shoot(), source, known);
  }

  /** The whole run that the chosen source belongs to, from the source's own place. */
  OnClock runClock(OnClock own) {
    PlaceTask task = task();
    var analysis = task == null ? null : task.source().analysis();
    if (task == null || analysis == null) {
      return own;
    }
    Run.Part last = task.run().parts().get(task.run().parts().size() - 1);
    double seconds = (double) (last.startFrame() + last.frameCount()) / analysis.facts().rateHz();
    return new OnClock(
        own.offsetSeconds() - task.laterSeconds(),
        own.driftPpm(),
        Math.max(seconds, own.durationSeconds()),
        own.placed());
  }

  private @Nullable Double offsetNow(PlaceTask task) {
    Wishes wishes = desk.edits().wishesProperty().get();
    if (task.isLeftOut(wishes)) {
      return null;
    }
    Wishes.Pin pin = wishes.pinOf(task.pinPath()).orElse(null);
    if (pin != null) {
      return pin.offsetSeconds() + task.laterSeconds();
    }
    Placement placement = task.source().placement();
    Double before = found.get(task.source().path());
    boolean stale = placement != null && (placement.isPinned() || placement.isLeftOut());
    return stale ? before : solved(task.source());
  }

  private void renew() {
    PlaceTask task = task();
    shown.set(task == null ? PlaceShown.NONE : shown(task));
  }

  private PlaceShown shown(PlaceTask task) {
    if (task.isReference()) {
      return PlaceShown.not(
          Texts.of(
              task.row().standing() == Standing.REFERENCE
                  ? "place.is-reference"
                  : "place.of-reference"));
    }
    if (task.report().error() != null || !task.source().isReadable()) {
      return PlaceShown.not(Texts.of("place.unreadable"));
    }
    if (task.shoot().reference().isEmpty()) {
      return PlaceShown.not(Texts.of("place.no-reference"));
    }
    String path = task.source().path();
    Wishes wishes = desk.edits().wishesProperty().get();
    Double offset = offsetNow(task);
    Double before = found.get(path);
    PictureFrames count = count(task.source());
    List<PlaceShown.Candidate> candidates =
        PlaceWords.candidates(task.source().placement(), offset, before);
    return new PlaceShown(
        true,
        "",
        offset,
        before,
        wishes.pinOf(task.pinPath()).isPresent(),
        task.isLeftOut(wishes),
        PlaceWords.headWords(offset, before),
        offset == null ? Texts.of("place.none") : PlaceWords.offsetWords(offset, count),
        PlaceWords.changeWords(offset, before, count),
        Texts.of(
            count.isOwn() ? "place.rate" : "place.rate-usual",
            String.format(Locale.ROOT, "%.3f", count.perSecond()).replaceAll("\\.?0+$", "")),
        task.run().parts().size() > 1
            ? Texts.of("place.run", task.run().paths().size(), task.run().device())
            : "",
        candidates);
  }

  /** Looks how the clip counts its pictures, beside the window's thread. */
  private PictureFrames count(ShootSource source) {
    PictureFrames known = counts.get(source.path());
    if (known == null) {
      known = PictureFrames.USUAL;
      counts.put(source.path(), known);
      starter.start(
          "hardpan-desk-picture",
          () -> {
            PictureFrames read = PictureFrames.of(source.file());
            ui.execute(
                () -> {
                  counts.put(source.path(), read);
                  renew();
                });
          });
    }
    return known;
  }

  /** Moves the source earlier (-1) or later (1) by a step, and pins it there. */
  public void nudge(Step step, int times) {
    PlaceTask task = task();
    Double offset = task == null ? null : offsetNow(task);
    var analysis = task == null ? null : task.source().analysis();
    if (task == null || offset == null || analysis == null || !shown.get().isPossible()) {
      return;
    }
    double by =
        switch (step) {
          case PICTURE -> 1 / count(task.source()).perSecond();
          case MILLISECOND -> 1e-3;
          case SAMPLE -> 1.0 / analysis.facts().rateHz();
        };
    put(task, offset + times * by, "place.did.nudge");
  }

  /** Pins the source to a place, one of the candidates or any other; for NaN nothing happens. */
  public void take(double offsetSeconds) {
    PlaceTask task = task();
    if (task != null && shown.get().isPossible()) {
      put(task, offsetSeconds, "place.did.take");
    }
  }

  /** Pins the source so that it starts at the instant that is pointed at. */
  public void takeCursor() {
    take(desk.cursor().secondsProperty().get());
  }

  /**
   * Pins the source to a place as it is typed: seconds, or minutes and hours before them with
   * colons.
   *
   * @return whether it could be understood
   */
  public boolean takeTyped(String typed) {
    try {
      take(Wishes.Pin.parse("x=" + typed.strip().replace('\u2212', '-')).offsetSeconds());
      return true;
    } catch (IllegalArgumentException e) {
      return false;
    }
  }

  /** Pins the source where it is. */
  public void pinHere() {
    PlaceTask task = task();
    Double offset = task == null ? null : offsetNow(task);
    if (task != null && offset != null && shown.get().isPossible()) {
      put(task, offset, "place.did.pin");
    }
  }

  private void put(PlaceTask task, double offset, String did) {
    if (!(Math.abs(offset) <= LATEST_SECONDS)) {
      return;
    }
    // To the nanosecond, so that steps there and back meet.
    double pin = Math.rint((offset - task.laterSeconds()) * 1e9) / 1e9;
    Wishes now = desk.edits().wishesProperty().get();
    Wishes next =
        without(task.takenIn(now), task.pinPath()).withPin(new Wishes.Pin(task.pinPath(), pin));
    String words = Texts.of(did, task.row().fileName(), Numbers.signedSeconds(offset, 3));
    if (did.equals("place.did.nudge")) {
      desk.edits().move(next, words, task.pinPath());
    } else {
      desk.edits().change(next, words);
    }
  }

  private static Wishes without(Wishes wishes, String path) {
    Wishes next = wishes;
    for (var pin = next.pinOf(path); pin.isPresent(); pin = next.pinOf(path)) {
      next = next.withoutPin(pin.get().source());
    }
    return next;
  }

  /** Lets the sound decide again. */
  public void unpin() {
    PlaceTask task = task();
    if (task != null) {
      Wishes now = desk.edits().wishesProperty().get();
      desk.edits()
          .change(without(now, task.pinPath()), Texts.of("place.did.unpin", task.row().fileName()));
    }
  }

  /**
   * The place that is shown is wrong: takes the next best one, or leaves the source out of the
   * line-up if there is none.
   */
  public void refuse() {
    PlaceShown now = shown.get();
    now.candidates().stream()
        .filter(candidate -> !candidate.isHere())
        .findFirst()
        .ifPresentOrElse(other -> take(other.offsetSeconds()), this::leaveOut);
  }

  /** Leaves the source out of the line-up. */
  public void leaveOut() {
    PlaceTask task = task();
    if (task != null && shown.get().isPossible()) {
      Wishes now = desk.edits().wishesProperty().get();
      desk.edits()
          .change(
              without(now, task.pinPath()).withExcluded(task.source().path()),
              Texts.of("place.did.leave-out", task.row().fileName()));
    }
  }

  /** Takes it in again. */
  public void takeIn() {
    PlaceTask task = task();
    if (task != null) {
      Wishes now = desk.edits().wishesProperty().get();
      desk.edits().change(task.takenIn(now), Texts.of("place.did.take-in", task.row().fileName()));
    }
  }
}
