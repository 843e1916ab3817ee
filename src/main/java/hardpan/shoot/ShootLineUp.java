package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Candidate;
import hardpan.lineup.LineUp;
import hardpan.lineup.PictureVote;
import hardpan.lineup.Placement;
import hardpan.lineup.ShootSolver;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts.Kind;
import hardpan.verdict.ChannelVerdict;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import java.util.concurrent.CancellationException;
import org.jspecify.annotations.Nullable;

/** The step that chooses the reference and lines everything up to it. */
final class ShootLineUp {
  private final Shoot shoot;
  private final ReaderChoice choice;
  private final Scratch scratch;
  private final Monitor monitor;
  private final KnownPlaces known;
  private final Map<String, Candidate> candidates = new HashMap<>();
  private final Map<String, MediaException> failures = new HashMap<>();

  ShootLineUp(
      Shoot shoot, ReaderChoice choice, Scratch scratch, Monitor monitor, KnownPlaces known) {
    this.known = known;
    this.shoot = shoot;
    this.choice = choice;
    this.scratch = scratch;
    this.monitor = monitor;
  }

  /**
   * Lines up.
   *
   * @param wanted the reference the person wants, or null for the longest good recording
   * @param wishes what the person decides
   * @throws ShootException if the wanted reference is not there or cannot be read, or a pin cannot
   *     be kept to
   */
  Shoot run(@Nullable Path wanted, Wishes wishes) throws ShootException {
    List<RunPiece> pieces = new ArrayList<>();
    List<String> leftOut = new ArrayList<>();
    for (Run run : shoot.allRuns()) {
      if (run.paths().stream().anyMatch(wishes::excludes)) {
        leftOut.addAll(run.paths());
      } else if (RunPiece.isReadable(shoot, run)) {
        pieces.add(new RunPiece(shoot, run, choice));
      }
    }
    if (pieces.isEmpty()) {
      throw new ShootException(
          ShootException.Reason.REQUEST, "Nothing is left to line up: all sources are excluded.");
    }
    RunPiece reference = wanted == null ? longest(pieces) : named(shoot, wanted, pieces);
    Map<String, Double> pins = pins(wishes, pieces, reference);
    Map<String, Placement> solved = StartStamps.decided(pieces, solved(pieces, reference, pins));
    List<ShootSource> placed = measured(placed(pieces, leftOut, reference, solved), reference);
    // What was cut off is measured where the sounds agree; only then may places follow the picture.
    Map<String, Placement> shown =
        wishes.placing() == PlaceBy.PICTURE ? byPicture(pieces, solved, pins.keySet()) : solved;
    List<ShootSource> sources = new ArrayList<>();
    for (ShootSource source : placed(pieces, leftOut, reference, shown)) {
      Placement placement = source.placement();
      ShootSource before = placed.get(sources.size());
      sources.add(placement == null ? before : before.placed(placement));
    }
    return shoot.with(sources, reference.run().firstPath());
  }

  private static Map<String, Placement> byPicture(
      List<RunPiece> pieces, Map<String, Placement> solved, Set<String> pinned) {
    Map<String, PictureVote.Heard> heard = new LinkedHashMap<>();
    for (RunPiece piece : pieces) {
      String id = piece.run().firstPath();
      Placement placement = solved.get(id);
      if (placement != null) {
        heard.put(id, new PictureVote.Heard(piece.first().device(), placement));
      }
    }
    return PictureVote.seen(heard, pinned);
  }

  /** All sources with their places. */
  private List<ShootSource> placed(
      List<RunPiece> pieces,
      List<String> leftOut,
      RunPiece reference,
      Map<String, Placement> solved) {
    Map<String, Placement> places = new HashMap<>();
    for (RunPiece piece : pieces) {
      PartPlaces parts = new PartPlaces(piece, reference.durationSeconds());
      Placement whole = solved.get(piece.run().firstPath());
      for (String path : piece.run().paths()) {
        ShootSource source = shoot.source(path);
        if (whole != null) {
          places.put(path, parts.of(source, whole));
        } else if (!path.equals(reference.run().firstPath())) {
          places.put(path, parts.onReference(source));
        }
      }
    }
    for (String path : leftOut) {
      if (shoot.source(path).isReadable()) {
        places.put(path, Placement.leftOut());
      }
    }
    List<ShootSource> placed = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      Placement placement = places.get(source.path());
      placed.add(placement == null ? source : source.placed(placement));
    }
    return placed;
  }

  /** With the excess of what was cut off, where the reference tells it. */
  private List<ShootSource> measured(List<ShootSource> placed, RunPiece reference) {
    ExcessOnRecorder excess = new ExcessOnRecorder(reference, choice);
    try {
      return Crew.all(
          placed,
          "measuring what was cut off",
          ShootSteps.PLACED,
          ShootSteps.LINED_UP,
          monitor,
          excess::measured);
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException("measuring keeps its failures", e);
    }
  }

  private Map<String, Placement> solved(
      List<RunPiece> pieces, RunPiece reference, Map<String, Double> pins) throws ShootException {
    List<ShootSolver.Node> nodes = new ArrayList<>();
    for (RunPiece piece : pieces) {
      String id = piece.run().firstPath();
      try {
        candidates.put(id, candidate(piece));
      } catch (MediaException e) {
        failures.put(id, e);
      }
      nodes.add(new ShootSolver.Node(id, piece.first().device(), piece.durationSeconds()));
    }
    String referenceId = reference.run().firstPath();
    MediaException failure = failures.get(referenceId);
    if (failure != null) {
      throw new ShootException(ShootException.Reason.NOTHING_DONE, failure.sentence(), failure);
    }
    List<Double> done = new ArrayList<>(List.of(ShootSteps.READ));
    return new ShootSolver(
            nodes,
            referenceId,
            pins,
            pairs -> {
              // The first round is most of the work; nobody knows how many follow.
              double from = done.get(0);
              double to = from + 0.8 * (ShootSteps.PLACED - from);
              done.set(0, to);
              return match(pairs, from, to);
            })
        .solve();
  }

  private List<Placement> match(List<ShootSolver.Pair> pairs, double from, double to) {
    Map<String, LineUp> hosts = new TreeMap<>();
    for (ShootSolver.Pair pair : pairs) {
      Candidate host = candidates.get(pair.host());
      if (host != null) {
        hosts.computeIfAbsent(pair.host(), id -> new LineUp(host));
      }
    }
    try {
      return Crew.all(
          pairs,
          "lining up",
          from,
          to,
          monitor,
          (pair, own) -> place(hosts.get(pair.host()), pair, own));
    } catch (RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new IllegalStateException("lining up keeps its failures", e);
    }
  }

  private Placement place(@Nullable LineUp host, ShootSolver.Pair pair, Monitor own) {
    Candidate source = candidates.get(pair.source());
    MediaException failure = failures.get(source == null ? pair.source() : pair.host());
    if (source == null || host == null) {
      return unreadable(failure);
    }
    Placement before = known.of(pair.source(), pair.host());
    if (before != null) {
      return before;
    }
    try {
      Placement found = host.place(source, own);
      known.add(pair.source(), pair.host(), found);
      return found;
    } catch (MediaException e) {
      return unreadable(e);
    } catch (CancellationException e) {
      throw e;
    } catch (RuntimeException e) {
      // A fault of ours on one odd source must not cost the rest of the shoot.
      return Placement.refused("Its sound is too unusual to be compared with the reference.");
    }
  }

  private static Placement unreadable(@Nullable MediaException failure) {
    return Placement.refused(
        "It could not be read again" + (failure == null ? "." : ": " + failure.sentence()));
  }

  private Candidate candidate(RunPiece piece) throws MediaException {
    Set<Integer> usable = new HashSet<>();
    List<ChannelVerdict> channels = piece.verdicts().channels();
    for (int i = 0; i < channels.size(); i++) {
      if (!channels.get(i).silent()) {
        usable.add(i);
      }
    }
    return new Candidate(
        piece.run().firstPath(),
        piece.first().device(),
        piece.facts().rateHz(),
        piece.frameCount(),
        piece.maps(scratch),
        usable,
        piece::open);
  }

  private static Map<String, Double> pins(Wishes wishes, List<RunPiece> pieces, RunPiece reference)
      throws ShootException {
    Map<String, Double> pins = new LinkedHashMap<>();
    for (Wishes.Pin pin : wishes.pins()) {
      for (RunPiece piece : pieces) {
        if (piece.run().paths().stream().noneMatch(pin::fits)) {
          continue;
        }
        if (piece == reference) {
          throw new ShootException(
              ShootException.Reason.REQUEST,
              "The pinned source "
                  + pin.source()
                  + " is the reference; pin the others, or take another reference.");
        }
        if (!pin.fits(piece.run().firstPath())) {
          throw new ShootException(
              ShootException.Reason.REQUEST,
              "The pinned source "
                  + pin.source()
                  + " goes on where another ends; pin the first of them, "
                  + piece.run().firstPath()
                  + ".");
        }
        pins.put(piece.run().firstPath(), pin.offsetSeconds());
      }
    }
    return pins;
  }

  /** The longest recording that is not silent; without recordings, the longest clip. */
  private static RunPiece longest(List<RunPiece> pieces) {
    return pieces.stream()
        .max(
            Comparator.comparing(ShootLineUp::isAudible)
                .thenComparing(piece -> piece.first().kind() == Kind.RECORDING)
                .thenComparingDouble(RunPiece::durationSeconds)
                .thenComparing(piece -> piece.run().firstPath(), Comparator.reverseOrder()))
        .orElseThrow();
  }

  private static boolean isAudible(RunPiece piece) {
    return piece.verdicts().channels().stream().anyMatch(channel -> !channel.silent());
  }

  /** The one source that is named. */
  static ShootSource match(Shoot shoot, Path wanted) throws ShootException {
    List<ShootSource> matches =
        shoot.sources().stream().filter(source -> isNamed(source, wanted)).toList();
    if (matches.size() != 1) {
      throw new ShootException(
          ShootException.Reason.REQUEST,
          matches.isEmpty()
              ? "The reference " + wanted + " is not among the sources."
              : "The reference "
                  + wanted
                  + " fits "
                  + matches.size()
                  + " sources; name its folder.");
    }
    return matches.get(0);
  }

  private static RunPiece named(Shoot shoot, Path wanted, List<RunPiece> pieces)
      throws ShootException {
    ShootSource source = match(shoot, wanted);
    MediaException error = source.error();
    if (error != null) {
      throw new ShootException(
          ShootException.Reason.REQUEST,
          "The reference " + wanted + " cannot be read: " + error.sentence(),
          error);
    }
    return pieces.stream()
        .filter(piece -> piece.run().partOf(source.path()) >= 0)
        .findFirst()
        .orElseThrow(
            () ->
                new ShootException(
                    ShootException.Reason.REQUEST,
                    "The reference " + wanted + " is excluded from the line-up."));
  }

  private static boolean isNamed(ShootSource source, Path wanted) {
    try {
      if (Files.exists(wanted)) {
        return Files.isSameFile(source.file(), wanted);
      }
    } catch (IOException e) {
      return false;
    }
    String name = wanted.toString().replace('\\', '/');
    return source.path().equals(name) || source.path().endsWith("/" + name);
  }
}
