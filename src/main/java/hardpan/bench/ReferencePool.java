package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.bench.LineUpReference.Feeds;
import hardpan.bench.LineUpReference.Kind;
import java.io.IOException;
import java.nio.file.Path;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;

/** The references of a trial set, from ten minutes to eight hours, made when first wanted. */
final class ReferencePool {
  private static final List<Kind> KINDS =
      List.of(
          new Kind("console", 600, Feeds.BOARD, 48_000, "wav", false),
          new Kind("speakers", 720, Feeds.SPEAKERS, 48_000, "wav", false),
          new Kind("recorder", 1500, Feeds.ALL, 48_000, "wav", false),
          new Kind("hall", 900, Feeds.ROOM, 48_000, "wav", false),
          new Kind("cd-rate", 900, Feeds.BOARD, 44_100, "wav", false),
          new Kind("camera", 720, Feeds.SPEAKERS, 48_000, "aac", false),
          new Kind("hour", 4000, Feeds.BOARD, 48_000, "wav", false),
          new Kind("long", 4200, Feeds.SPEAKERS, 48_000, "wav", false),
          new Kind("half-day", 10_800, Feeds.BOARD, 48_000, "wav", false),
          new Kind("day", 28_800, Feeds.BOARD, 48_000, "wav", false),
          new Kind("repeats", 1200, Feeds.BOARD, 48_000, "wav", true));

  /** How often each is taken. */
  private static final int[] WEIGHTS = {18, 16, 10, 10, 8, 6, 12, 6, 8, 10, 0};

  private static final int REPEATS = KINDS.size() - 1;

  private final SoundBank bank;
  private final long setSeed;
  private final Path folder;
  private final Map<Integer, LineUpReference> made = new HashMap<>();

  ReferencePool(SoundBank bank, long setSeed, Path folder) {
    this.bank = bank;
    this.setSeed = setSeed;
    this.folder = folder;
  }

  Kind kind(int number) {
    return KINDS.get(number);
  }

  int size() {
    return KINDS.size();
  }

  SoundBank bank() {
    return bank;
  }

  long eventSeed(int number) {
    return setSeed * 100 + number;
  }

  /** Draws a reference that is long enough for a clip. */
  int draw(LineUpTrial.Relation relation, double clipSeconds, SplittableRandom dice) {
    if (relation == LineUpTrial.Relation.REPEATED
        || relation == LineUpTrial.Relation.REPEATED_UNDER_VOICE) {
      return REPEATS;
    }
    int total = 0;
    for (int i = 0; i < WEIGHTS.length; i++) {
      total += weight(i, clipSeconds);
    }
    int drawn = dice.nextInt(total);
    for (int i = 0; i < WEIGHTS.length; i++) {
      drawn -= weight(i, clipSeconds);
      if (drawn < 0) {
        return i;
      }
    }
    throw new IllegalStateException("no reference is long enough");
  }

  private static int weight(int number, double clipSeconds) {
    return KINDS.get(number).seconds() > clipSeconds + 5 ? WEIGHTS[number] : 0;
  }

  /** The reference of a number; made at the first call. */
  synchronized LineUpReference get(int number, Monitor monitor) throws MediaException, IOException {
    LineUpReference reference = made.get(number);
    if (reference == null) {
      Kind kind = KINDS.get(number);
      monitor.progress("making reference " + kind.name(), 0);
      reference = LineUpReference.make(kind, bank, eventSeed(number), folder, monitor);
      made.put(number, reference);
    }
    return reference;
  }

  /** The reference of a number, opened once more from its file. */
  LineUpReference again(int number, Monitor monitor) throws MediaException, IOException {
    return LineUpReference.make(KINDS.get(number), bank, eventSeed(number), folder, monitor);
  }
}
