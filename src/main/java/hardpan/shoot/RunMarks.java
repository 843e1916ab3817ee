package hardpan.shoot;

import java.nio.charset.StandardCharsets;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.Map;
import java.util.TreeMap;

/**
 * What the runs of a shoot are recognised by: all that comparing two of them depends on. Two runs
 * of one mark, compared by one version of the program, give one and the same result.
 */
final class RunMarks {
  /**
   * Must be raised whenever comparing the same two sources gives something else than before, its
   * sentences included, as {@link ShootFile#ANALYSIS_VERSION} when they are measured differently.
   */
  static final int LINE_UP_VERSION = 3;

  private RunMarks() {}

  /**
   * By the path of the run's first source. Runs that were not read or whose files are not there
   * have none.
   */
  static Map<String, String> of(Shoot shoot, int analysisVersion) {
    Map<String, SourceMark> files = KeptShoot.marks(shoot);
    Map<String, String> marks = new TreeMap<>();
    for (Run run : shoot.allRuns()) {
      if (RunPiece.isReadable(shoot, run) && files.keySet().containsAll(run.paths())) {
        marks.put(run.firstPath(), mark(shoot, run, files, analysisVersion));
      }
    }
    return marks;
  }

  private static String mark(
      Shoot shoot, Run run, Map<String, SourceMark> files, int analysisVersion) {
    StringBuilder text = new StringBuilder();
    text.append(Version.number())
        .append('\n')
        .append(analysisVersion)
        .append('\n')
        .append(LINE_UP_VERSION)
        .append('\n');
    run.joins().forEach(join -> text.append(join.isOneStream()).append('\n'));
    for (Run.Part part : run.parts()) {
      text.append(part.startFrame()).append(' ').append(part.frameCount()).append('\n');
      for (String path : part.paths()) {
        ShootSource source = shoot.source(path);
        Analysis analysis = source.analysis();
        text.append(path)
            .append('\n')
            .append(source.device())
            .append('\n')
            .append(files.get(path))
            .append('\n')
            .append(analysis == null ? "" : analysis.facts() + " " + analysis.frameCount())
            .append('\n');
      }
    }
    try {
      MessageDigest digest = MessageDigest.getInstance("SHA-256");
      return HexFormat.of()
          .formatHex(digest.digest(text.toString().getBytes(StandardCharsets.UTF_8)));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java has SHA-256", e);
    }
  }
}
