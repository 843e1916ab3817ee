package hardpan.shoot;

import java.util.List;

/**
 * Files that one device wrote without a stop: the parts of a long take, one after the other, each
 * of one file or of several files that were written side by side.
 *
 * @param device the device
 * @param number number of the run on its device, from 1
 * @param parts in order, at least one
 * @param joins what speaks for each cut; one less than parts
 */
public record Run(String device, int number, List<Part> parts, List<Join> joins) {
  /** Copies and checks the lists. */
  public Run {
    parts = List.copyOf(parts);
    joins = List.copyOf(joins);
    if (joins.size() != parts.size() - 1) {
      throw new IllegalArgumentException(parts.size() + " parts, " + joins.size() + " joins");
    }
  }

  /**
   * A stretch of the run.
   *
   * @param paths paths of its sources in the report, in the order of their channels
   * @param startFrame its first frame in the run
   * @param frameCount its length in frames
   */
  public record Part(List<String> paths, long startFrame, long frameCount) {
    /** Copies the list. */
    public Part {
      paths = List.copyOf(paths);
    }
  }

  /**
   * What speaks for a cut.
   *
   * @param isProved whether the sound or the stream itself proves it; else names, times and format
   *     agree and the sound does not deny
   * @param isOneStream whether the encoder ran on, so that the packets belong to one stream
   * @param why one sentence
   */
  public record Join(boolean isProved, boolean isOneStream, String why) {}

  /** Name of the run in the report. */
  public String name() {
    return device + "#" + number;
  }

  /** Whether it is more than a single file. */
  public boolean isJoined() {
    return parts.size() > 1 || parts.get(0).paths().size() > 1;
  }

  /** The paths of all its sources, part by part. */
  public List<String> paths() {
    return parts.stream().flatMap(part -> part.paths().stream()).toList();
  }

  /** The path the run is known by: its first source's. */
  public String firstPath() {
    return parts.get(0).paths().get(0);
  }

  /** Index of the part a source belongs to; -1 if to none. */
  int partOf(String path) {
    for (int i = 0; i < parts.size(); i++) {
      if (parts.get(i).paths().contains(path)) {
        return i;
      }
    }
    return -1;
  }

  /** How its lanes are called in the report: the path of a single file, else the run's name. */
  public String laneSource() {
    return isJoined() ? name() : firstPath();
  }

  Run numbered(int newNumber) {
    return new Run(device, newNumber, parts, joins);
  }

  /** A source by itself. */
  static Run of(ShootSource source) {
    Analysis analysis = source.analysis();
    long frames = analysis == null ? 0 : analysis.frameCount();
    Part part = new Part(List.of(source.path()), 0, frames);
    return new Run(source.device(), source.runNumber(), List.of(part), List.of());
  }
}
