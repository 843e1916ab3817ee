package hardpan.shoot;

import hardpan.media.SourceFacts;
import hardpan.media.SourceOrigin;
import hardpan.media.StartClaim;
import hardpan.media.StartClaim.Origin;
import hardpan.media.StartClaim.Trust;
import hardpan.media.StartClaims;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.attribute.BasicFileAttributes;
import java.nio.file.attribute.FileTime;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDateTime;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * Adds to what a file says about its start what its name and its entry in the folder say, and
 * weighs the claims against each other and against the calendar.
 */
final class StartTimes {
  /** So many files changed within one minute were copied, not recorded. */
  private static final int COPIED_FILES = 3;

  private static final Duration MINUTE = Duration.ofMinutes(1);

  /** Clocks that show the same. */
  private static final Duration SAME = Duration.ofMinutes(2);

  /** No zone is further ahead than 14 hours; a clock may be a little fast. */
  private static final Duration AHEAD = Duration.ofHours(15);

  /** What is told of a file here rather than by the file itself. */
  private static final Set<Origin> FROM_OUTSIDE =
      Set.of(Origin.FILE_NAME, Origin.FILE_MODIFIED, Origin.FILE_CREATED);

  private final Instant now;
  private final Map<String, Times> times = new HashMap<>();

  private StartTimes(Instant now) {
    this.now = now;
  }

  private record Times(Instant modified, Instant created, double durationSeconds) {}

  /**
   * The sources with all claims about their start.
   *
   * @param now nothing has begun after this
   */
  static List<ShootSource> of(List<ShootSource> sources, Instant now) {
    StartTimes all = new StartTimes(now);
    for (ShootSource source : sources) {
      Times found = all.times(source);
      if (found != null) {
        all.times.put(source.path(), found);
      }
    }
    Set<String> copied = all.copied(sources);
    List<ShootSource> result = new ArrayList<>();
    for (ShootSource source : sources) {
      Analysis analysis = source.analysis();
      result.add(
          analysis == null
              ? source
              : source.read(all.weighed(source, analysis, copied.contains(source.path()))));
    }
    return result;
  }

  private @Nullable Times times(ShootSource source) {
    Analysis analysis = source.analysis();
    if (analysis == null) {
      return null;
    }
    try {
      BasicFileAttributes attributes =
          Files.readAttributes(source.file(), BasicFileAttributes.class);
      return new Times(
          attributes.lastModifiedTime().toInstant(),
          attributes.creationTime().toInstant(),
          analysis.durationSeconds());
    } catch (IOException e) {
      return null;
    }
  }

  /** The sources whose time of change is that of a copy. */
  private Set<String> copied(List<ShootSource> sources) {
    Set<String> copied = new HashSet<>();
    Map<String, List<Times>> byDevice = new HashMap<>();
    List<Instant> changes = times.values().stream().map(Times::modified).sorted().toList();
    boolean oneMinute =
        changes.size() >= COPIED_FILES
            && Duration.between(changes.get(0), changes.get(changes.size() - 1)).compareTo(MINUTE)
                <= 0;
    for (ShootSource source : sources) {
      Times own = times.get(source.path());
      if (own != null) {
        byDevice.computeIfAbsent(source.device(), key -> new ArrayList<>()).add(own);
      }
    }
    for (ShootSource source : sources) {
      if (oneMinute || overlaps(byDevice.getOrDefault(source.device(), List.of()))) {
        copied.add(source.path());
      }
    }
    return copied;
  }

  /**
   * Whether two files of a device ended closer together than the later one is long, which one
   * device cannot do, unless it writes several files at once.
   */
  private static boolean overlaps(List<Times> device) {
    List<Times> order = device.stream().sorted(Comparator.comparing(Times::modified)).toList();
    for (int i = 1; i < order.size(); i++) {
      Times one = order.get(i - 1);
      Times two = order.get(i);
      double apart = Duration.between(one.modified(), two.modified()).toMillis() / 1000.0;
      boolean together = Math.abs(one.durationSeconds() - two.durationSeconds()) < 1;
      if (!together && apart < two.durationSeconds() - 2) {
        return true;
      }
    }
    return false;
  }

  private Analysis weighed(ShootSource source, Analysis analysis, boolean copied) {
    SourceFacts facts = analysis.facts();
    List<StartClaim> claims = new ArrayList<>(facts.origin().startClaims());
    claims.removeIf(claim -> FROM_OUTSIDE.contains(claim.origin()));
    StartClaim named = StartClaims.fileName(source.file());
    if (named != null) {
      claims.add(named);
    }
    Times own = times.get(source.path());
    if (own != null) {
      addFileTimes(claims, own, copied);
    }
    claims.replaceAll(claim -> possible(localTime(claim, named, analysis.durationSeconds())));
    SourceOrigin origin = new SourceOrigin(facts.origin().maker(), StartClaims.dated(claims));
    return analysis.withFacts(facts.withOrigin(origin));
  }

  private static void addFileTimes(List<StartClaim> claims, Times own, boolean copied) {
    Duration length = Duration.ofMillis(Math.round(own.durationSeconds() * 1000));
    claims.add(
        claim(
            Origin.FILE_MODIFIED,
            own.modified().minus(length),
            own.modified(),
            copied ? Trust.NONE : Trust.LOW,
            copied
                ? "The times of change of these files are those of a copy."
                : "Time of change less the length; copying and editing change it."));
    Duration span = Duration.between(own.created(), own.modified());
    Duration apart = span.minus(length).abs();
    if (!length.isZero()
        && apart.compareTo(length.dividedBy(10).plusSeconds(5)) <= 0
        && span.compareTo(Duration.ofSeconds(1)) > 0) {
      claims.add(
          claim(
              Origin.FILE_CREATED,
              own.created(),
              own.created(),
              Trust.LOW,
              "Time of creation, as long before the last change as the file is; a copy changes"
                  + " it."));
    }
  }

  private static StartClaim claim(
      Origin origin, Instant start, Instant written, Trust trust, String why) {
    OffsetDateTime at = start.truncatedTo(ChronoUnit.MILLIS).atOffset(ZoneOffset.UTC);
    return new StartClaim(
        at.toLocalDate(),
        at.toLocalTime(),
        ZoneOffset.UTC,
        origin,
        trust,
        FileTime.from(written).toString(),
        why);
  }

  /** A creation time that shows what the file's name shows is local time, whatever the format. */
  private static StartClaim localTime(
      StartClaim claim, @Nullable StartClaim named, double durationSeconds) {
    LocalDateTime local = claim.local();
    LocalDateTime byName = named == null || named.offset() != null ? null : named.local();
    if (claim.origin() != Origin.CONTAINER
        || local == null
        || byName == null
        || claim.trust() == Trust.NONE) {
      return claim;
    }
    Duration after = Duration.between(byName, local);
    boolean begin = after.abs().compareTo(SAME) <= 0;
    boolean end = after.minusSeconds(Math.round(durationSeconds)).abs().compareTo(SAME) <= 0;
    return begin || end
        ? new StartClaim(
            claim.date(),
            claim.time(),
            null,
            claim.origin(),
            claim.trust(),
            claim.raw(),
            "It shows what the file's name shows, so it is the camera's local time, not UTC.")
        : claim;
  }

  private StartClaim possible(StartClaim claim) {
    LocalDateTime local = claim.local();
    if (local == null || claim.trust() == Trust.NONE) {
      return claim;
    }
    ZoneOffset offset = claim.offset() == null ? ZoneOffset.UTC : claim.offset();
    return local.toInstant(offset).isAfter(now.plus(AHEAD))
        ? claim.trusted(Trust.NONE, "It lies in the future, so the clock was never set right.")
        : claim;
  }
}
