package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceReader;
import hardpan.verdict.ChannelVerdict;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;

/** Looks up on the reference how much too hot the cut channels of placed sources were. */
final class ExcessOnRecorder {
  private final RunPiece reference;
  private final ReaderChoice choice;

  ExcessOnRecorder(RunPiece reference, ReaderChoice choice) {
    this.reference = reference;
    this.choice = choice;
  }

  /** The same source, its excess measured where the reference holds the sound uncut. */
  ShootSource measured(ShootSource source, Monitor monitor) {
    Analysis analysis = source.analysis();
    Placement placement = source.placement();
    Integer there = placement == null ? null : placement.referenceChannel();
    if (analysis == null
        || placement == null
        || there == null
        || placement.state() != Placement.State.PLACED
        || !placement.via().isEmpty()
        || reference.verdicts().channels().get(there).clipping().clipped()) {
      return source;
    }
    List<ChannelVerdict> channels = new ArrayList<>(analysis.verdicts().channels());
    boolean changed = false;
    for (int i = 0; i < channels.size(); i++) {
      if (channels.get(i).clipping().clipped() && StandIns.hearsTheSame(analysis, placement, i)) {
        OptionalDouble excess = measure(source, i, channels.get(i), placement, there, monitor);
        if (excess.isPresent()) {
          channels.set(
              i, channels.get(i).withExcess(excess.getAsDouble(), PlacedExcess.UNCERTAINTY_DB));
          changed = true;
        }
      }
    }
    return changed ? source.judged(analysis.withChannels(channels)) : source;
  }

  private OptionalDouble measure(
      ShootSource source,
      int channel,
      ChannelVerdict verdict,
      Placement placement,
      int there,
      Monitor monitor) {
    try (SourceReader camera = FiniteSound.open(source.file(), choice);
        SourceReader recorder = reference.open()) {
      return PlacedExcess.measure(
          camera,
          channel,
          verdict.clipping(),
          recorder,
          there,
          reference.frameCount(),
          placement,
          monitor);
    } catch (MediaException e) {
      // The blind figure stays; whoever needs the sound next reports the file.
      return OptionalDouble.empty();
    }
  }
}
