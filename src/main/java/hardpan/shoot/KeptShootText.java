package hardpan.shoot;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.MapperFeature;
import com.fasterxml.jackson.databind.ObjectMapper;
import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.media.SourceFinder;
import hardpan.verdict.Verdicts;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import org.jspecify.annotations.Nullable;

/**
 * A lined-up shoot as compact JSON, read back as strictly as {@link AnalysisText}. Waveforms are
 * kept elsewhere.
 */
final class KeptShootText {
  /** Methods that ask something are no fields. */
  private static final ObjectMapper MAPPER =
      AnalysisText.mapper().rebuild().disable(MapperFeature.AUTO_DETECT_IS_GETTERS).build();

  private KeptShootText() {}

  /** Everything. */
  record Whole(
      String name,
      List<String> roots,
      List<Source> sources,
      List<Aside> leftOut,
      @Nullable String referencePath,
      List<DeviceRules.Rule> rules,
      Set<String> namedPaths,
      Map<String, String> deviceReasons,
      List<Run> runs,
      String lineUpKey) {}

  /** A source. */
  record Source(
      String file,
      String path,
      SourceFacts.Kind kind,
      String device,
      int runNumber,
      @Nullable SourceMark mark,
      @Nullable Failure error,
      @Nullable Measured measured,
      @Nullable Placement placement) {}

  /** Why it could not be read. */
  record Failure(String code, String sentence) {}

  /** What was found in it. */
  record Measured(SourceFacts facts, long frameCount, Verdicts verdicts, List<Loudness> loudness) {}

  /** What was not taken. */
  record Aside(String file, String path, SourceFinder.Code code, String reason) {}

  /** Gives back a waveform; null if it is not there any more. */
  @FunctionalInterface
  interface Waveforms {
    @Nullable Overview of(String path, SourceMark mark, SourceFacts facts);
  }

  /** The text, or nothing if it would not read back as the same. */
  static Optional<String> write(KeptShoot kept) {
    Whole whole = whole(kept);
    try {
      String text = MAPPER.writeValueAsString(whole);
      boolean same =
          text.length() <= AnalysisText.MOST_CHARACTERS
              && whole.equals(MAPPER.readValue(text, Whole.class));
      return same ? Optional.of(text) : Optional.empty();
    } catch (JsonProcessingException e) {
      return Optional.empty();
    }
  }

  /**
   * The shoot, or nothing if the text is not what {@link #write} makes or a waveform is missing.
   */
  static Optional<KeptShoot> read(String text, Waveforms waveforms) {
    if (text.length() > AnalysisText.MOST_CHARACTERS) {
      return Optional.empty();
    }
    try {
      Whole whole = MAPPER.readValue(text, Whole.class);
      return whole == null ? Optional.empty() : Optional.ofNullable(shoot(whole, waveforms));
    } catch (JsonProcessingException | InvalidPathException e) {
      return Optional.empty();
    }
  }

  /** The folders and files alone, which every version writes alike; empty if they are not there. */
  static List<Path> roots(String text) {
    List<Path> roots = new ArrayList<>();
    if (text.length() > AnalysisText.MOST_CHARACTERS) {
      return roots;
    }
    try {
      for (JsonNode root : MAPPER.readTree(text).path("roots")) {
        roots.add(Path.of(root.asText()));
      }
      return roots;
    } catch (JsonProcessingException | InvalidPathException e) {
      return List.of();
    }
  }

  private static Whole whole(KeptShoot kept) {
    Shoot shoot = kept.shoot();
    List<Source> sources = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      sources.add(source(source, kept.marks().get(source.path())));
    }
    return new Whole(
        shoot.name(),
        kept.roots().stream().map(Path::toString).toList(),
        sources,
        shoot.leftOut().stream()
            .map(
                left ->
                    new Aside(
                        left.path().toString(), left.relativePath(), left.code(), left.reason()))
            .toList(),
        shoot.referencePath(),
        shoot.intake().rules().rules(),
        new TreeSet<>(shoot.intake().namedPaths()),
        new TreeMap<>(shoot.intake().deviceReasons()),
        shoot.runs(),
        kept.lineUpKey());
  }

  private static Source source(ShootSource source, @Nullable SourceMark mark) {
    MediaException error = source.error();
    Analysis analysis = source.analysis();
    return new Source(
        source.file().toString(),
        source.path(),
        source.kind(),
        source.device(),
        source.runNumber(),
        mark,
        error == null ? null : new Failure(error.code(), error.sentence()),
        analysis == null
            ? null
            : new Measured(
                analysis.facts(), analysis.frameCount(), analysis.verdicts(), analysis.loudness()),
        source.placement());
  }

  private static @Nullable KeptShoot shoot(Whole whole, Waveforms waveforms) {
    List<ShootSource> sources = new ArrayList<>();
    Map<String, SourceMark> marks = new TreeMap<>();
    for (Source source : whole.sources()) {
      SourceMark mark = source.mark();
      if (mark != null) {
        marks.put(source.path(), mark);
      }
      Measured measured = source.measured();
      Overview overview =
          measured == null || mark == null
              ? null
              : waveforms.of(source.path(), mark, measured.facts());
      if (measured != null && overview == null) {
        return null;
      }
      sources.add(source(source, measured, overview));
    }
    Intake intake =
        new Intake(new DeviceRules(whole.rules()), whole.namedPaths(), whole.deviceReasons());
    Shoot shoot =
        new Shoot(
            whole.name(),
            sources,
            whole.leftOut().stream()
                .map(
                    left ->
                        new SourceFinder.LeftOut(
                            Path.of(left.file()), left.path(), left.code(), left.reason()))
                .toList(),
            whole.referencePath(),
            intake,
            whole.runs());
    return new KeptShoot(
        shoot, whole.roots().stream().map(Path::of).toList(), marks, whole.lineUpKey());
  }

  private static ShootSource source(
      Source source, @Nullable Measured measured, @Nullable Overview overview) {
    Failure error = source.error();
    return new ShootSource(
        Path.of(source.file()),
        source.path(),
        source.kind(),
        source.device(),
        source.runNumber(),
        error == null ? null : failure(error),
        measured == null || overview == null
            ? null
            : new Analysis(
                measured.facts(),
                measured.frameCount(),
                measured.verdicts(),
                measured.loudness(),
                List.of(),
                overview,
                EdgeSound.NONE),
        source.placement());
  }

  private static MediaException failure(Failure failure) {
    return switch (failure.code()) {
      case "malformed" -> new MalformedMediaException(failure.sentence());
      case "unsupported" -> new UnsupportedMediaException(failure.sentence());
      default -> new MediaAccessException(failure.sentence());
    };
  }
}
