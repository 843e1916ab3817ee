package hardpan.shoot;

import hardpan.lanes.LanePlanner;
import hardpan.lineup.Placement;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.PairVerdict;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;

/**
 * Finds what can stand in for a damaged channel: the channel of the reference that its clip was
 * lined up with holds the same sound, and may hold it undamaged.
 */
final class StandIns {
  private final Shoot shoot;

  StandIns(Shoot shoot) {
    this.shoot = shoot;
  }

  /**
   * A clean copy of a clipped channel.
   *
   * @param source the clip
   * @param channel its channel
   * @return source and channel name of the copy, as the report names them
   */
  Optional<String> cleanCopy(ShootSource source, int channel) {
    Placement placement = source.placement();
    Analysis analysis = source.analysis();
    ShootSource reference = shoot.reference().orElse(null);
    if (placement == null || analysis == null || reference == null) {
      return Optional.empty();
    }
    Integer index = placement.referenceChannel();
    if (placement.state() != Placement.State.PLACED
        || index == null
        || !hearsTheSame(analysis, placement, channel)) {
      return Optional.empty();
    }
    Double overlap = placement.overlapSeconds();
    boolean throughout = overlap != null && overlap >= 0.999 * analysis.durationSeconds();
    List<String> copies = new ArrayList<>();
    for (ShootSource part : partsBeside(reference, placement, analysis, index)) {
      Analysis other = part.analysis();
      int own = index - firstChannel(part);
      if (other == null) {
        return Optional.empty();
      }
      ChannelVerdict copy = other.verdicts().channels().get(own);
      if (copy.clipping().clipped() || copy.silent()) {
        return Optional.empty();
      }
      copies.add(part.path() + " (" + LanePlanner.channelName(other.facts(), own) + ")");
    }
    return copies.isEmpty()
        ? Optional.empty()
        : Optional.of(
            String.join(" and ", copies) + (throughout ? "" : ", as far as the two run together,"));
  }

  /** The files of the reference that hold one of its channels while a clip runs. */
  private List<ShootSource> partsBeside(
      ShootSource reference, Placement placement, Analysis analysis, int channel) {
    Run run = shoot.runOf(reference);
    Analysis first = reference.analysis();
    Double offset = placement.offsetSeconds();
    List<ShootSource> beside = new ArrayList<>();
    if (first == null || offset == null) {
      return beside;
    }
    for (Run.Part part : run.parts()) {
      double from = (double) part.startFrame() / first.facts().rateHz();
      double to = from + (double) part.frameCount() / first.facts().rateHz();
      boolean meets =
          !run.isJoined() || (offset < to && offset + analysis.durationSeconds() > from);
      for (String path : part.paths()) {
        ShootSource file = shoot.source(path);
        Analysis own = file.analysis();
        int at = channel - firstChannel(file);
        if (meets && own != null && at >= 0 && at < own.facts().channelCount()) {
          beside.add(file);
        }
      }
    }
    return beside;
  }

  /** The run's first channel that a source has. */
  private int firstChannel(ShootSource source) {
    Run run = shoot.runOf(source);
    int channel = 0;
    for (String path : run.parts().get(run.partOf(source.path())).paths()) {
      if (path.equals(source.path())) {
        break;
      }
      Analysis before = shoot.source(path).analysis();
      channel += before == null ? 0 : before.facts().channelCount();
    }
    return channel;
  }

  /** Whether a channel carries the signal that the place was measured with. */
  private static boolean hearsTheSame(Analysis analysis, Placement placement, int channel) {
    Integer measured = placement.channel();
    if (measured != null && measured == channel) {
      return true;
    }
    PairVerdict pair = analysis.verdicts().pair();
    return pair != null
        && switch (pair.relation()) {
          case SAME_SIGNAL, INVERTED, LOWER_COPY -> true;
          default -> false;
        };
  }
}
