package hardpan.shoot;

import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;

/**
 * A shoot as it was last lined up, out of a saved shoot: everything that can be shown and handed
 * over, without the maps that a new line-up needs.
 *
 * @param shoot the shoot
 * @param roots the folders and files it was found in
 * @param marks by path: what the sources were recognised by; a source that was not there is missing
 * @param lineUpKey {@link Wishes#lineUpKey} of what was decided when it was lined up
 */
record KeptShoot(Shoot shoot, List<Path> roots, Map<String, SourceMark> marks, String lineUpKey) {
  /** No decisions have this key. */
  private static final String NOT_LINED_UP = "not lined up";

  KeptShoot {
    roots = List.copyOf(roots);
    marks = Map.copyOf(marks);
  }

  /** Of a shoot that has just been lined up. */
  static KeptShoot of(Shoot shoot, List<Path> roots, Wishes wishes) {
    return new KeptShoot(shoot, roots, marks(shoot), wishes.lineUpKey());
  }

  /** Of a shoot that was read and not lined up. */
  static KeptShoot notLinedUp(Shoot shoot, List<Path> roots) {
    return new KeptShoot(shoot, roots, marks(shoot), NOT_LINED_UP);
  }

  /** What the sources are recognised by now. */
  static Map<String, SourceMark> marks(Shoot shoot) {
    Map<String, SourceMark> marks = new TreeMap<>();
    for (ShootSource source : shoot.sources()) {
      SourceMark mark = SourceMark.of(source.file());
      if (mark != null) {
        marks.put(source.path(), mark);
      }
    }
    return marks;
  }
}
