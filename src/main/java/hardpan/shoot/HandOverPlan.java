package hardpan.shoot;

import hardpan.lanes.Lane;
import hardpan.media.FfmpegPicture;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.util.HexFormat;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/** What a hand-over is going to write. */
final class HandOverPlan {
  /** Header, names, findings: more than any lane has beside its sound. */
  private static final long LANE_EXTRA_BYTES = 65_536;

  /** The papers of a lane, and those of the whole. */
  private static final long PAPERS_BYTES = 1L << 20;

  private HandOverPlan() {}

  /**
   * 64 digits that stand for all that decides the lanes' bytes but the time: program, sources as
   * they lie on the disk, what was found in them, lanes.
   */
  static String checksum(Shoot shoot, List<Lane> lanes, Map<String, FfmpegPicture> pictures) {
    StringBuilder plan = new StringBuilder();
    plan.append(Version.madeBy()).append('\n').append(shoot.name()).append('\n');
    plan.append(shoot.referencePath()).append('\n');
    for (ShootSource source : shoot.sources()) {
      plan.append(source.path()).append('|').append(mark(source.file())).append('\n');
    }
    for (Lane lane : lanes) {
      var source = lane.source();
      plan.append(lane.fileName()).append('|').append(lane.name()).append('|');
      plan.append(lane.role()).append('|').append(lane.channels()).append('|');
      plan.append(lane.resample()).append('|').append(lane.format()).append('|');
      plan.append(source.path()).append('|').append(source.files()).append('|');
      plan.append(source.device()).append('|');
      plan.append(source.runNumber()).append('|').append(source.facts()).append('|');
      plan.append(source.frameCount()).append('|').append(source.verdicts()).append('|');
      plan.append(source.placement()).append('|').append(source.isReference()).append('\n');
    }
    plan.append(new TreeMap<>(pictures));
    try {
      return HexFormat.of()
          .formatHex(
              MessageDigest.getInstance("SHA-256")
                  .digest(plan.toString().getBytes(StandardCharsets.UTF_8)));
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }

  private static String mark(Path file) {
    try {
      return file.toAbsolutePath()
          + "|"
          + Files.size(file)
          + "|"
          + Files.getLastModifiedTime(file).toMillis();
    } catch (IOException e) {
      // It will be told when its lanes are to be written.
      return file.toAbsolutePath() + "|gone";
    }
  }

  /**
   * How many bytes are still to be written, rounded up.
   *
   * @param folder where lanes of an earlier run may lie already
   */
  static long bytesNeeded(List<Lane> lanes, Path folder) {
    double bytes = PAPERS_BYTES;
    for (Lane lane : lanes) {
      double seconds = (double) lane.source().frameCount() / lane.source().facts().rateHz() + 1;
      double wanted = seconds * lane.format().rateHz() * lane.format().bits() / 8;
      double there = folder.resolve(lane.fileName()).toFile().length();
      bytes += Math.max(0, wanted - there) + LANE_EXTRA_BYTES;
    }
    return (long) bytes;
  }
}
