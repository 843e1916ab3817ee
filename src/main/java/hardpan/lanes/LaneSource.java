package hardpan.lanes;

import hardpan.base.MediaException;
import hardpan.base.SourceClock;
import hardpan.lineup.ClockBend;
import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.media.SourceReader;
import hardpan.verdict.Verdicts;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * A source, or a run of several files as one piece, as the lanes see it.
 *
 * @param path its path in the report, or the name of a run of several files
 * @param files paths of the files it is made of, in order; one for a source by itself
 * @param device its device
 * @param runNumber number of its run on that device, from 1
 * @param facts its facts
 * @param frameCount its decoded length in frames
 * @param verdicts its verdicts
 * @param placement its place; null for the reference itself
 * @param isReference whether it is the reference
 * @param parent what its lanes take over from its (first) file
 * @param sound opens it
 */
public record LaneSource(
    String path,
    List<String> files,
    String device,
    int runNumber,
    SourceFacts facts,
    long frameCount,
    Verdicts verdicts,
    @Nullable Placement placement,
    boolean isReference,
    ParentFile parent,
    Sound sound) {

  /** Copies the list. */
  public LaneSource {
    files = List.copyOf(files);
  }

  /** A source of one file that its lanes take nothing over from. */
  public LaneSource(
      String path,
      String device,
      int runNumber,
      SourceFacts facts,
      long frameCount,
      Verdicts verdicts,
      @Nullable Placement placement,
      boolean isReference,
      Sound sound) {
    this(
        path,
        List.of(path),
        device,
        runNumber,
        facts,
        frameCount,
        verdicts,
        placement,
        isReference,
        ParentFile.NONE,
        sound);
  }

  /** Opens a source for reading. */
  @FunctionalInterface
  public interface Sound {
    /**
     * Opens it.
     *
     * @throws MediaException if it cannot be opened any more
     */
    SourceReader open() throws MediaException;
  }

  /** Whether it has one proven place on the reference's clock. */
  boolean isPlaced() {
    return isReference || (placement != null && placement.state() == Placement.State.PLACED);
  }

  /** Its clock on the reference's, or null if it has no place. */
  @Nullable SourceClock clock() {
    if (isReference) {
      return SourceClock.straight(0, driftPpm());
    }
    return isPlaced() && placement != null ? placement.clock() : null;
  }

  /**
   * Reference seconds at its first frame by the straight line of its clock, or null if it has no
   * place.
   */
  @Nullable Double offsetSeconds() {
    SourceClock clock = clock();
    return clock == null ? null : (Double) clock.offsetSeconds();
  }

  /** How its clock strays from the straight line of its place; null if it does not. */
  public @Nullable ClockBend bend() {
    return isPlaced() && placement != null ? placement.notes().bend() : null;
  }

  /** How much slower its clock runs than the reference's, 0 if unknown. */
  double driftPpm() {
    Double drift = placement == null ? null : placement.driftPpm();
    return drift == null ? 0 : drift;
  }
}
