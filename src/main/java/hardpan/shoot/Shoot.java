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
 * @param referencePath path of the source that everything is lined up to, or null
 * @param intake what was asked for when the sources were found
 */
public record Shoot(
    String name,
    List<ShootSource> sources,
    List<SourceFinder.LeftOut> leftOut,
    @Nullable String referencePath,
    Intake intake) {
  /** Copies the lists. */
  public Shoot {
    sources = List.copyOf(sources);
    leftOut = List.copyOf(leftOut);
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
    return new Shoot(name, others, leftOut, referencePath, intake);
  }

  /** The same shoot under another name. */
  public Shoot named(String newName) {
    return new Shoot(newName, sources, leftOut, referencePath, intake);
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
                        || source.placement().state() == Placement.State.PLACED));
  }
}
