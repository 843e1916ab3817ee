package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFinder;
import hardpan.verdict.Finding;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * The steps from folders to a shoot that is read, checked and lined up. Each step takes a shoot and
 * gives the next one.
 */
public final class ShootSteps {
  /** Share of the whole job that reading takes. */
  public static final double READ = 0.6;

  /** Share of the whole job that is done when every source has its place. */
  static final double PLACED = 0.78;

  /** Share of the whole job that is done when the sources are lined up. */
  public static final double LINED_UP = 0.8;

  /** So many reasons are told when no source at all can be read. */
  private static final int MOST_REASONS = 5;

  private final ReaderChoice choice;
  private final Scratch scratch;
  private final Monitor monitor;
  private final @Nullable ShootFile shootFile;

  /**
   * For one run of the job that keeps nothing.
   *
   * @param choice which reader
   * @param scratch where intermediate results go
   * @param monitor progress and cancel
   */
  public ShootSteps(ReaderChoice choice, Scratch scratch, Monitor monitor) {
    this(choice, scratch, monitor, null);
  }

  /**
   * For one run of the job.
   *
   * @param choice which reader
   * @param scratch where intermediate results go
   * @param monitor progress and cancel
   * @param shootFile what was measured before is taken from it and new measurements go into it;
   *     stays open; null to keep nothing
   */
  public ShootSteps(
      ReaderChoice choice, Scratch scratch, Monitor monitor, @Nullable ShootFile shootFile) {
    this.choice = choice;
    this.scratch = scratch;
    this.monitor = monitor;
    this.shootFile = shootFile;
  }

  /**
   * Finds the sources.
   *
   * @param roots folders and files
   * @throws ShootException if a root is missing or nothing in it is media
   */
  public Shoot find(List<Path> roots) throws ShootException {
    return find(roots, DeviceRules.NONE);
  }

  /**
   * Finds the sources.
   *
   * @param roots folders and files
   * @param rules which source comes from which device, as far as the person says so
   * @throws ShootException if a root is missing, nothing in it is media, or a rule fits nothing
   */
  public Shoot find(List<Path> roots, DeviceRules rules) throws ShootException {
    return find(roots, rules, shootFile == null ? DeviceRules.NONE : shootFile.wishes().devices());
  }

  /** Finds the sources, with rules of which some may fit nothing any more. */
  Shoot findWith(List<Path> roots, DeviceRules rules) throws ShootException {
    return find(roots, DeviceRules.NONE, rules);
  }

  private Shoot find(List<Path> roots, DeviceRules rules, DeviceRules older) throws ShootException {
    for (Path root : roots) {
      if (!Files.exists(root)) {
        throw new ShootException(ShootException.Reason.REQUEST, "There is no " + root + ".");
      }
    }
    SourceFinder.Found found = SourceFinder.find(roots);
    if (found.candidates().isEmpty()) {
      throw new ShootException(
          ShootException.Reason.NOTHING_DONE,
          "No clips or recordings were found in " + names(roots) + ".");
    }
    Map<SourceFinder.Candidate, String> paths = SourcePaths.of(found.candidates(), roots);
    Map<SourceFinder.Candidate, SourceFinder.Candidate> twins =
        Duplicates.of(found.candidates(), monitor);
    List<SourceFinder.LeftOut> leftOut =
        new ArrayList<>(SourcePaths.ofLeftOut(found.leftOut(), roots));
    Set<String> named = new HashSet<>();
    List<ShootSource> sources = new ArrayList<>();
    Map<String, String> devices = Devices.guess(List.copyOf(paths.values()));
    for (SourceFinder.Candidate candidate : found.candidates()) {
      String path = paths.getOrDefault(candidate, candidate.relativePath());
      SourceFinder.Candidate twin = twins.get(candidate);
      if (twin != null) {
        leftOut.add(Duplicates.leftOut(candidate, path, paths.getOrDefault(twin, "")));
        continue;
      }
      if (candidate.named()) {
        named.add(path);
      }
      String device = devices.getOrDefault(path, path);
      sources.add(
          new ShootSource(candidate.path(), path, candidate.kind(), device, 1, null, null, null));
    }
    for (DeviceRules.Rule rule : rules.rules()) {
      if (sources.stream().noneMatch(source -> rule.fits(source.path()))) {
        throw new ShootException(
            ShootException.Reason.REQUEST,
            "No source fits the pattern "
                + rule.pattern()
                + " of the device "
                + rule.device()
                + ".");
      }
    }
    Shoot shoot =
        new Shoot(
            SourcePaths.shootName(roots),
            sources,
            leftOut,
            null,
            new Intake(withFitting(rules, older, sources), named, Map.of()));
    return DeviceGroups.assign(shoot);
  }

  /** With older rules as far as they still fit a source. */
  private static DeviceRules withFitting(
      DeviceRules rules, DeviceRules older, List<ShootSource> sources) {
    List<DeviceRules.Rule> fitting =
        older.rules().stream()
            .filter(rule -> sources.stream().anyMatch(source -> rule.fits(source.path())))
            .toList();
    Wishes before = new Wishes(List.of(), List.of(), new DeviceRules(fitting));
    return new Wishes(List.of(), List.of(), rules).over(before).devices();
  }

  private static String names(List<Path> roots) {
    return String.join(", ", roots.stream().map(Path::toString).toList());
  }

  /**
   * Reads every source once. Unreadable ones stay in the shoot with their reason.
   *
   * @throws ShootException if not one could be read
   */
  public Shoot read(Shoot shoot) throws ShootException {
    Analyser analyser = new Analyser(choice, scratch, shootFile);
    List<ShootSource> read = work(shoot.sources(), "reading", 0, READ, analyser::analyse);
    if (read.stream().noneMatch(ShootSource::isReadable)) {
      throw new ShootException(
          ShootException.Reason.NOTHING_DONE, nothingReadable(read), read.get(0).error());
    }
    return joined(Refinement.of(shoot.withSources(read)));
  }

  /**
   * Takes every source as it says it is, without listening to it: no verdicts, no findings, no
   * joining of parts. For writing its channels out as fast as the disks are.
   *
   * @throws ShootException if not one could be opened
   */
  public Shoot takeUnchecked(Shoot shoot) throws ShootException {
    List<ShootSource> taken =
        work(
            shoot.sources(),
            "opening",
            0,
            READ,
            (source, own) -> UncheckedReading.of(source, choice, scratch, own));
    if (taken.stream().noneMatch(ShootSource::isReadable)) {
      throw new ShootException(
          ShootException.Reason.NOTHING_DONE, nothingReadable(taken), taken.get(0).error());
    }
    return shoot.withSources(taken);
  }

  /** Puts together what belongs together, and says what was found on the way. */
  private static Shoot joined(Shoot shoot) {
    RunFinder.Found found = RunFinder.find(shoot.sources());
    List<ShootSource> sources = new ArrayList<>();
    Shoot grouped =
        new Shoot(
            shoot.name(), shoot.sources(), shoot.leftOut(), null, shoot.intake(), found.runs());
    for (ShootSource source : shoot.sources()) {
      List<Finding> more = found.findings().getOrDefault(source.path(), List.of());
      sources.add(source.inRun(grouped.runOf(source), more));
    }
    return grouped.with(sources, null);
  }

  private static String nothingReadable(List<ShootSource> sources) {
    List<String> reasons = new ArrayList<>();
    for (ShootSource source : sources) {
      MediaException error = source.error();
      if (error != null && reasons.size() < MOST_REASONS) {
        // Most sentences begin with the file's name.
        boolean named = error.sentence().startsWith(source.path());
        reasons.add((named ? "" : source.path() + ": ") + error.sentence());
      }
    }
    if (sources.size() == 1) {
      return String.join(" ", reasons);
    }
    String more = sources.size() > reasons.size() ? "\n  and so on." : "";
    return "Not one of the "
        + sources.size()
        + " files could be read.\n  "
        + String.join("\n  ", reasons)
        + more;
  }

  /**
   * Looks whether the wanted reference is among the sources, before any long work.
   *
   * @throws ShootException if it is not, or if more than one source fits
   */
  public static void checkReference(Shoot shoot, @Nullable Path wanted) throws ShootException {
    if (wanted != null) {
      ShootLineUp.match(shoot, wanted);
    }
  }

  /** Forgets what a person decided before and is kept in the shoot file. */
  public void forget() {
    if (shootFile != null) {
      shootFile.keep(Wishes.NONE);
    }
  }

  /**
   * Keeps a shoot in the shoot file, so that the window can show it from there; does nothing
   * without one. A shoot that was not lined up is kept only where nothing better is.
   *
   * @param roots the folders and files it was found in
   * @param wishes what it was lined up with; null if it was not
   */
  public void keep(Shoot shoot, List<Path> roots, @Nullable Wishes wishes) {
    if (shootFile == null) {
      return;
    }
    List<Path> whole = roots.stream().map(root -> root.toAbsolutePath().normalize()).toList();
    if (wishes != null) {
      shootFile.keep(KeptShoot.of(shoot, whole, wishes));
    } else if (shootFile.shoot().isEmpty()) {
      shootFile.keep(KeptShoot.notLinedUp(shoot, whole));
    }
  }

  /**
   * What a person decides now, over what was decided before and is kept in the shoot file; all of
   * it is kept there.
   *
   * @param given what is decided now; {@link Wishes#check} it before
   */
  public Wishes wishes(Wishes given) {
    if (shootFile == null) {
      return given;
    }
    Wishes all = given.over(shootFile.wishes());
    shootFile.keep(all);
    return all;
  }

  /**
   * Chooses the reference and lines everything up to it.
   *
   * @param wanted the reference the person wants, or null for the longest good recording
   * @throws ShootException if the wanted reference is not there or cannot be read
   */
  public Shoot lineUp(Shoot shoot, @Nullable Path wanted) throws ShootException {
    return lineUp(shoot, wanted, Wishes.NONE);
  }

  /**
   * Chooses the reference and lines everything up to it.
   *
   * @param wanted the reference the person wants, or null for that of the wishes, or else the
   *     longest good recording
   * @param wishes what the person decides; what fits no source does not matter
   * @throws ShootException if the wanted reference is not there or cannot be read, or a wish cannot
   *     be kept to
   */
  public Shoot lineUp(Shoot shoot, @Nullable Path wanted, Wishes wishes) throws ShootException {
    return lineUp(shoot, wanted, wishes, new KnownPlaces());
  }

  /**
   * Chooses the reference and lines everything up to it, once more.
   *
   * @param known what comparing pairs of sources gave before; takes what it gives now
   */
  Shoot lineUp(Shoot shoot, @Nullable Path wanted, Wishes wishes, KnownPlaces known)
      throws ShootException {
    Wishes fitting = wishes.about(shoot);
    String kept = fitting.reference();
    Path reference = wanted == null && kept != null ? Path.of(kept) : wanted;
    return new ShootLineUp(shoot, choice, scratch, monitor, known).run(reference, fitting);
  }

  private <T, R> List<R> work(
      List<T> things, String stage, double from, double to, Crew.Step<T, R> step) {
    try {
      return Crew.all(things, stage, from, to, monitor, step);
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException("the steps of reading keep their failures", e);
    }
  }
}
