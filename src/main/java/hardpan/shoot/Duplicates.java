package hardpan.shoot;

import hardpan.base.Monitor;
import hardpan.media.SourceFinder.Candidate;
import hardpan.media.SourceFinder.Code;
import hardpan.media.SourceFinder.LeftOut;
import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Objects;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * Finds files that lie in a shoot twice. Only files of equal size are opened; of those only the
 * ones whose first, middle and last 64 KiB agree are read whole and compared byte by byte.
 */
final class Duplicates {
  private static final int BLOCK_BYTES = 1 << 18;

  /**
   * How file managers name a copy that they put beside the original: common practice, no source.
   */
  private static final Pattern COPY_NAME =
      Pattern.compile("[-_ ]*(\\([0-9]{1,3}\\)|(copy|copie|copia|kopie|kopia)[-_ ()0-9]*)");

  private static final Pattern CALLED_COPY = Pattern.compile(COPY_NAME.pattern() + "$");

  private final Monitor monitor;
  private final Map<Path, @Nullable SourceMark> marks = new HashMap<>();

  private Duplicates(Monitor monitor) {
    this.monitor = monitor;
  }

  /**
   * The files to leave out, each with the one that is taken for it: the first in order, but one
   * that was named itself before all others, and one that is called a copy last. A file that was
   * named itself is never left out.
   */
  static Map<Candidate, Candidate> of(List<Candidate> candidates, Monitor monitor) {
    Map<Long, List<Candidate>> bySize = new LinkedHashMap<>();
    for (Candidate candidate : candidates) {
      long size = size(candidate.path());
      if (size > 0) {
        bySize.computeIfAbsent(size, key -> new ArrayList<>()).add(candidate);
      }
    }
    Duplicates search = new Duplicates(monitor);
    Map<Candidate, Candidate> twins = new LinkedHashMap<>();
    for (List<Candidate> alike : bySize.values()) {
      List<Candidate> order = new ArrayList<>(alike.stream().filter(Candidate::named).toList());
      alike.stream()
          .filter(candidate -> !candidate.named())
          .sorted(Comparator.comparing(candidate -> isCalledCopy(candidate.path())))
          .forEach(order::add);
      List<Candidate> taken = new ArrayList<>();
      for (Candidate candidate : order) {
        Candidate twin = candidate.named() ? null : search.twin(candidate, taken);
        if (twin == null) {
          taken.add(candidate);
        } else {
          twins.put(candidate, twin);
        }
      }
    }
    return twins;
  }

  /** Says why a twin was left out. */
  static LeftOut leftOut(Candidate candidate, String path, String takenPath) {
    return new LeftOut(
        candidate.path(),
        path,
        Code.DUPLICATE,
        "the same content, byte by byte, as " + takenPath + ", which is taken");
  }

  private @Nullable Candidate twin(Candidate candidate, List<Candidate> taken) {
    for (Candidate other : taken) {
      if (mayBeCopies(candidate.path(), other.path())
          && sameSample(candidate.path(), other.path())
          && sameContent(candidate.path(), other.path())) {
        return other;
      }
    }
    return null;
  }

  /**
   * Whether the names allow it. Beside each other, equal files are two silent microphones of one
   * take or two silent parts, unless one is called a copy.
   */
  private static boolean mayBeCopies(Path a, Path b) {
    if (!Objects.equals(a.toAbsolutePath().getParent(), b.toAbsolutePath().getParent())) {
      return true;
    }
    String one = stem(a);
    String two = stem(b);
    return isCopyOf(one, two) || isCopyOf(two, one);
  }

  private static boolean isCalledCopy(Path file) {
    String stem = stem(file);
    return stem.startsWith("copy of ") || CALLED_COPY.matcher(stem).find();
  }

  private static boolean isCopyOf(String name, String original) {
    return name.equals("copy of " + original)
        || (name.startsWith(original)
            && COPY_NAME.matcher(name.substring(original.length())).matches());
  }

  private static String stem(Path file) {
    return Devices.stem(String.valueOf(file.getFileName()).toLowerCase(Locale.ROOT));
  }

  private boolean sameSample(Path a, Path b) {
    SourceMark one = marks.computeIfAbsent(a, SourceMark::of);
    SourceMark two = marks.computeIfAbsent(b, SourceMark::of);
    return one != null && two != null && one.sample().equals(two.sample());
  }

  private boolean sameContent(Path a, Path b) {
    byte[] one = new byte[BLOCK_BYTES];
    byte[] two = new byte[BLOCK_BYTES];
    try (InputStream inA = Files.newInputStream(a);
        InputStream inB = Files.newInputStream(b)) {
      while (true) {
        monitor.checkCancelled();
        int count = inA.readNBytes(one, 0, BLOCK_BYTES);
        if (count != inB.readNBytes(two, 0, BLOCK_BYTES)
            || !Arrays.equals(one, 0, count, two, 0, count)) {
          return false;
        }
        if (count < BLOCK_BYTES) {
          return true;
        }
      }
    } catch (IOException e) {
      // What cannot be read is told when it is opened as a source.
      return false;
    }
  }

  private static long size(Path file) {
    try {
      return Files.isRegularFile(file) ? Files.size(file) : 0;
    } catch (IOException e) {
      return 0;
    }
  }
}
