package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.ReaderChoice;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * One shoot that is worked on for a while: shown at once as it was kept, read where something is
 * new, lined up anew after every decision. Everything is kept in its file as soon as it is known; a
 * file that cannot be used is no obstacle.
 *
 * <p>One long step at a time; {@link #keep}, {@link #changes} and {@link #away} may be called
 * beside it from other threads.
 */
public final class ShootSession implements AutoCloseable {
  private static final String OTHERWISE =
      " Open the folder of the clips instead; decisions kept in this file are then not at hand.";

  private final List<Path> roots;
  private final ReaderChoice choice;
  private final @Nullable ShootFile file;
  private final @Nullable String refusal;
  private volatile @Nullable KeptShoot kept;
  private @Nullable Scratch scratch;
  private @Nullable Shoot read;
  private DeviceRules readWith = DeviceRules.NONE;
  private KnownPlaces known = new KnownPlaces();

  /** What the runs that were read are recognised by in the file. */
  private Map<String, String> runMarks = Map.of();

  private ShootSession(
      List<Path> roots, ReaderChoice choice, @Nullable ShootFile file, @Nullable String refusal) {
    this.roots = List.copyOf(roots);
    this.choice = choice;
    this.file = file;
    this.refusal = refusal;
    this.kept = file == null ? null : file.shoot().orElse(null);
  }

  /**
   * Begins, with what is kept in a file.
   *
   * @param roots folders and files of the shoot
   * @param path the saved shoot, made with its folder if need be; null to keep nothing
   */
  public static ShootSession open(List<Path> roots, @Nullable Path path, ReaderChoice choice) {
    if (path == null) {
      return new ShootSession(roots, choice, null, null);
    }
    try {
      Path folder = path.toAbsolutePath().getParent();
      if (folder != null) {
        Files.createDirectories(folder);
      }
      return new ShootSession(roots, choice, ShootFile.openOrCreate(path), null);
    } catch (IOException e) {
      return new ShootSession(
          roots, choice, null, "Nothing can be kept: " + path + " cannot be written.");
    } catch (ShootException e) {
      return new ShootSession(roots, choice, null, "Nothing is kept: " + e.sentence());
    }
  }

  /**
   * Begins with a saved shoot that knows its folders itself; everything is kept there.
   *
   * @param path the saved shoot
   * @throws ShootException if it is missing, damaged, no saved shoot, from a newer Hardpan or in
   *     use, or does not name its folders; it stays as it is
   */
  public static ShootSession openSaved(Path path, ReaderChoice choice) throws ShootException {
    ShootFile file;
    try {
      file = ShootFile.open(path);
    } catch (ShootException e) {
      throw new ShootException(e.reason(), e.sentence() + OTHERWISE, e);
    }
    List<Path> roots = file.roots();
    if (roots.isEmpty()) {
      file.close();
      throw new ShootException(
          ShootException.Reason.REQUEST,
          "The saved shoot "
              + path
              + " does not name its folders, so its names and places cannot be used. Open the"
              + " folder of the clips instead.");
    }
    return new ShootSession(roots, choice, file, null);
  }

  /** Its folders and files. */
  public List<Path> roots() {
    return roots;
  }

  /** Why nothing or nothing more is kept, one sentence, if so. */
  public Optional<String> trouble() {
    return file == null ? Optional.ofNullable(refusal) : file.trouble();
  }

  /** The shoot as it was last lined up, if that is kept. It can be shown and handed over. */
  public Optional<Shoot> kept() {
    KeptShoot last = kept;
    return last == null ? Optional.empty() : Optional.of(last.shoot());
  }

  /** What a person decided before. */
  public Wishes wishes() {
    return file == null ? Wishes.NONE : file.wishes();
  }

  /** Keeps what a person decided. Safe to call from any thread. */
  public void keep(Wishes wishes) {
    if (file != null) {
      file.keep(wishes);
    }
  }

  /** Whether the last line-up was made with just these decisions. */
  public boolean isLinedUpFor(Wishes wishes) {
    KeptShoot last = kept;
    return last != null && last.lineUpKey().equals(wishes.lineUpKey());
  }

  /**
   * Whether {@link #lineUp} would have to fetch the sources' measurements first, from the file or
   * the sources.
   */
  public boolean needsReading(Wishes wishes) {
    return read == null || !readWith.equals(wishes.devices());
  }

  /**
   * What is different on the disk.
   *
   * @param missingRoots given folders and files that are not there
   * @param added sources that are new
   * @param changed sources that are not the same any more
   * @param gone sources that are not there
   */
  public record Changes(
      List<Path> missingRoots, List<String> added, List<String> changed, List<String> gone) {
    /** Nothing is different. */
    public static final Changes NONE = new Changes(List.of(), List.of(), List.of(), List.of());

    /** Copies the lists. */
    public Changes {
      missingRoots = List.copyOf(missingRoots);
      added = List.copyOf(added);
      changed = List.copyOf(changed);
      gone = List.copyOf(gone);
    }

    /** Whether there is none. */
    public boolean isEmpty() {
      return missingRoots.isEmpty() && added.isEmpty() && changed.isEmpty() && gone.isEmpty();
    }
  }

  /** Looks whether the sources are still those of the kept shoot; decodes nothing. */
  public Changes changes(Monitor monitor) throws ShootException {
    KeptShoot last = kept;
    List<Path> missing = roots.stream().filter(root -> !Files.exists(root)).toList();
    if (last == null || !missing.isEmpty()) {
      return new Changes(missing, List.of(), List.of(), List.of());
    }
    Shoot found = found(last.shoot().intake().rules(), monitor);
    List<String> added = new ArrayList<>();
    List<String> changed = new ArrayList<>();
    List<String> gone = new ArrayList<>();
    Map<String, SourceMark> before = last.marks();
    int done = 0;
    for (ShootSource source : found.sources()) {
      monitor.checkCancelled();
      monitor.progress("looking at the sources", (double) done++ / found.sources().size());
      boolean isKnown =
          last.shoot().sources().stream().anyMatch(own -> own.path().equals(source.path()));
      SourceMark mark = SourceMark.of(source.file());
      if (!isKnown) {
        added.add(source.path());
      } else if (mark == null || !mark.equals(before.get(source.path()))) {
        changed.add(source.path());
      }
    }
    for (ShootSource source : last.shoot().sources()) {
      if (found.sources().stream().noneMatch(own -> own.path().equals(source.path()))) {
        gone.add(source.path());
      }
    }
    return new Changes(missing, added, changed, gone);
  }

  /**
   * Given folders and files that cannot be reached now: they are not there, or not one of their
   * sources is, as below a mount point whose drive was pulled. A look at names, nothing is read;
   * safe to call beside everything else.
   */
  public List<Path> away() {
    KeptShoot last = kept;
    List<Path> files =
        last == null ? List.of() : last.shoot().sources().stream().map(ShootSource::file).toList();
    List<Path> away = new ArrayList<>();
    for (Path root : roots) {
      List<Path> inside = files.stream().filter(file -> file.startsWith(root)).toList();
      boolean isThere =
          Files.exists(root) && (inside.isEmpty() || inside.stream().anyMatch(Files::exists));
      if (!isThere) {
        away.add(root);
      }
    }
    return away;
  }

  private Shoot found(DeviceRules rules, Monitor monitor) throws ShootException {
    try (Scratch own = Scratch.create()) {
      return new ShootSteps(choice, own, monitor, null).findWith(roots, rules);
    } catch (MediaException e) {
      throw new ShootException(ShootException.Reason.NOTHING_DONE, e.sentence(), e);
    }
  }

  private ShootSteps steps(Monitor monitor) throws ShootException {
    Scratch own = scratch;
    if (own == null) {
      own = Scratch.create();
      scratch = own;
    }
    return new ShootSteps(choice, own, monitor, file);
  }

  /**
   * Finds the sources, reads what is not kept of them and lines them up.
   *
   * @throws ShootException if nothing can be done with them
   */
  public Shoot read(Wishes wishes, Monitor monitor) throws ShootException {
    measure(wishes, monitor);
    return solve(wishes, monitor);
  }

  /**
   * Lines up anew. Sources are not read again; where their measurements are not at hand, they come
   * from the file.
   *
   * @throws ShootException if the decisions cannot be kept to
   */
  public Shoot lineUp(Wishes wishes, Monitor monitor) throws ShootException {
    if (needsReading(wishes)) {
      measure(wishes, monitor);
    }
    return solve(wishes, monitor);
  }

  private void measure(Wishes wishes, Monitor monitor) throws ShootException {
    clearScratch();
    ShootSteps steps = steps(monitor);
    Shoot measured = steps.read(steps.findWith(roots, wishes.devices()));
    read = measured;
    readWith = wishes.devices();
    runMarks = file == null ? Map.of() : file.marks(measured);
    known = file == null ? new KnownPlaces() : file.knownPlaces(runMarks);
  }

  private Shoot solve(Wishes wishes, Monitor monitor) throws ShootException {
    Shoot measured = read;
    if (measured == null) {
      throw new IllegalStateException("nothing was read");
    }
    Shoot linedUp;
    try {
      linedUp = steps(monitor).lineUp(measured, null, wishes, known);
    } finally {
      // What was compared before it was stopped need not be compared again either.
      if (file != null) {
        file.keep(known, runMarks);
      }
    }
    KeptShoot outcome = KeptShoot.of(linedUp, roots, wishes);
    kept = outcome;
    if (file != null) {
      file.keep(outcome);
    }
    return linedUp;
  }

  private void clearScratch() throws ShootException {
    read = null;
    Scratch old = scratch;
    scratch = null;
    if (old != null) {
      try {
        old.close();
      } catch (MediaException e) {
        throw new ShootException(ShootException.Reason.NOTHING_DONE, e.sentence(), e);
      }
    }
  }

  /**
   * Ends; what was kept is kept.
   *
   * @throws ShootException if the temporary folder cannot be removed
   */
  @Override
  public void close() throws ShootException {
    try {
      clearScratch();
    } finally {
      if (file != null) {
        file.close();
      }
    }
  }
}
