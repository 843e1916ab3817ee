package hardpan.desk.model;

import hardpan.shoot.DeviceRules;
import hardpan.shoot.PlaceBy;
import hardpan.shoot.Run;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSource;
import hardpan.shoot.Wishes;
import java.util.ArrayList;
import java.util.List;
import java.util.Objects;
import java.util.TreeSet;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.ReadOnlyObjectWrapper;
import org.jspecify.annotations.Nullable;

/**
 * What the whole line-up goes by: the reference, sound or picture, and which device a source comes
 * from. Every decision goes into {@link Edits} and comes back from there. Belongs to the window's
 * thread.
 */
public final class LineUpChoices {
  private final DeskModel desk;
  private final ReadOnlyObjectWrapper<Shown> shown = new ReadOnlyObjectWrapper<>(Shown.NONE);

  /**
   * What there is to show of it.
   *
   * @param references sources that can be the reference, by path; of a run its first
   * @param reference the one a person wants; null to leave it to the program
   * @param placing what is made to coincide
   * @param source the chosen source; null for none
   * @param canBeReference whether the chosen source can be the reference and is not
   * @param device the chosen source's device; empty for none
   * @param isDeviceGiven whether a person said so of just this source or its folder
   * @param folder the folder it lies in; empty for none
   * @param devices all devices, in the order of their names
   */
  public record Shown(
      List<String> references,
      @Nullable String reference,
      PlaceBy placing,
      @Nullable String source,
      boolean canBeReference,
      String device,
      boolean isDeviceGiven,
      String folder,
      List<String> devices) {
    static final Shown NONE =
        new Shown(List.of(), null, PlaceBy.SOUND, null, false, "", false, "", List.of());

    /** Copies the lists. */
    public Shown {
      references = List.copyOf(references);
      devices = List.copyOf(devices);
    }
  }

  /** For one window. */
  public LineUpChoices(DeskModel desk) {
    this.desk = desk;
    desk.shootProperty().addListener((property, before, now) -> renew());
    desk.chosenProperty().addListener((property, before, now) -> renew());
    desk.edits().wishesProperty().addListener((property, before, now) -> renew());
    renew();
  }

  /** What there is to show. */
  public ReadOnlyObjectProperty<Shown> shownProperty() {
    return shown.getReadOnlyProperty();
  }

  private @Nullable Shoot shoot() {
    ShownShoot now = desk.shootProperty().get();
    return now == null ? null : now.shoot();
  }

  private @Nullable ShootSource chosen() {
    ShownShoot now = desk.shootProperty().get();
    SourceRow row = desk.chosenProperty().get();
    return now == null || row == null ? null : now.source(row).orElse(null);
  }

  private Wishes wishes() {
    return desk.edits().wishesProperty().get();
  }

  private void renew() {
    Shoot shoot = shoot();
    if (shoot == null) {
      shown.set(Shown.NONE);
      return;
    }
    List<String> references = new ArrayList<>();
    TreeSet<String> devices = new TreeSet<>();
    for (ShootSource source : shoot.sources()) {
      devices.add(source.device());
      String first = shoot.runOf(source).firstPath();
      if (source.isReadable() && !references.contains(first)) {
        references.add(first);
      }
    }
    String wanted = wishes().reference();
    String reference =
        references.stream()
            .filter(path -> wanted != null && (path.equals(wanted) || path.endsWith("/" + wanted)))
            .findFirst()
            .orElse(null);
    ShootSource source = chosen();
    shown.set(
        source == null
            ? new Shown(
                references,
                reference,
                wishes().placing(),
                null,
                false,
                "",
                false,
                "",
                List.copyOf(devices))
            : new Shown(
                references,
                reference,
                wishes().placing(),
                source.path(),
                source.isReadable()
                    && !shoot.runOf(source).paths().contains(String.valueOf(shoot.referencePath())),
                source.device(),
                rules(shoot, source).stream().anyMatch(this::isGiven),
                folderOf(source.path()),
                List.copyOf(devices)));
  }

  private static String folderOf(String path) {
    return path.substring(0, Math.max(0, path.lastIndexOf('/')));
  }

  /** Patterns under which a person may have named its device here. */
  private static List<String> rules(Shoot shoot, ShootSource source) {
    List<String> patterns = new ArrayList<>(shoot.runOf(source).paths());
    patterns.add(folderOf(source.path()));
    return patterns;
  }

  private boolean isGiven(String pattern) {
    return wishes().devices().rules().stream().anyMatch(rule -> rule.pattern().equals(pattern));
  }

  /** Says what is made to coincide. */
  public void setPlacing(PlaceBy next) {
    if (next != wishes().placing()) {
      desk.edits()
          .change(
              wishes().withPlaceBy(next),
              Texts.of(next == PlaceBy.PICTURE ? "edit.place-by.picture" : "edit.place-by.sound"));
    }
  }

  /**
   * Lines up to another source. Places given by hand stay where they are in the world: they are
   * counted on the new reference's clock from now on, or given up where its own place is not known.
   *
   * @param path a source, or null for the longest good recording
   */
  public void setReference(@Nullable String path) {
    Shoot shoot = shoot();
    if (shoot == null || Objects.equals(path, shown.get().reference())) {
      return;
    }
    Wishes next = wishes();
    if (path != null) {
      next = next.takenIn(path);
    }
    for (Wishes.Pin pin : wishes().pins()) {
      next = next.withoutPin(pin.source());
    }
    OnClock clock = path == null ? null : clockOf(shoot, path);
    if (clock != null) {
      for (Wishes.Pin pin : wishes().pins()) {
        if (!pin.source().equals(path)) {
          double moved = Math.rint(clock.sourceAt(pin.offsetSeconds()) * 1e9) / 1e9;
          next = next.withPin(new Wishes.Pin(pin.source(), moved));
        }
      }
    }
    desk.edits()
        .change(
            next.withReference(path),
            path == null ? Texts.of("edit.reference.longest") : Texts.of("edit.reference", path));
  }

  /** Where a source lies on the clock that holds now; null if it is not placed. */
  private static @Nullable OnClock clockOf(Shoot shoot, String path) {
    if (path.equals(shoot.referencePath())) {
      return new OnClock(0, 0, 0, true);
    }
    for (ShootSource source : shoot.sources()) {
      var placement = source.path().equals(path) ? source.placement() : null;
      Double offset = placement == null ? null : placement.offsetSeconds();
      if (placement != null && offset != null) {
        Double drift = placement.driftPpm();
        return new OnClock(offset, drift == null ? 0 : drift, 0, true);
      }
    }
    return null;
  }

  /** Lines up to the chosen source. */
  public void takeAsReference() {
    Shoot shoot = shoot();
    ShootSource source = chosen();
    if (shoot != null && source != null && shown.get().canBeReference()) {
      setReference(shoot.runOf(source).firstPath());
    }
  }

  /**
   * Says which device the chosen source comes from, with the other files of its run.
   *
   * @param device its name; blank to leave it to what the files say
   */
  public void setDevice(String device) {
    Shoot shoot = shoot();
    ShootSource source = chosen();
    if (shoot != null && source != null) {
      Run run = shoot.runOf(source);
      say(device, run.paths(), source.path());
    }
  }

  /** Says the same of all that lies in its folder; nothing happens if it lies in none. */
  public void setDeviceOfFolder(String device) {
    Shoot shoot = shoot();
    ShootSource source = chosen();
    String folder = source == null ? "" : folderOf(source.path());
    if (shoot != null && !folder.isEmpty()) {
      say(device, List.of(folder), folder);
    }
  }

  private void say(String typed, List<String> patterns, String about) {
    String device = typed.strip();
    Wishes next = wishes();
    for (String pattern : patterns) {
      next =
          device.isEmpty()
              ? next.withoutDevice(pattern)
              : next.withDevice(new DeviceRules.Rule(device, pattern));
    }
    String words =
        device.isEmpty()
            ? Texts.of("edit.device.found", about)
            : Texts.of("edit.device", device, about);
    desk.edits().change(next, words);
  }

  /** Lets the files say which device the chosen source comes from. */
  public void forgetDevice() {
    Shoot shoot = shoot();
    ShootSource source = chosen();
    if (shoot != null && source != null) {
      say("", rules(shoot, source), source.path());
    }
  }
}
