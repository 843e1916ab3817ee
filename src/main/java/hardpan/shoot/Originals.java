package hardpan.shoot;

import hardpan.lanes.LaneClock;
import hardpan.lineup.Placement;
import hardpan.media.FfmpegPicture;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts;
import hardpan.report.Original;
import hardpan.report.RelativeUrl;
import hardpan.signal.Timecode;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.Map;
import java.util.Objects;
import org.jspecify.annotations.Nullable;

/** The original files as a hand-over points to them. */
final class Originals {
  private Originals() {}

  /** The pictures of the clips, by path in the report; none with the fallback reader. */
  static Map<String, FfmpegPicture> pictures(Shoot shoot, ReaderChoice choice) {
    Map<String, FfmpegPicture> pictures = new HashMap<>();
    for (ShootSource source : shoot.sources()) {
      if (choice != ReaderChoice.FALLBACK
          && source.isReadable()
          && source.kind() == SourceFacts.Kind.CLIP) {
        FfmpegPicture picture = FfmpegPicture.of(source.file());
        if (picture != null) {
          pictures.put(source.path(), picture);
        }
      }
    }
    return pictures;
  }

  /** How those pictures are counted whose rate is known. */
  static Map<String, Timecode> counted(Map<String, FfmpegPicture> pictures) {
    Map<String, Timecode> counted = new HashMap<>();
    pictures.forEach(
        (path, picture) -> {
          if (picture.counted() != null) {
            counted.put(path, picture.counted());
          }
        });
    return counted;
  }

  /**
   * What timeline and tables need of every readable source, by path in the report.
   *
   * @param target the hand-over's folder
   * @param clock the lanes' clock
   */
  static Map<String, Original> of(
      Shoot shoot, Path target, LaneClock clock, Map<String, FfmpegPicture> pictures) {
    Map<String, Original> originals = new HashMap<>();
    for (ShootSource source : shoot.sources()) {
      Analysis analysis = source.analysis();
      if (analysis != null) {
        FfmpegPicture picture = pictures.get(source.path());
        Timecode counted = picture == null ? null : picture.counted();
        originals.put(
            source.path(),
            new Original(
                url(source.file(), target),
                source.kind() == SourceFacts.Kind.CLIP && (picture == null || picture.present()),
                counted == null ? null : counted.rate().perSecond(),
                startTimecode(source, shoot, analysis.facts().rateHz(), clock, counted)));
      }
    }
    return originals;
  }

  private static @Nullable String startTimecode(
      ShootSource source, Shoot shoot, int rateHz, LaneClock clock, @Nullable Timecode picture) {
    Double offset = offsetSeconds(source, shoot);
    return picture == null || offset == null
        ? null
        : picture.label(picture.frameAt(clock.samplesSinceMidnight(offset, rateHz), rateHz));
  }

  private static @Nullable Double offsetSeconds(ShootSource source, Shoot shoot) {
    if (source.path().equals(shoot.referencePath())) {
      return 0.0;
    }
    Placement placement = source.placement();
    return placement != null && placement.state() == Placement.State.PLACED
        ? placement.offsetSeconds()
        : null;
  }

  /** Relative where both lie under one root; the hand-over and the shoot can move together. */
  private static String url(Path file, Path target) {
    String relative = relative(file, target);
    return relative == null
        ? file.toAbsolutePath().normalize().toUri().toString()
        : RelativeUrl.of(relative);
  }

  /** The way from the hand-over to a source, '/' separators; null if there is none. */
  static @Nullable String relative(Path file, Path target) {
    Path whole = HandOverFolder.real(file);
    Path from = HandOverFolder.real(target);
    return Objects.equals(whole.getRoot(), from.getRoot())
        ? from.relativize(whole).toString().replace('\\', '/')
        : null;
  }
}
