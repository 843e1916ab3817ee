package hardpan.shoot;

import hardpan.lanes.Lane;
import hardpan.lanes.Slot;
import hardpan.lanes.WrittenLane;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.channels.FileLock;
import java.nio.channels.OverlappingFileLockException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.time.DateTimeException;
import java.time.OffsetDateTime;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/**
 * What is finished of a hand-over that is being made, in a hidden file beside it: after a crash or
 * a power cut the next run with the same plan goes on where it stopped. While a run holds it open
 * it is locked, so that nobody takes it for left behind.
 *
 * <p>Text lines: what it is, the plan's checksum, the time of the hand-over, then one line for each
 * lane that lies finished on the disk. A last line without an end was cut off and does not count.
 */
final class Journal implements AutoCloseable {
  private static final String MAGIC = "hardpan unfinished hand-over 2";
  private static final String SEPARATOR = "\t";
  private static final String UNKNOWN = "-";
  private static final int CELLS = 10;

  /** More than ten thousand lanes; ours is never longer. */
  private static final long LARGEST_BYTES = 4L * 1024 * 1024;

  private final Path file;
  private final FileChannel channel;
  private final FileLock lock;
  private final Map<String, String[]> finished = new HashMap<>();
  private final Set<String> finishedNow = new HashSet<>();
  private OffsetDateTime madeAt;
  private boolean continued;

  private Journal(Path file, FileChannel channel, FileLock lock, OffsetDateTime madeAt) {
    this.file = file;
    this.channel = channel;
    this.lock = lock;
    this.madeAt = madeAt;
  }

  /**
   * Takes a journal over, or makes it.
   *
   * @param file where it lies
   * @param plan 64 digits that stand for everything that is to be written
   * @param madeAt time of the hand-over if it begins now
   * @return null if the file belongs to a run that is under way, or is none of ours
   */
  static @Nullable Journal take(Path file, String plan, OffsetDateTime madeAt) throws IOException {
    boolean isNew = !Files.exists(file, LinkOption.NOFOLLOW_LINKS);
    if (!isNew && (!Files.isRegularFile(file) || Files.size(file) > LARGEST_BYTES)) {
      return null;
    }
    FileChannel channel =
        isNew
            ? FileChannel.open(
                file,
                StandardOpenOption.CREATE_NEW,
                StandardOpenOption.READ,
                StandardOpenOption.WRITE)
            : FileChannel.open(file, StandardOpenOption.READ, StandardOpenOption.WRITE);
    boolean kept = false;
    try {
      FileLock lock = lock(channel);
      // Whoever held it may have finished and removed it meanwhile.
      if (lock == null || !Files.exists(file)) {
        return null;
      }
      String text = read(channel);
      // A run that was killed at its first moment leaves an empty one.
      if (!text.isEmpty() && !text.startsWith(MAGIC + "\n")) {
        return null;
      }
      Journal journal = new Journal(file, channel, lock, madeAt);
      journal.load(text, plan);
      kept = true;
      return journal;
    } finally {
      if (!kept) {
        channel.close();
      }
    }
  }

  private static @Nullable FileLock lock(FileChannel channel) throws IOException {
    try {
      return channel.tryLock();
    } catch (OverlappingFileLockException e) {
      return null;
    }
  }

  private static String read(FileChannel channel) throws IOException {
    ByteBuffer bytes = ByteBuffer.allocate((int) Math.min(LARGEST_BYTES, channel.size()));
    while (bytes.hasRemaining() && channel.read(bytes, bytes.position()) >= 0) {
      // On until all is there.
    }
    return new String(bytes.array(), 0, bytes.position(), StandardCharsets.UTF_8);
  }

  private void load(String text, String plan) throws IOException {
    List<String> lines = Arrays.asList(text.split("\n", -1));
    OffsetDateTime began = lines.size() > 3 ? time(lines.get(2)) : null;
    if (began != null && lines.get(1).equals(plan)) {
      continued = true;
      madeAt = began;
      for (String line : lines.subList(3, lines.size() - 1)) {
        String[] cells = line.split(SEPARATOR, -1);
        if (cells.length == CELLS) {
          finished.put(key(cells[0], cells[1], cells[2]), cells);
        }
      }
      // A line that was cut off must not run into the next one.
      int whole = text.lastIndexOf('\n') + 1;
      channel.truncate(text.substring(0, whole).getBytes(StandardCharsets.UTF_8).length);
    } else {
      channel.truncate(0);
      append(MAGIC + "\n" + plan + "\n" + madeAt + "\n");
    }
  }

  private static @Nullable OffsetDateTime time(String text) {
    try {
      return OffsetDateTime.parse(text);
    } catch (DateTimeException e) {
      return null;
    }
  }

  /** Whether an earlier run with the same plan began it. */
  boolean isContinued() {
    return continued;
  }

  /** When the hand-over began; the identifiers in its files hang on it. */
  OffsetDateTime madeAt() {
    return madeAt;
  }

  /**
   * What an earlier run wrote of a lane, or null. The caller looks whether the file is still so.
   */
  synchronized @Nullable WrittenLane finished(Lane lane) {
    Slot slot = lane.slot();
    String[] cells =
        finished.get(
            key(
                lane.fileName(),
                Integer.toString(slot.channel()),
                Long.toString(slot.startFrame())));
    if (cells == null) {
      return null;
    }
    try {
      return new WrittenLane(
          lane,
          Long.parseLong(cells[3]),
          number(cells[4]),
          number(cells[5]),
          Long.parseLong(cells[6]),
          cells[7],
          Long.parseLong(cells[8]),
          Integer.parseInt(cells[9]));
    } catch (NumberFormatException e) {
      return null;
    }
  }

  private static String key(String file, String channel, String startFrame) {
    return String.join(SEPARATOR, file, channel, startFrame);
  }

  private static @Nullable Long number(String cell) {
    return cell.equals(UNKNOWN) ? null : Long.valueOf(cell);
  }

  /** Writes down that lanes lie finished on the disk. */
  synchronized void add(List<WrittenLane> lanes) throws IOException {
    StringBuilder lines = new StringBuilder();
    for (WrittenLane lane : lanes) {
      lines.append(
          String.join(
              SEPARATOR,
              key(
                  lane.lane().fileName(),
                  Integer.toString(lane.lane().slot().channel()),
                  Long.toString(lane.lane().slot().startFrame())),
              Long.toString(lane.frameCount()),
              text(lane.startFrameOnReference()),
              text(lane.timeReferenceSamples()),
              Long.toString(lane.fileFrameCount()),
              lane.sha256(),
              Long.toString(lane.clampedSamples()),
              Integer.toString(lane.leftOutMarkers())));
      lines.append('\n');
    }
    append(lines.toString());
    lanes.forEach(lane -> finishedNow.add(lane.lane().fileName()));
  }

  private static String text(@Nullable Long number) {
    return number == null ? UNKNOWN : number.toString();
  }

  private void append(String text) throws IOException {
    ByteBuffer bytes = ByteBuffer.wrap(text.getBytes(StandardCharsets.UTF_8));
    channel.position(channel.size());
    while (bytes.hasRemaining()) {
      channel.write(bytes);
    }
    channel.force(true);
  }

  /** Names of the files whose lanes lie finished on the disk. */
  synchronized Set<String> finishedFiles() {
    Set<String> files = new HashSet<>(finishedNow);
    finished.values().forEach(cells -> files.add(cells[0]));
    return files;
  }

  /** Leaves it for the next run. */
  void leave() throws IOException {
    lock.release();
    channel.close();
  }

  /** Removes it; the hand-over is whole, or given up. */
  @Override
  public void close() throws IOException {
    if (channel.isOpen()) {
      // Removed while it is locked where the system allows it, so that nobody takes it meanwhile.
      try {
        Files.deleteIfExists(file);
      } catch (IOException e) {
        lock.release();
        channel.close();
        Files.deleteIfExists(file);
        return;
      }
      lock.release();
      channel.close();
    }
  }
}
