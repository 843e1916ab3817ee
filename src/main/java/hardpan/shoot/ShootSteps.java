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
import hardpan.media.SourceOpener;
import hardpan.verdict.ChannelVerdict;
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

  private final ReaderChoice choice;
  private final Scratch scratch;
  private final Monitor monitor;

  /**
   * For one run of the job.
   *
   * @param choice which reader
   * @param scratch where intermediate results go
   * @param monitor progress and cancel
   */
  public ShootSteps(ReaderChoice choice, Scratch scratch, Monitor monitor) {
    this.choice = choice;
    this.scratch = scratch;
    this.monitor = monitor;
  }

  /**
   * Finds the sources.
   *
   * @param roots folders and files
   * @throws ShootException if a root is missing or nothing in it is media
   */
  public Shoot find(List<Path> roots) throws ShootException {
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
    Map<SourceFinder.Candidate, String> paths = uniquePaths(found.candidates());
    Map<String, String> devices = Devices.guess(List.copyOf(paths.values()));
    Map<String, Integer> runs = new HashMap<>();
    List<ShootSource> sources = new ArrayList<>();
    for (SourceFinder.Candidate candidate : found.candidates()) {
      String path = paths.getOrDefault(candidate, candidate.relativePath());
      String device = devices.getOrDefault(path, path);
      int run = runs.merge(device, 1, Integer::sum);
      sources.add(
          new ShootSource(candidate.path(), path, candidate.kind(), device, run, null, null, null));
    }
    return new Shoot(nameOf(roots), sources, found.leftOut(), null);
  }

  /** Two given folders may hold files of the same relative name; a number tells them apart. */
  private static Map<SourceFinder.Candidate, String> uniquePaths(
      List<SourceFinder.Candidate> candidates) {
    Map<SourceFinder.Candidate, String> paths = new LinkedHashMap<>();
    Set<String> used = new HashSet<>();
    for (SourceFinder.Candidate candidate : candidates) {
      String path = candidate.relativePath();
      for (int number = 2; !used.add(path); number++) {
        path = number + "/" + candidate.relativePath();
      }
      paths.put(candidate, path);
    }
    return paths;
  }

  private static String nameOf(List<Path> roots) {
    Path first = roots.get(0).toAbsolutePath().normalize();
    Path folder = Files.isDirectory(first) ? first : first.getParent();
    Path name = folder == null ? null : folder.getFileName();
    return name == null ? "shoot" : name.toString();
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
    Analyser analyser = new Analyser(choice, scratch);
    List<ShootSource> read =
        work(shoot.sources(), "reading", 0, READ, source -> analyser.analyse(source, monitor));
    if (read.stream().noneMatch(ShootSource::isReadable)) {
      MediaException only = read.size() == 1 ? read.get(0).error() : null;
      throw new ShootException(
          ShootException.Reason.NOTHING_DONE,
          only != null
              ? read.get(0).path() + ": " + only.sentence()
              : "Not one of the " + read.size() + " files could be read.",
          only);
    }
    return new Shoot(shoot.name(), read, shoot.leftOut(), null);
  }

  /**
   * Chooses the reference and lines everything up to it.
   *
   * @param wanted the reference the person wants, or null for the longest good recording
   * @throws ShootException if the wanted reference is not there or cannot be read
   */
  public Shoot lineUp(Shoot shoot, @Nullable Path wanted) throws ShootException {
    ShootSource reference = wanted == null ? longest(shoot) : named(shoot, wanted);
    LineUp lineUp = new LineUp(candidate(reference));
    List<ShootSource> others =
        shoot.sources().stream()
            .filter(source -> source.isReadable() && !source.path().equals(reference.path()))
            .toList();
    List<Placement> found =
        work(others, "lining up", READ, LINED_UP, source -> place(lineUp, source));
    Map<String, Placement> placements = new LinkedHashMap<>();
    Map<String, String> devices = new HashMap<>();
    for (int i = 0; i < others.size(); i++) {
      placements.put(others.get(i).path(), found.get(i));
      devices.put(others.get(i).path(), others.get(i).device());
    }
    Map<String, Placement> steadied = DeviceClocks.share(placements, devices);
    List<ShootSource> placed = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      Placement placement = steadied.get(source.path());
      placed.add(placement == null ? source : source.placed(placement));
    }
    return new Shoot(shoot.name(), placed, shoot.leftOut(), reference.path());
  }

  private Placement place(LineUp lineUp, ShootSource source) {
    try {
      return lineUp.place(candidate(source), monitor);
    } catch (MediaException e) {
      return Placement.refused("It could not be read again: " + e.sentence());
    }
  }

  private Candidate candidate(ShootSource source) {
    Analysis analysis = source.analysis();
    if (analysis == null) {
      throw new IllegalArgumentException(source.path() + " was not read");
    }
    Set<Integer> usable = new HashSet<>();
    List<ChannelVerdict> channels = analysis.verdicts().channels();
    for (int i = 0; i < channels.size(); i++) {
      if (!channels.get(i).silent()) {
        usable.add(i);
      }
    }
    return new Candidate(
        source.path(),
        source.device(),
        analysis.facts().rateHz(),
        analysis.frameCount(),
        analysis.maps(),
        usable,
        () -> SourceOpener.open(source.file(), choice));
  }

  /** The longest recording that is not silent; without recordings, the longest clip. */
  private static ShootSource longest(Shoot shoot) {
    return shoot.sources().stream()
        .filter(ShootSource::isReadable)
        .max(
            Comparator.comparing(ShootSteps::isAudible)
                .thenComparing(source -> source.kind() == Kind.RECORDING)
                .thenComparingDouble(ShootSteps::durationSeconds)
                .thenComparing(ShootSource::path, Comparator.reverseOrder()))
        .orElseThrow();
  }

  private static boolean isAudible(ShootSource source) {
    Analysis analysis = source.analysis();
    return analysis != null
        && analysis.verdicts().channels().stream().anyMatch(channel -> !channel.silent());
  }

  private static double durationSeconds(ShootSource source) {
    Analysis analysis = source.analysis();
    return analysis == null ? 0 : analysis.durationSeconds();
  }

  private static ShootSource named(Shoot shoot, Path wanted) throws ShootException {
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
    MediaException error = matches.get(0).error();
    if (error != null) {
      throw new ShootException(
          ShootException.Reason.REQUEST,
          "The reference " + wanted + " cannot be read: " + error.sentence(),
          error);
    }
    return matches.get(0);
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
