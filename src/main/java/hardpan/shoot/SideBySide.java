package hardpan.shoot;

import hardpan.media.FileFamily;
import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.Kind;
import hardpan.media.StartClaim;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/**
 * Finds the files of a take that a recorder wrote one for each microphone: the same format, the
 * same length to the frame, the same time stamp, and names that differ in one place only, or the
 * same family in their iXML file set (iXML specification, FILE_SET). The stamp may be the start of
 * a take whose parts are all of one length; so names that count must count what is plainly a
 * track's number or side, and without stamps all names must. Files of which one goes on from
 * another are parts, whatever else they say.
 */
final class SideBySide {
  private static final Pattern NUMBER = Pattern.compile("[0-9]+");
  private static final Pattern FIELD = Pattern.compile("[^-_. ]+");

  /** Words before a track's number, and sides (common practice, no source). */
  private static final Pattern TRACK =
      Pattern.compile("(tr|trk|track|ch|chan|channel|mic|in|input)[-_. ]?[0-9]+|l|r|left|right");

  private static final int MOST_CHANNELS_OF_A_FILE = 2;

  private SideBySide() {}

  /** Sorts sources of one format and device into strips, in the order of their first sources. */
  static List<Strip> strips(List<ShootSource> sources) {
    Map<String, List<ShootSource>> groups = new LinkedHashMap<>();
    for (ShootSource source : sources) {
      groups.computeIfAbsent(sameness(source), key -> new ArrayList<>()).add(source);
    }
    List<Strip> strips = new ArrayList<>();
    for (List<ShootSource> group : groups.values()) {
      split(group, strips);
    }
    return strips;
  }

  /** What files of one take have in common; a path where a file can have no companion. */
  private static String sameness(ShootSource source) {
    Analysis analysis = source.analysis();
    if (analysis == null
        || source.kind() != Kind.RECORDING
        || analysis.facts().channelCount() > MOST_CHANNELS_OF_A_FILE) {
      return source.path();
    }
    SourceFacts facts = analysis.facts();
    return analysis.frameCount()
        + " "
        + facts.timeReferenceSamples()
        + " "
        + facts.startedAt()
        + " "
        + source.path().substring(0, source.path().lastIndexOf('/') + 1);
  }

  private static void split(List<ShootSource> group, List<Strip> strips) {
    Set<String> used = new HashSet<>();
    if (group.size() > 1) {
      List<List<ShootSource>> sets = new ArrayList<>(families(group));
      sets.addAll(byNames(group));
      sets.sort(Comparator.comparingInt((List<ShootSource> set) -> set.size()).reversed());
      for (List<ShootSource> set : sets) {
        if (set.size() > 1
            && set.stream().noneMatch(one -> used.contains(one.path()))
            && !areParts(set)) {
          set.forEach(one -> used.add(one.path()));
          List<ShootSource> ordered = new ArrayList<>(set);
          ordered.sort(Comparator.comparing(source -> sortable(Strip.stem(source))));
          strips.add(new Strip(ordered));
        }
      }
    }
    for (ShootSource source : group) {
      if (!used.contains(source.path())) {
        strips.add(new Strip(List.of(source)));
      }
    }
  }

  /** Whether the sound of one goes on in the next by name. */
  private static boolean areParts(List<ShootSource> set) {
    for (ShootSource before : set) {
      for (ShootSource after : set) {
        if (NameSeries.steps(Strip.stem(before), Strip.stem(after)) == 1
            && JoinJudge.goesOn(before, after)) {
          return true;
        }
      }
    }
    return false;
  }

  private static List<List<ShootSource>> families(List<ShootSource> group) {
    Map<String, List<ShootSource>> families = new LinkedHashMap<>();
    for (ShootSource source : group) {
      String family = family(source);
      if (!family.isEmpty()) {
        families.computeIfAbsent(family, key -> new ArrayList<>()).add(source);
      }
    }
    return List.copyOf(families.values());
  }

  private static String family(ShootSource source) {
    Analysis analysis = source.analysis();
    String container = analysis == null ? "" : analysis.facts().container();
    return Set.of("wav", "rf64", "bw64").contains(container) ? FileFamily.of(source.file()) : "";
  }

  private static List<List<ShootSource>> byNames(List<ShootSource> group) {
    boolean stamped =
        group.stream()
            .map(ShootSource::analysis)
            .filter(Objects::nonNull)
            .allMatch(analysis -> isStamped(analysis.facts()));
    Map<String, List<ShootSource>> tracks = new LinkedHashMap<>();
    Map<String, List<ShootSource>> words = new LinkedHashMap<>();
    for (ShootSource source : group) {
      String stem = Strip.stem(source);
      Set<String> own = new HashSet<>();
      for (Pattern piece : List.of(NUMBER, FIELD)) {
        Matcher matcher = piece.matcher(stem);
        while (matcher.find()) {
          String pattern =
              stem.substring(0, matcher.start()) + "\u0000" + stem.substring(matcher.end());
          if (own.add(pattern)) {
            words.computeIfAbsent(pattern, key -> new ArrayList<>()).add(source);
            if (isTrack(stem, matcher.start(), matcher.end())) {
              tracks.computeIfAbsent(pattern, key -> new ArrayList<>()).add(source);
            }
          }
        }
      }
    }
    List<List<ShootSource>> sets = new ArrayList<>(tracks.values());
    if (stamped) {
      words.values().stream().filter(set -> !counts(set)).forEach(sets::add);
    }
    return sets;
  }

  /** A count from midnight that is 0, or a clock that was never set, is no stamp. */
  private static boolean isStamped(SourceFacts facts) {
    Long reference = facts.timeReferenceSamples();
    boolean believed =
        facts.origin().startClaims().stream()
            .noneMatch(
                claim ->
                    claim.origin() == StartClaim.Origin.TIME_REFERENCE
                        && claim.trust() == StartClaim.Trust.NONE);
    return facts.startedAt() != null || (reference != null && reference != 0 && believed);
  }

  /** Whether two of the names are a series, as the names of parts are. */
  private static boolean counts(List<ShootSource> set) {
    for (ShootSource before : set) {
      for (ShootSource after : set) {
        if (NameSeries.steps(Strip.stem(before), Strip.stem(after)) > 0) {
          return true;
        }
      }
    }
    return false;
  }

  private static boolean isTrack(String stem, int from, int to) {
    Matcher field = FIELD.matcher(stem);
    while (field.find()) {
      if (field.start() <= from && field.end() >= to) {
        String before = stem.substring(0, field.start()).toLowerCase(Locale.ROOT);
        String own = field.group().toLowerCase(Locale.ROOT);
        // The word may stand before the separator: "Track 3".
        String last = before.replaceAll("^.*[-_. ](?=[a-z]+[-_. ]$)", "");
        return TRACK.matcher(own).matches() || TRACK.matcher(last + own).matches();
      }
    }
    return false;
  }

  /** The name with its numbers filled up, so that track 10 comes after track 2. */
  private static String sortable(String stem) {
    StringBuilder filled = new StringBuilder();
    Matcher matcher = NUMBER.matcher(stem);
    int at = 0;
    while (matcher.find()) {
      filled.append(stem, at, matcher.start());
      filled.append("0".repeat(Math.max(0, 20 - matcher.group().length()))).append(matcher.group());
      at = matcher.end();
    }
    return filled.append(stem.substring(at)).toString();
  }

  /** What a file of a strip calls its channels: the field of its name that the others lack. */
  static String ownWord(Strip strip, int file) {
    String stem = Strip.stem(strip.sources().get(file));
    String other = Strip.stem(strip.sources().get(file == 0 ? 1 : 0));
    Set<String> others = new HashSet<>();
    FIELD.matcher(other).results().forEach(field -> others.add(field.group()));
    List<String> own = new ArrayList<>();
    FIELD
        .matcher(stem)
        .results()
        .map(field -> field.group())
        .filter(field -> !others.contains(field))
        .forEach(own::add);
    String word = own.isEmpty() ? "" : own.get(own.size() - 1);
    return word.isEmpty() || NUMBER.matcher(word).matches() ? "ch" + (file + 1) : word;
  }
}
