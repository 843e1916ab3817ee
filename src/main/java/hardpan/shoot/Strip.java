package hardpan.shoot;

import java.nio.file.Path;
import java.util.List;

/**
 * Sources written at the same time by one device, side by side; mostly just one.
 *
 * @param sources readable, of the same format and length, in the order of their channels
 */
record Strip(List<ShootSource> sources) {
  /** Copies the list. */
  Strip {
    sources = List.copyOf(sources);
  }

  ShootSource first() {
    return sources.get(0);
  }

  long frameCount() {
    Analysis analysis = first().analysis();
    return analysis == null ? 0 : analysis.frameCount();
  }

  /** Steps from this strip's names to another's; 0 if they are no series. */
  int stepsTo(Strip other) {
    if (sources.size() != other.sources.size()) {
      return 0;
    }
    int steps = 0;
    for (int i = 0; i < sources.size(); i++) {
      int own = NameSeries.steps(stem(sources.get(i)), stem(other.sources.get(i)));
      if (own == 0 || (i > 0 && own != steps)) {
        return 0;
      }
      steps = own;
    }
    return steps;
  }

  static String stem(ShootSource source) {
    Path last = source.file().getFileName();
    String name = last == null ? "" : last.toString();
    int dot = name.lastIndexOf('.');
    return dot > 0 ? name.substring(0, dot) : name;
  }
}
