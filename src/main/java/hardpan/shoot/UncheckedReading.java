package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.DecodePass;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Clipping;
import hardpan.verdict.Finding;
import hardpan.verdict.Overload;
import hardpan.verdict.Verdicts;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;

/** Takes a source as it says it is, without listening to it. */
final class UncheckedReading {
  /** So that nobody takes the lack of findings for a clean bill. */
  static final Finding NOT_LOOKED_AT =
      new Finding(
          "unchecked",
          Finding.Severity.NOTE,
          List.of(),
          Map.of(),
          "The sound was written as it is; nobody looked for faults.",
          "Run inspect on the source to know more.");

  private UncheckedReading() {}

  /** The source with what is known without its sound, or with the reason why it cannot be read. */
  static ShootSource of(ShootSource source, ReaderChoice choice, Scratch scratch, Monitor monitor) {
    try (SourceReader reader = SourceOpener.open(source.file(), choice)) {
      SourceFacts facts = reader.facts();
      Long stated = facts.frameCount();
      long frames = stated == null ? DecodePass.run(reader, List.of(), monitor) : stated;
      int channels = facts.channelCount();
      List<ChannelVerdict> verdicts = new ArrayList<>();
      List<Loudness> loudness = new ArrayList<>();
      for (int channel = 0; channel < channels; channel++) {
        verdicts.add(unknown());
        loudness.add(Loudness.NONE);
      }
      return source.read(
          new Analysis(
              facts,
              frames,
              new Verdicts(verdicts, null),
              loudness,
              List.of(),
              new Overview(channels),
              new EdgeSound.Listener(channels).finish(scratch.prefix())));
    } catch (MediaException e) {
      return source.failed(e);
    }
  }

  private static ChannelVerdict unknown() {
    return new ChannelVerdict(
        null,
        null,
        null,
        null,
        0,
        false,
        Clipping.none(0),
        new Overload(Overload.Verdict.NONE, null, null, 0),
        List.of(NOT_LOOKED_AT));
  }
}
