package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.lineup.BandMap;
import hardpan.media.SourceFacts.Kind;
import hardpan.media.SourceFinder.Code;
import hardpan.media.SourceFinder.LeftOut;
import hardpan.signal.BandEnergies;
import hardpan.verdict.ChannelVerdict;
import java.io.IOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Leaves out the small copies that cameras write beside their clips. Only a file whose name or
 * folder says that it is one is looked at, and that is never enough where both files can be read:
 * length and sound must be the same too. Two cameras on one feed have the same sound as well. The
 * only copy of a clip is always used, however small it is.
 */
final class Proxies {
  /** Endings and folders of low-resolution copies: common practice, no source. */
  private static final Set<String> ENDINGS = Set.of("lrv", "lrf");

  private static final Set<String> FOLDERS =
      Set.of("proxy", "proxies", "prxy", "sub", "lowres", "low-res", "low_res", "lores");

  private static final Pattern SUFFIX =
      Pattern.compile("[-_ .](proxy|prxy|lowres|lores)$|(?<=[0-9])s[0-9]{2}$");

  /** A copy has the length of its clip, but for a packet or a picture at the end. */
  private static final double MOST_APART_SECONDS = 1;

  /** Frames of the band maps by which copies may be apart: an encoder's delay and more. */
  private static final int MOST_LAG = 10;

  private static final int WINDOW = 30 * BandEnergies.FRAMES_PER_SECOND;
  private static final double ALIKE = 0.9;
  private static final int LEAST_BANDS = 4;

  private Proxies() {}

  /** The shoot without smaller twins. */
  static Shoot leaveOut(Shoot shoot) {
    Map<String, LeftOut> found = new LinkedHashMap<>();
    List<Clip> clips =
        shoot.sources().stream()
            .filter(source -> source.kind() == Kind.CLIP)
            .map(Clip::of)
            .sorted(Comparator.comparingLong(Clip::size).thenComparing(clip -> clip.source.path()))
            .toList();
    for (int i = 0; i < clips.size(); i++) {
      ShootSource small = clips.get(i).source;
      boolean named = shoot.intake().namedPaths().contains(small.path());
      // The largest first, so that the one that is named as taken is taken.
      for (int k = clips.size() - 1; k > i && !named && !found.containsKey(small.path()); k--) {
        String why = why(clips.get(i), clips.get(k));
        if (why != null) {
          found.put(
              small.path(),
              new LeftOut(
                  small.file(),
                  small.path(),
                  Code.PROXY,
                  "a smaller copy of " + clips.get(k).source.path() + ", which is taken: " + why));
        }
      }
    }
    if (found.isEmpty()) {
      return shoot;
    }
    List<LeftOut> leftOut = new ArrayList<>(shoot.leftOut());
    leftOut.addAll(found.values());
    return new Shoot(
        shoot.name(),
        shoot.sources().stream().filter(source -> !found.containsKey(source.path())).toList(),
        leftOut,
        shoot.referencePath(),
        shoot.intake());
  }

  /**
   * A clip with what its name says.
   *
   * @param low whether it is called as low-resolution copies are
   * @param stem the name two copies have in common
   * @param number the last digits of that name
   */
  private record Clip(ShootSource source, long size, boolean low, String stem, String number) {
    static Clip of(ShootSource source) {
      String path = source.path();
      long size;
      try {
        size = Files.size(source.file());
      } catch (IOException e) {
        size = 0;
      }
      return new Clip(source, size, isLowByName(path), stemOf(path), numberOf(path));
    }
  }

  /** What makes one the smaller copy of the other; null if it is none. */
  private static @Nullable String why(Clip small, Clip large) {
    Analysis b = large.source.analysis();
    if (b == null) {
      return null;
    }
    boolean named = small.low && !large.low;
    boolean twinNames = named && small.stem.equals(large.stem);
    Analysis a = small.source.analysis();
    if (a == null) {
      // Some cameras write them without sound; a broken clip must not vanish by its name.
      boolean sure = twinNames && ENDINGS.contains(Devices.ending(small.source.path()));
      return sure ? "by its name; it cannot be read itself" : null;
    }
    boolean hinted = twinNames || (named && small.number.equals(large.number));
    double apart = Math.abs(a.durationSeconds() - b.durationSeconds());
    if (!hinted || apart > MOST_APART_SECONDS || !sameMaker(a, b)) {
      return null;
    }
    if (isSilent(a) && isSilent(b)) {
      return twinNames ? "the same name and length; both are silent" : null;
    }
    Boolean same = sameSound(a, b);
    return same != null && same ? "the same length and the same sound" : null;
  }

  private static boolean isSilent(Analysis analysis) {
    return analysis.verdicts().channels().stream().allMatch(ChannelVerdict::silent);
  }

  private static boolean sameMaker(Analysis a, Analysis b) {
    String one = a.facts().origin().maker().name();
    String two = b.facts().origin().maker().name();
    return one.isEmpty() || two.isEmpty() || one.equals(two);
  }

  /** Whether a folder is called as those of low-resolution copies are. */
  static boolean isFolder(String name) {
    return FOLDERS.contains(name.toLowerCase(Locale.ROOT));
  }

  /** Whether a path looks like that of a low-resolution copy. */
  static boolean isLowByName(String path) {
    String lower = path.toLowerCase(Locale.ROOT);
    if (ENDINGS.contains(Devices.ending(lower)) || SUFFIX.matcher(Devices.stem(lower)).find()) {
      return true;
    }
    String[] parts = lower.split("/", -1);
    for (int i = 0; i < parts.length - 1; i++) {
      if (isFolder(parts[i])) {
        return true;
      }
    }
    return false;
  }

  /** The name two copies have in common. */
  private static String stemOf(String path) {
    return SUFFIX.matcher(Devices.stem(path.toLowerCase(Locale.ROOT))).replaceAll("");
  }

  /** The last digits of a name: makers change the letters before them for a copy. */
  private static String numberOf(String path) {
    String stem = stemOf(path);
    String digits = stem.replaceAll("^.*?([0-9]{3,})[^0-9]*$", "$1");
    return digits.equals(stem) && !digits.matches("[0-9]+") ? path : digits;
  }

  /**
   * Whether two sources carry the same sound at the same place: at the beginning, in the middle and
   * at the end the energies of most bands go together, everywhere with the same shift.
   *
   * @return null if there is too little sound to tell
   */
  private static @Nullable Boolean sameSound(Analysis a, Analysis b) {
    int channels = Math.min(a.maps().size(), b.maps().size());
    Boolean result = null;
    for (int channel = 0; channel < channels; channel++) {
      Boolean same = sameSound(a.maps().get(channel), b.maps().get(channel));
      if (same != null && !same) {
        return false;
      }
      result = same == null ? result : same;
    }
    return result;
  }

  private static @Nullable Boolean sameSound(BandMap a, BandMap b) {
    long frames = Math.min(a.frames(), b.frames());
    int window = (int) Math.min(WINDOW, frames);
    int lowest = Integer.MAX_VALUE;
    int highest = Integer.MIN_VALUE;
    try {
      for (int place = 0; place < 3; place++) {
        long start = (frames - window) * place / 2;
        byte[] one = a.read(start, window);
        double best = -1;
        int bestLag = 0;
        boolean heard = false;
        for (int lag = -MOST_LAG; lag <= MOST_LAG; lag++) {
          double alike = likeness(one, b.read(start + lag, window), lag);
          heard |= !Double.isNaN(alike);
          if (alike > best) {
            best = alike;
            bestLag = lag;
          }
        }
        if (heard) {
          if (best < ALIKE) {
            return false;
          }
          lowest = Math.min(lowest, bestLag);
          highest = Math.max(highest, bestLag);
        }
      }
    } catch (MediaException e) {
      // Without its map a source stays in.
      return false;
    }
    return lowest > highest ? null : Boolean.valueOf(highest - lowest <= 1);
  }

  /**
   * Median over the bands of the correlation of their energies; NaN if fewer than four move. Frames
   * within the lag of either end are not compared.
   */
  private static double likeness(byte[] a, byte[] b, int lag) {
    int bands = BandEnergies.BANDS;
    int from = Math.abs(lag);
    int to = a.length / bands - from;
    List<Double> found = new ArrayList<>();
    for (int band = 0; band < bands && to - from > 1; band++) {
      double n = to - from;
      double sumA = 0;
      double sumB = 0;
      double aa = 0;
      double bb = 0;
      double ab = 0;
      for (int frame = from; frame < to; frame++) {
        double x = a[frame * bands + band];
        double y = b[frame * bands + band];
        sumA += x;
        sumB += y;
        aa += x * x;
        bb += y * y;
        ab += x * y;
      }
      double varianceA = aa - sumA * sumA / n;
      double varianceB = bb - sumB * sumB / n;
      // A band that a codec cut off stands still in one of the two.
      if (varianceA > n && varianceB > n) {
        found.add((ab - sumA * sumB / n) / Math.sqrt(varianceA * varianceB));
      }
    }
    if (found.size() < LEAST_BANDS) {
      return Double.NaN;
    }
    found.sort(Comparator.naturalOrder());
    return found.get(found.size() / 2);
  }
}
