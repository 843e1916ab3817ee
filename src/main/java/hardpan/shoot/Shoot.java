package hardpan.shoot;

import hardpan.lineup.Placement;
import hardpan.media.SourceFinder;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Everything recorded at one event, as far as the job has come.
 *
 * @param name what it is called: the given folder's name
 * @param sources in the order of the search
 * @param leftOut what was not taken, with reasons
 * @param referencePath path of the source that everything is lined up to, or null; of a run of
 *     several files its first one
 * @param intake what was asked for when the sources were found
 * @param runs which sources belong together; empty before they are read, then each source is in one
 *     of them
 */
public record Shoot(
    String name,
    List<ShootSource> sources,
    List<SourceFinder.LeftOut> leftOut,
    @Nullable String referencePath,
    Intake intake,
    List<Run> runs) {
  /** Copies the lists. */
  public Shoot {
    sources = List.copyOf(sources);
    leftOut = List.copyOf(leftOut);
    runs = List.copyOf(runs);
  }

  /** With every source by itself. */
  public Shoot(
      String name,
      List<ShootSource> sources,
      List<SourceFinder.LeftOut> leftOut,
      @Nullable String referencePath,
      Intake intake) {
    this(name, sources, leftOut, referencePath, intake, List.of());
  }

  /** Nothing was asked for. */
  public Shoot(
      String name,
      List<ShootSource> sources,
      List<SourceFinder.LeftOut> leftOut,
      @Nullable String referencePath) {
    this(name, sources, leftOut, referencePath, Intake.NONE);
  }

  /** The same with other sources. */
  Shoot withSources(List<ShootSource> others) {
    return new Shoot(name, others, leftOut, referencePath, intake, runs);
  }

  /** The same shoot under another name. */
  public Shoot named(String newName) {
    return new Shoot(newName, sources, leftOut, referencePath, intake, runs);
  }

  /** The same shoot with its sources further on. */
  Shoot with(List<ShootSource> newSources, @Nullable String newReferencePath) {
    return new Shoot(name, newSources, leftOut, newReferencePath, intake, runs);
  }

  /** The run a source belongs to; by itself if nothing else is known. */
  public Run runOf(ShootSource source) {
    for (Run run : runs) {
      if (run.partOf(source.path()) >= 0) {
        return run;
      }
    }
    return Run.of(source);
  }

  /** All runs, also where none were looked for. */
  public List<Run> allRuns() {
    return runs.isEmpty() ? sources.stream().map(Run::of).toList() : runs;
  }

  /** The source with a path. */
  ShootSource source(String path) {
    for (ShootSource source : sources) {
      if (source.path().equals(path)) {
        return source;
      }
    }
    throw new IllegalArgumentException(path);
  }

  /** The reference, if there is one. */
  public Optional<ShootSource> reference() {
    return sources.stream().filter(source -> source.path().equals(referencePath)).findFirst();
  }

  /** Where the sources lie. */
  public List<Path> files() {
    return sources.stream().map(ShootSource::file).toList();
  }

  /** Whether every source could be read and, where a line-up was made, placed. */
  public boolean isWhole() {
    return sources.stream()
        .allMatch(
            source ->
                source.isReadable()
                    && (source.placement() == null
                        || source.placement().isLeftOut()
                        || source.placement().state() == Placement.State.PLACED));
  }
}
