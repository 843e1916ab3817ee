package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Candidate;
import hardpan.lineup.DeviceClocks;
import hardpan.lineup.LineUp;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts.Kind;
import hardpan.media.SourceFinder;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Finding;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.concurrent.CancellationException;
import org.jspecify.annotations.Nullable;

/**
 * The steps from folders to a shoot that is read, checked and lined up. Each step takes a shoot and
 * gives the next one.
 */
public final class ShootSteps {
  /** Share of the whole job that reading takes. */
  static final double READ = 0.6;

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
            new Intake(rules, named, Map.of()));
    return DeviceGroups.assign(shoot);
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
      match(shoot, wanted);
    }
  }

  /**
   * Chooses the reference and lines everything up to it.
   *
   * @param wanted the reference the person wants, or null for the longest good recording
   * @throws ShootException if the wanted reference is not there or cannot be read
   */
  public Shoot lineUp(Shoot shoot, @Nullable Path wanted) throws ShootException {
    List<RunPiece> pieces = new ArrayList<>();
    for (Run run : shoot.allRuns()) {
      if (RunPiece.isReadable(shoot, run)) {
        pieces.add(new RunPiece(shoot, run, choice));
      }
    }
    RunPiece reference = wanted == null ? longest(pieces) : named(shoot, wanted, pieces);
    LineUp lineUp = new LineUp(referenceCandidate(reference));
    List<RunPiece> others = pieces.stream().filter(piece -> piece != reference).toList();
    List<Placement> found =
        work(others, "lining up", READ, LINED_UP, (piece, own) -> place(lineUp, piece, own));
    Map<String, Placement> placements = new LinkedHashMap<>();
    Map<String, String> devices = new HashMap<>();
    for (int i = 0; i < others.size(); i++) {
      String id = others.get(i).run().firstPath();
      placements.put(id, found.get(i));
      devices.put(id, others.get(i).first().device());
    }
    Map<String, Placement> steadied = DeviceClocks.share(placements, devices);
    Map<String, Placement> places = new HashMap<>();
    for (RunPiece piece : pieces) {
      PartPlaces parts = new PartPlaces(piece, reference.durationSeconds());
      Placement whole = steadied.get(piece.run().firstPath());
      for (String path : piece.run().paths()) {
        ShootSource source = shoot.source(path);
        if (whole != null) {
          places.put(path, parts.of(source, whole));
        } else if (!path.equals(reference.run().firstPath())) {
          places.put(path, parts.onReference(source));
        }
      }
    }
    List<ShootSource> placed = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      Placement placement = places.get(source.path());
      placed.add(placement == null ? source : source.placed(placement));
    }
    return shoot.with(placed, reference.run().firstPath());
  }

  private Placement place(LineUp lineUp, RunPiece source, Monitor own) {
    try {
      return lineUp.place(candidate(source), own);
    } catch (MediaException e) {
      return Placement.refused("It could not be read again: " + e.sentence());
    } catch (CancellationException e) {
      throw e;
    } catch (RuntimeException e) {
      // A fault of ours on one odd source must not cost the rest of the shoot.
      return Placement.refused("Its sound is too unusual to be compared with the reference.");
    }
  }

  private Candidate referenceCandidate(RunPiece reference) throws ShootException {
    try {
      return candidate(reference);
    } catch (MediaException e) {
      throw new ShootException(ShootException.Reason.NOTHING_DONE, e.sentence(), e);
    }
  }

  private Candidate candidate(RunPiece piece) throws MediaException {
    Set<Integer> usable = new HashSet<>();
    List<ChannelVerdict> channels = piece.verdicts().channels();
    for (int i = 0; i < channels.size(); i++) {
      if (!channels.get(i).silent()) {
        usable.add(i);
      }
    }
    return new Candidate(
        piece.run().firstPath(),
        piece.first().device(),
        piece.facts().rateHz(),
        piece.frameCount(),
        piece.maps(scratch),
        usable,
        piece::open);
  }

  /** The longest recording that is not silent; without recordings, the longest clip. */
  private static RunPiece longest(List<RunPiece> pieces) {
    return pieces.stream()
        .max(
            Comparator.comparing(ShootSteps::isAudible)
                .thenComparing(piece -> piece.first().kind() == Kind.RECORDING)
                .thenComparingDouble(RunPiece::durationSeconds)
                .thenComparing(piece -> piece.run().firstPath(), Comparator.reverseOrder()))
        .orElseThrow();
  }

  private static boolean isAudible(RunPiece piece) {
    return piece.verdicts().channels().stream().anyMatch(channel -> !channel.silent());
  }

  private static ShootSource match(Shoot shoot, Path wanted) throws ShootException {
    List<ShootSource> matches =
        shoot.sources().stream().filter(source -> isNamed(source, wanted)).toList();
    if (matches.size() != 1) {
      throw new ShootException(
          ShootException.Reason.REQUEST,
          matches.isEmpty()
              ? "The reference " + wanted + " is not among the sources."
              : "The reference "
                  + wanted
                  + " fits "
                  + matches.size()
                  + " sources; name its folder.");
    }
    return matches.get(0);
  }

  private static RunPiece named(Shoot shoot, Path wanted, List<RunPiece> pieces)
      throws ShootException {
    ShootSource source = match(shoot, wanted);
    MediaException error = source.error();
    if (error != null) {
      throw new ShootException(
          ShootException.Reason.REQUEST,
          "The reference " + wanted + " cannot be read: " + error.sentence(),
          error);
    }
    return pieces.stream()
        .filter(piece -> piece.run().partOf(source.path()) >= 0)
        .findFirst()
        .orElseThrow();
  }

  private static boolean isNamed(ShootSource source, Path wanted) {
    try {
      if (Files.exists(wanted)) {
        return Files.isSameFile(source.file(), wanted);
      }
    } catch (IOException e) {
      return false;
    }
    String name = wanted.toString().replace('\\', '/');
    return source.path().equals(name) || source.path().endsWith("/" + name);
  }

  private <T, R> List<R> work(
      List<T> things, String stage, double from, double to, Crew.Step<T, R> step) {
    try {
      return Crew.all(things, stage, from, to, monitor, step);
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException("the steps of reading and lining up keep their failures", e);
    }
  }
}
