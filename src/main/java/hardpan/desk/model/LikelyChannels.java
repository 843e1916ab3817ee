package hardpan.desk.model;

import hardpan.desk.model.PlaceByHand.Compared;
import hardpan.lineup.Placement;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSource;
import hardpan.shoot.SourceSound;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.function.Function;
import org.jspecify.annotations.Nullable;

/**
 * Which channels of a source and of the reference are worth hearing together where its own sound
 * says nothing about it: those that other clips of its device were found with, else those of any
 * clip, else the loudest.
 */
final class LikelyChannels {
  private LikelyChannels() {}

  /** What is known, and for the rest what is likely. */
  static Compared fill(Shoot shoot, ShootSource source, Compared known) {
    Integer own = known.own();
    Integer reference = known.reference();
    if (own == null) {
      own = mostOften(shoot, source, true, Placement::channel);
      own = own == null ? loudest(SourceSound.of(source)) : own;
    }
    if (reference == null) {
      reference = mostOften(shoot, source, true, Placement::referenceChannel);
      reference =
          reference == null
              ? mostOften(shoot, source, false, Placement::referenceChannel)
              : reference;
      ShootSource heard = shoot.reference().filter(ShootSource::isReadable).orElse(null);
      reference =
          reference == null && heard != null ? loudest(SourceSound.ofRun(shoot, heard)) : reference;
    }
    return new Compared(own, reference);
  }

  /** The lowest of those that occur most often; null if none does. */
  private static @Nullable Integer mostOften(
      Shoot shoot,
      ShootSource source,
      boolean sameDevice,
      Function<Placement, @Nullable Integer> channel) {
    Map<Integer, Integer> counts = new TreeMap<>();
    for (ShootSource other : shoot.sources()) {
      Placement placement = other.placement();
      boolean asked = !sameDevice || other.device().equals(source.device());
      Integer found =
          placement == null || !asked || !placement.isHeardHere() ? null : channel.apply(placement);
      if (found != null && !other.path().equals(source.path())) {
        counts.merge(found, 1, Integer::sum);
      }
    }
    Integer best = null;
    int most = 0;
    for (Map.Entry<Integer, Integer> one : counts.entrySet()) {
      if (one.getValue() > most) {
        most = one.getValue();
        best = one.getKey();
      }
    }
    return best;
  }

  private static @Nullable Integer loudest(SourceSound sound) {
    List<@Nullable Double> lufs = sound.channelLufs();
    Integer best = null;
    double highest = Double.NEGATIVE_INFINITY;
    for (int i = 0; i < lufs.size(); i++) {
      Double loudness = lufs.get(i);
      if (loudness != null && loudness > highest) {
        highest = loudness;
        best = i;
      }
    }
    return best;
  }
}
