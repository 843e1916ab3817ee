package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Placement.State;
import hardpan.media.SourceReader;
import hardpan.signal.StraightLine;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Finds the place of one source on the reference's clock.
 *
 * <p>Each call is independent of the others; calls for different sources may run on different
 * threads.
 */
public final class LineUp {
  private static final int PLACES_TRIED = 6;
  private static final int PLACES_TRIED_SHORT = 12;
  private static final double SHORT_SECONDS = 20;
  private static final double SHORTEST_SECONDS = 2.2;
  private static final double OTHER_PLACE_SECONDS = 0.5;
  private static final double AMBIGUOUS_SHARE = 0.6;

  private static final double RIVAL_HEIGHT_SHARE = 0.5;

  /** The same sound played twice stands out in the coarse search both times. */
  private static final double RIVAL_SCORE_SHARE = 0.1;

  /** Where windows scatter as if they heard the sound by different ways, or channels disagree. */
  private static final double LESS_IF_LOOSE = 0.15;

  /** Where only a likely place made the windows' agreement believable. */
  private static final double MOST_IF_WEAK = 0.8;

  /** Windows count that lie within so many scatters of the line, ... */
  private static final double COUNTED_SCATTERS = 6;

  /** ... of a bent one, which is no more than near to a smooth course, with this scatter. */
  private static final double LEAST_BENT_SCATTER_MS = 0.01;

  private final Candidate reference;

  /** Against a reference. */
  public LineUp(Candidate reference) {
    this.reference = reference;
  }

  /**
   * Places a source, or says why it cannot.
   *
   * @throws MediaException if the source or the reference cannot be read any more
   */
  public Placement place(Candidate source, Monitor monitor) throws MediaException {
    if (source.channels().isEmpty()) {
      return Placement.unplaced("It is silent, so there is nothing to compare.", 0.99);
    }
    if (reference.channels().isEmpty()) {
      return Placement.unplaced("The reference is silent, so there is nothing to compare.", 0.99);
    }
    if (source.durationSeconds() < SHORTEST_SECONDS) {
      return Placement.unplaced("It is too short to be placed by its sound.", 0.9);
    }
    int tried = source.durationSeconds() < SHORT_SECONDS ? PLACES_TRIED_SHORT : PLACES_TRIED;
    List<CoarseSearch.Place> places = CoarseSearch.places(source, reference, tried, monitor);
    try (SourceReader reader = reference.sound().open()) {
      FineSearch fine =
          new FineSearch(
              source,
              new ReferenceWindows(reader, reference, source.rateHz()),
              reference.channels(),
              monitor);
      List<Proof> proofs = proofs(source, fine, places);
      // A course that goes on from section to section is worth as much as a line that may be
      // chance.
      List<Course> courses = proofs.stream().anyMatch(Proof::isSure) ? List.of() : courses(fine);
      if (!courses.isEmpty()) {
        return placement(fine, courses, proofs);
      }
      for (Proof proof : proofs) {
        Measured measured = fine.measure(proof);
        if (measured != null) {
          return placement(fine, measured, proofs);
        }
      }
      return proofs.isEmpty()
          ? Refusal.of(source, places.size(), fine.highestStack())
          : Refusal.tooLoose(proofs.get(0));
    }
  }

  /**
   * Proves places, strongest first. Once the likeliest is proven beyond doubt, the others only have
   * to show that they are no rivals.
   */
  private List<Proof> proofs(Candidate source, FineSearch fine, List<CoarseSearch.Place> places)
      throws MediaException {
    int pairs = source.channels().size() * reference.channels().size();
    List<Proof> proofs = new ArrayList<>();
    Proof sure = null;
    double sureScore = 0;
    // The likeliest first; then in order of time, so that a compressed reference goes back less.
    List<CoarseSearch.Place> ordered = new ArrayList<>(places);
    if (ordered.size() > 2) {
      ordered
          .subList(1, ordered.size())
          .sort(Comparator.comparingDouble(CoarseSearch.Place::offsetSeconds));
    }
    for (CoarseSearch.Place place : ordered) {
      if (sure != null
          && (place.score() < RIVAL_SCORE_SHARE * sureScore
              || !fine.mightRival(sure, place.offsetSeconds()))) {
        continue;
      }
      boolean alone = place.equals(places.get(0)) && CoarseSearch.standsAlone(places, pairs);
      Proof proof = fine.prove(place.offsetSeconds(), alone);
      if (proof != null) {
        proofs.add(proof);
        if (proof.isSure() && (sure == null || proof.strength() > sure.strength())) {
          sure = proof;
          sureScore = place.score();
        }
      }
    }
    proofs.sort(Comparator.comparingDouble(Proof::strength).reversed());
    return proofs;
  }

  /**
   * What was measured, straight or along a course.
   *
   * @param bend null if the clock is straight as far as can be proved
   */
  private record Course(Measured measured, @Nullable ClockBend bend) {
    static Course straightOrBent(Measured measured) {
      return new Course(measured, LineUp.bend(measured));
    }

    double offsetSeconds() {
      return measured.line().intercept();
    }

    /** How far a window lies from it, in seconds. */
    double distance(LineVote.Point point) {
      double beside = bend == null ? 0 : bend.besideSeconds(point.seconds());
      return Math.abs(point.delaySeconds() - measured.line().at(point.seconds()) - beside);
    }

    /** Scatter of its windows in seconds. */
    double scatter() {
      return bend == null
          ? measured.line().scatter()
          : Math.max(LEAST_BENT_SCATTER_MS, bend.residualMs()) / 1000;
    }

    boolean counts(LineVote.Point point) {
      return distance(point) <= COUNTED_SCATTERS * scatter();
    }

    int used() {
      return bend == null
          ? measured.line().pointsUsed()
          : (int) measured.points().stream().filter(this::counts).count();
    }
  }

  /** Along the clock's course, if that proves a bend. */
  private static Course course(FineSearch fine, Measured measured) throws MediaException {
    Measured along = fine.alongCourse(measured);
    if (along == null) {
      return Course.straightOrBent(measured);
    }
    Course course = Course.straightOrBent(along);
    return course.bend == null ? new Course(measured, null) : course;
  }

  /**
   * The bent courses that begin with a section of the windows where no straight line holds for
   * enough of them, one for each place.
   */
  private static List<Course> courses(FineSearch fine) throws MediaException {
    List<Course> courses = new ArrayList<>();
    double strongest = fine.ofSections().stream().mapToDouble(Proof::strength).max().orElse(0);
    for (Proof proof : fine.ofSections()) {
      if (proof.strength() < AMBIGUOUS_SHARE * strongest) {
        continue;
      }
      Measured measured = fine.measure(proof);
      Course course = measured == null ? null : course(fine, measured);
      if (course != null && course.bend != null) {
        double offset = course.offsetSeconds();
        if (courses.stream().noneMatch(one -> isSamePlace(one.offsetSeconds(), offset))) {
          courses.add(course);
        }
      }
    }
    return courses;
  }

  private static boolean isSamePlace(double offsetSeconds, double otherSeconds) {
    return Math.abs(offsetSeconds - otherSeconds) <= OTHER_PLACE_SECONDS;
  }

  /**
   * The place of the only course. With a second course elsewhere none is chosen, nor with a line
   * elsewhere whose windows agree with it half as much as those with which the course began, or
   * more: how many of them there are cannot be compared.
   */
  private Placement placement(FineSearch fine, List<Course> courses, List<Proof> proofs) {
    Course course = courses.get(0);
    double least = RIVAL_HEIGHT_SHARE * course.measured.proof().line().meanHeight();
    List<Proof> elsewhere =
        proofs.stream()
            .filter(proof -> proof.line().meanHeight() >= least)
            .filter(
                proof ->
                    courses.stream()
                        .noneMatch(
                            one ->
                                isSamePlace(one.offsetSeconds(), proof.line().interceptSeconds())))
            .toList();
    double share = 1.0 / (courses.size() + elsewhere.size());
    List<Placement.Other> others = new ArrayList<>();
    for (Course other : courses.subList(1, courses.size())) {
      StraightLine there = other.measured.line();
      others.add(
          new Placement.Other(
              there.intercept(), 1e6 * there.slope(), other.measured.inverted(), share));
    }
    for (Proof proof : elsewhere) {
      LineVote.Line there = proof.line();
      others.add(new Placement.Other(there.interceptSeconds(), 1e6 * there.slope(), false, share));
    }
    return others.isEmpty() ? placed(fine, course) : ambiguous(fine, course.measured, others);
  }

  private Placement placement(FineSearch fine, Measured measured, List<Proof> proofs)
      throws MediaException {
    Proof proof = measured.proof();
    List<Proof> rivals = new ArrayList<>();
    for (Proof other : proofs) {
      boolean elsewhere =
          !isSamePlace(other.line().interceptSeconds(), proof.line().interceptSeconds());
      if (elsewhere && other.strength() >= AMBIGUOUS_SHARE * proof.strength()) {
        rivals.add(other);
      }
    }
    if (!rivals.isEmpty()) {
      return ambiguous(fine, measured, others(fine, proof, rivals));
    }
    return placed(fine, course(fine, measured));
  }

  private Placement ambiguous(FineSearch fine, Measured measured, List<Placement.Other> others) {
    return result(
            State.AMBIGUOUS,
            fine,
            new Course(measured, null),
            0.5,
            String.format(
                Locale.ROOT,
                "%s places fit about equally well: %.3f s and %.3f s; the same sound was played"
                    + " more than once.",
                others.size() == 1 ? "Two" : "Several",
                measured.line().intercept(),
                others.get(0).offsetSeconds()))
        .with(new Placement.Notes(others, measured.later(), false, null, null));
  }

  private Placement placed(FineSearch fine, Course course) {
    Measured measured = course.measured;
    Proof proof = measured.proof();
    int total = measured.points().size();
    double most = proof.line().isWeak() ? MOST_IF_WEAK : 0.99;
    boolean isLoose = course.scatter() > PathMeasure.LOOSE_SECONDS || measured.unsure();
    double confidence =
        Math.min(most, 0.6 + 0.25 * course.used() / total + 0.15 * proof.line().share())
            - (isLoose ? LESS_IF_LOOSE : 0);
    return result(
        State.PLACED,
        fine,
        course,
        confidence,
        String.format(
                Locale.ROOT,
                "%d of %d stretches agree within %.3f ms of one %sline (channel %d against channel %d of"
                    + " the reference).",
                course.used(),
                total,
                Math.max(0.001, 3 * course.scatter() * 1000),
                course.bend == null ? "" : "bent ",
                proof.channel() + 1,
                measured.referenceChannel() + 1)
            + Later.words(measured.later()));
  }

  /** The places of rivals, each with its share of what speaks for any of the places. */
  private static List<Placement.Other> others(FineSearch fine, Proof proof, List<Proof> rivals)
      throws MediaException {
    double sum = proof.strength() + rivals.stream().mapToDouble(Proof::strength).sum();
    List<Placement.Other> others = new ArrayList<>();
    for (Proof rival : rivals) {
      Measured there = fine.measure(rival);
      double share = rival.strength() / sum;
      others.add(
          there == null
              ? new Placement.Other(
                  rival.line().interceptSeconds(), 1e6 * rival.line().slope(), false, share)
              : new Placement.Other(
                  there.line().intercept(), 1e6 * there.line().slope(), there.inverted(), share));
    }
    return others;
  }

  private Placement result(
      State state, FineSearch fine, Course course, double confidence, String why) {
    Measured measured = course.measured;
    StraightLine line = measured.line();
    List<Placement.Window> windows = new ArrayList<>();
    for (LineVote.Point point : measured.points()) {
      windows.add(
          new Placement.Window(point.seconds(), point.delaySeconds(), course.counts(point)));
    }
    ClockBend bend = course.bend;
    return new Placement(
        state,
        line.intercept(),
        line.slope() * 1e6,
        measured.inverted(),
        confidence,
        line.scatter() * 1000,
        fine.overlapSeconds(line.intercept(), reference.durationSeconds()),
        measured.proof().channel(),
        measured.referenceChannel(),
        bend == null ? why : why + " " + words(bend),
        windows,
        List.of(),
        new Placement.Notes(List.of(), measured.later(), false, null, bend));
  }

  private static @Nullable ClockBend bend(Measured measured) {
    List<LineVote.Point> ordered =
        measured.points().stream()
            .sorted(Comparator.comparingDouble(LineVote.Point::seconds))
            .toList();
    return ClockBend.of(
        ordered.stream().mapToDouble(LineVote.Point::seconds).toArray(),
        ordered.stream()
            .mapToDouble(point -> point.delaySeconds() - measured.line().at(point.seconds()))
            .toArray());
  }

  private static String words(ClockBend bend) {
    return String.format(
        Locale.ROOT,
        "Its clock bends: it goes up to %.2f ms beside the straight line, in %d pieces that leave"
            + " %.3f ms. Lanes whose clocks are corrected follow it.",
        bend.largestMs(),
        bend.knots().size() - 1,
        bend.residualMs());
  }
}
