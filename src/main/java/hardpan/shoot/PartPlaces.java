package hardpan.shoot;

import hardpan.lineup.ClockBend;
import hardpan.lineup.Placement;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/** The places of a run's sources, from the place of the run. */
final class PartPlaces {
  private final RunPiece piece;
  private final double referenceSeconds;

  PartPlaces(RunPiece piece, double referenceSeconds) {
    this.piece = piece;
    this.referenceSeconds = referenceSeconds;
  }

  /** The place of one source of the reference's own run: exact, as they share all samples. */
  Placement onReference(ShootSource source) {
    Run.Part part = part(source);
    int number = piece.run().partOf(source.path());
    return new Placement(
        Placement.State.PLACED,
        seconds(part.startFrame()),
        0.0,
        false,
        1,
        0.0,
        seconds(part.frameCount()),
        0,
        piece.firstChannel(source.path()),
        number == 0
            ? "It was written side by side with the reference."
            : "It is part "
                + (number + 1)
                + " of the reference's run: "
                + piece.run().joins().get(number - 1).why()
                + ".",
        List.of());
  }

  /** The place of one source of a run that was placed, or refused, as one piece. */
  Placement of(ShootSource source, Placement whole) {
    if (!piece.run().isJoined()) {
      return whole;
    }
    Double offset = whole.offsetSeconds();
    Double drift = whole.driftPpm();
    int number = piece.run().partOf(source.path());
    String why = whole.why() + " " + words(number);
    if (offset == null || drift == null) {
      return with(whole, source, null, null, null, List.of(), why, whole.notes());
    }
    Run.Part part = part(source);
    double start = seconds(part.startFrame());
    double length = seconds(part.frameCount());
    double scale = 1 + drift * 1e-6;
    double from = offset + start * scale;
    double overlap =
        Math.max(0, Math.min(referenceSeconds, from + length * scale) - Math.max(0, from));
    List<Placement.Window> windows = new ArrayList<>();
    for (Placement.Window window : whole.windows()) {
      double at = window.sourceSeconds() - start;
      if (at >= 0 && at < length) {
        windows.add(new Placement.Window(at, window.delaySeconds() + start, window.counted()));
      }
    }
    return with(whole, source, from, drift, overlap, windows, why, notes(whole, start));
  }

  private Placement with(
      Placement whole,
      ShootSource source,
      @Nullable Double offset,
      @Nullable Double drift,
      @Nullable Double overlap,
      List<Placement.Window> windows,
      String why,
      Placement.Notes notes) {
    Integer channel = whole.channel();
    Analysis analysis = source.analysis();
    Integer own = channel == null ? null : channel - piece.firstChannel(source.path());
    boolean measured =
        own != null && analysis != null && own >= 0 && own < analysis.facts().channelCount();
    return new Placement(
        whole.state(),
        offset,
        drift,
        whole.inverted(),
        whole.confidence(),
        whole.residualMs(),
        overlap,
        measured ? own : null,
        whole.referenceChannel(),
        why,
        windows,
        whole.via(),
        notes);
  }

  /** The notes of a part that starts so many seconds after the whole. */
  private static Placement.Notes notes(Placement whole, double start) {
    Placement.Notes notes = whole.notes();
    return new Placement.Notes(
        notes.otherPlaces().stream()
            .map(
                other ->
                    new Placement.Other(
                        other.offsetSeconds() + start * (1 + other.driftPpm() * 1e-6),
                        other.driftPpm(),
                        other.inverted(),
                        other.confidence()))
            .toList(),
        notes.later(),
        notes.byPicture(),
        notes.flightSeconds(),
        bend(notes.bend(), start));
  }

  /** The bend of a part, from that of the whole. */
  private static @Nullable ClockBend bend(@Nullable ClockBend whole, double start) {
    return whole == null
        ? null
        : new ClockBend(
            whole.knots().stream()
                .map(knot -> new ClockBend.Knot(knot.sourceSeconds() - start, knot.besideSeconds()))
                .toList(),
            whole.residualMs(),
            whole.largestMs());
  }

  private String words(int number) {
    Run run = piece.run();
    if (run.parts().size() == 1) {
      return "The " + run.paths().size() + " files of " + run.name() + " are placed as one piece.";
    }
    return String.format(
        Locale.ROOT,
        "Part %d of %d of %s, placed as one piece%s",
        number + 1,
        run.parts().size(),
        run.name(),
        number == 0 ? "." : ": " + run.joins().get(number - 1).why() + ".");
  }

  private Run.Part part(ShootSource source) {
    return piece.run().parts().get(piece.run().partOf(source.path()));
  }

  private double seconds(long frames) {
    return (double) frames / piece.facts().rateHz();
  }
}
