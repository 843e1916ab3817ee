package hardpan.shoot;

import hardpan.lanes.LanePlanner;
import hardpan.lineup.Placement;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.PairVerdict;
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
    Analysis other = reference == null ? null : reference.analysis();
    if (placement == null || analysis == null || reference == null || other == null) {
      return Optional.empty();
    }
    Integer index = placement.referenceChannel();
    if (placement.state() != Placement.State.PLACED
        || index == null
        || !hearsTheSame(analysis, placement, channel)) {
      return Optional.empty();
    }
    ChannelVerdict copy = other.verdicts().channels().get(index);
    Double overlap = placement.overlapSeconds();
    boolean throughout = overlap != null && overlap >= 0.999 * analysis.durationSeconds();
    if (copy.clipping().clipped() || copy.silent()) {
      return Optional.empty();
    }
    return Optional.of(
        reference.path()
            + " ("
            + LanePlanner.channelName(other.facts(), index)
            + ")"
            + (throughout ? "" : ", as far as the two run together,"));
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
