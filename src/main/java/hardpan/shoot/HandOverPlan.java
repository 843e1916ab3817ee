package hardpan.shoot;

import hardpan.lanes.Lane;
import hardpan.lanes.LaneSource;
import hardpan.lanes.PlannedFile;
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
  static String checksum(
      Shoot shoot, List<PlannedFile> files, Map<String, FfmpegPicture> pictures, boolean measured) {
    StringBuilder plan = new StringBuilder();
    plan.append(Version.madeBy()).append('\n').append(shoot.name()).append('\n');
    plan.append(shoot.referencePath()).append('|').append(measured).append('\n');
    for (ShootSource source : shoot.sources()) {
      plan.append(source.path()).append('|').append(mark(source.file())).append('\n');
    }
    for (PlannedFile file : files) {
      plan.append(file.name()).append('|').append(file.format()).append('|');
      plan.append(file.startFrameOnReference()).append('|').append(file.frameCount()).append('\n');
      for (Lane lane : file.lanes()) {
        addLane(lane, plan);
      }
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

  private static void addLane(Lane lane, StringBuilder plan) {
    LaneSource source = lane.source();
    plan.append(lane.name()).append('|').append(lane.role()).append('|');
    plan.append(lane.channels()).append('|').append(lane.resample()).append('|');
    plan.append(lane.slot()).append('|');
    plan.append(source.path()).append('|').append(source.files()).append('|');
    plan.append(source.device()).append('|').append(source.parent().uid()).append('|');
    plan.append(source.runNumber()).append('|').append(source.facts()).append('|');
    plan.append(source.frameCount()).append('|').append(source.verdicts()).append('|');
    plan.append(source.placement()).append('|').append(source.isReference()).append('\n');
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
  static long bytesNeeded(List<PlannedFile> files, Path folder) {
    double bytes = PAPERS_BYTES;
    for (PlannedFile file : files) {
      double frames = file.expectedFrames() + file.format().rateHz();
      double wanted = frames * file.channelCount() * file.format().bits() / 8;
      double there = folder.resolve(file.name()).toFile().length();
      bytes += Math.max(0, wanted - there) + LANE_EXTRA_BYTES * file.lanes().size();
    }
    return (long) bytes;
  }
}
