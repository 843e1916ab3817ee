package hardpan.shoot;

import hardpan.lanes.Checksum;
import hardpan.report.ReportJson;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileAlreadyExistsException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.LinkOption;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.time.OffsetDateTime;
import java.util.Comparator;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;

/**
 * The folder of a hand-over while it is being made: it grows under a hidden name beside its target
 * and takes the target's name only when it is whole. Closing it before that removes what is not
 * finished, and all of it if no lane is. What stays, and what a killed process leaves, is taken up
 * with its journal by the next run with the same plan.
 */
final class HandOverFolder implements AutoCloseable {
  /** Name of the file that lists all others. */
  static final String CHECKSUMS = "checksums.txt";

  /** Digits of a checksum and the two blanks after it. */
  private static final int CHECKSUM_COLUMNS = 66;

  /** What file managers leave in folders they have shown. */
  private static final Set<String> DESKTOP_LITTER = Set.of(".DS_Store", "Thumbs.db", "desktop.ini");

  /** So many runs into one target at once, or foreign folders of such names, nobody has. */
  private static final int MOST_SIBLINGS = 100;

  private final Path target;
  private final Path work;
  private final Journal journal;
  private boolean finished;
  private int kept;

  private HandOverFolder(Path target, Path work, Journal journal) {
    this.target = target;
    this.work = work;
    this.journal = journal;
  }

  /**
   * Refuses targets that are in the way.
   *
   * @param sources folders and files that must not lie inside the target
   */
  static void check(Path target, boolean replace, List<Path> sources) throws ShootException {
    Path whole = real(target);
    if (whole.getFileName() == null) {
      throw request("A hand-over needs a folder of its own; " + target + " is none.");
    }
    for (Path source : sources) {
      if (real(source).startsWith(whole)) {
        throw request("The source " + source + " lies inside " + target + "; name another folder.");
      }
    }
    if (Files.exists(whole, LinkOption.NOFOLLOW_LINKS) && !isEmptyFolder(whole)) {
      if (!isHandOver(whole)) {
        throw request(
            target + " exists and is not a hand-over; it is left alone. Name another folder.");
      }
      if (!replace) {
        throw request(
            target + " holds a hand-over already. Name another folder, or use --replace.");
      }
      checkNothingForeign(whole);
    }
    if (isMountPoint(whole)) {
      throw request(
          target + " is a disk of its own and cannot be swapped; name a new folder on it.");
    }
    checkParent(whole, target);
  }

  /** A folder that another file system is mounted on can be filled, but not replaced. */
  private static boolean isMountPoint(Path whole) {
    Path parent = whole.getParent();
    try {
      return parent != null
          && Files.isDirectory(whole)
          && !Files.getFileStore(whole).equals(Files.getFileStore(parent));
    } catch (IOException e) {
      // Not every system tells; then the move at the end will.
      return false;
    }
  }

  /** The path with links followed as far as it exists. */
  static Path real(Path path) {
    Path whole = path.toAbsolutePath().normalize();
    Path there = whole;
    while (there != null && !Files.exists(there)) {
      there = there.getParent();
    }
    try {
      return there == null ? whole : there.toRealPath().resolve(there.relativize(whole));
    } catch (IOException e) {
      return whole;
    }
  }

  /** The nearest folder that exists must take a new one. */
  private static void checkParent(Path whole, Path target) throws ShootException {
    Path parent = whole.getParent();
    while (parent != null && !Files.exists(parent)) {
      parent = parent.getParent();
    }
    if (parent == null || !Files.isDirectory(parent)) {
      throw nothingDone(target, parent + " is no folder.", null);
    }
    if (!Files.isWritable(parent)) {
      throw nothingDone(target, "there is no permission to write to " + parent + ".", null);
    }
  }

  private static ShootException nothingDone(Path target, String why, @Nullable Throwable cause) {
    return new ShootException(
        ShootException.Reason.NOTHING_DONE,
        "The hand-over cannot be written to " + target + ": " + why,
        cause);
  }

  /** What somebody put into an earlier hand-over must not go with it. */
  private static void checkNothingForeign(Path whole) throws ShootException {
    try {
      Map<String, String> own = new HashMap<>();
      for (String line : Files.readAllLines(whole.resolve(CHECKSUMS), StandardCharsets.UTF_8)) {
        int end = Math.min(line.length(), CHECKSUM_COLUMNS);
        own.put(line.substring(end), line.substring(0, end).strip());
      }
      try (Stream<Path> all = Files.walk(whole)) {
        // Files first, so that the sentence names what is in a foreign folder and not the folder.
        for (Path file : all.sorted(Comparator.comparing(HandOverFolder::isFolder)).toList()) {
          String relative = whole.relativize(file).toString().replace('\\', '/');
          if (!relative.isEmpty() && !relative.equals(CHECKSUMS) && !isOurs(file, relative, own)) {
            throw request(
                whole
                    + " holds "
                    + relative
                    + ", which Hardpan did not write like that. Move it elsewhere, or name another"
                    + " folder.");
          }
        }
      }
    } catch (IOException | UncheckedIOException e) {
      throw request(
          "What "
              + whole
              + " holds cannot be told from its "
              + CHECKSUMS
              + "; it is left alone. Name another folder.");
    }
  }

  private static boolean isFolder(Path entry) {
    return Files.isDirectory(entry, LinkOption.NOFOLLOW_LINKS);
  }

  /** Whether a file manager left it there. */
  static boolean isLitter(Path entry) {
    return DESKTOP_LITTER.contains(String.valueOf(entry.getFileName()));
  }

  /** Whether an entry is just as it was handed over, or a desktop's litter. */
  private static boolean isOurs(Path entry, String relative, Map<String, String> own)
      throws IOException {
    if (isFolder(entry)) {
      return own.keySet().stream().anyMatch(path -> path.startsWith(relative + "/"));
    }
    if (isLitter(entry)) {
      return true;
    }
    String sum = own.get(relative);
    return sum != null
        && Files.isRegularFile(entry, LinkOption.NOFOLLOW_LINKS)
        && sum.equals(Checksum.sha256(entry));
  }

  /**
   * Begins a hand-over, or takes one up that was killed with the same plan.
   *
   * @param sources files that must not lie inside the target
   * @param plan 64 digits that stand for everything that is to be written
   * @param madeAt time of the hand-over if it begins now
   */
  static HandOverFolder begin(
      Path target, boolean replace, List<Path> sources, String plan, OffsetDateTime madeAt)
      throws ShootException {
    check(target, replace, sources);
    Path whole = real(target);
    try {
      Path parent = whole.getParent();
      if (parent == null) {
        throw request("A hand-over needs a folder of its own; " + target + " is none.");
      }
      Files.createDirectories(parent);
      String stem = "." + whole.getFileName() + "-unfinished-";
      for (int number = 1; number <= MOST_SIBLINGS; number++) {
        HandOverFolder folder = take(whole, parent.resolve(stem + number), plan, madeAt);
        if (folder != null) {
          return folder;
        }
      }
      throw nothingDone(target, "too many unfinished ones lie beside it.", null);
    } catch (IOException e) {
      throw nothingDone(target, plain(e), e);
    }
  }

  /** Null if the place is taken. */
  private static @Nullable HandOverFolder take(
      Path whole, Path work, String plan, OffsetDateTime madeAt) throws IOException {
    Path file = work.resolveSibling(work.getFileName() + ".journal");
    boolean there = Files.exists(work, LinkOption.NOFOLLOW_LINKS);
    if (there && !Files.exists(file, LinkOption.NOFOLLOW_LINKS)) {
      return null;
    }
    Journal journal = Journal.take(file, plan, madeAt);
    if (journal == null) {
      return null;
    }
    try {
      if (there && !journal.isContinued()) {
        // A killed run with another plan left it; nobody can take it up.
        deleteTree(work);
      }
      Files.createDirectories(work);
      // A list or a report that the killed run had begun would pass for part of this one.
      keepOnly(work, journal.finishedFiles());
      return new HandOverFolder(whole, work, journal);
    } catch (IOException | RuntimeException e) {
      journal.close();
      throw e;
    }
  }

  private static ShootException request(String sentence) {
    return new ShootException(ShootException.Reason.REQUEST, sentence);
  }

  private static boolean isEmptyFolder(Path path) {
    if (!Files.isDirectory(path)) {
      return false;
    }
    try (Stream<Path> entries = Files.list(path)) {
      return entries.findAny().isEmpty();
    } catch (IOException e) {
      return false;
    }
  }

  private static boolean isHandOver(Path path) {
    try {
      ReportJson.read(path.resolve("report.json"));
      return true;
    } catch (IOException e) {
      return false;
    }
  }

  /** Where to write meanwhile. */
  Path work() {
    return work;
  }

  /** What is finished. */
  Journal journal() {
    return journal;
  }

  /** Refuses to start if the disk clearly has too little room. */
  void checkSpace(long bytes) throws ShootException {
    // 0 also means unknown, as in some containers; a disk that is full is found out by writing.
    long free = work.toFile().getUsableSpace();
    if (free > 0 && free < bytes) {
      throw new ShootException(
          ShootException.Reason.NOTHING_DONE,
          String.format(
              Locale.ROOT,
              "The hand-over needs %.0f MB and only %.0f MB are free at %s.",
              bytes / 1e6,
              free / 1e6,
              target));
    }
  }

  /**
   * Moves the whole folder into place.
   *
   * @return the earlier hand-over where it lies now, if it could not be removed; else null
   * @throws ShootException if meanwhile somebody put files of their own into the target
   */
  @Nullable Path finish() throws IOException, ShootException {
    try (Stream<Path> all = Files.walk(work)) {
      for (Path path : all.toList()) {
        force(path);
      }
    }
    Path old = null;
    if (Files.exists(target, LinkOption.NOFOLLOW_LINKS)) {
      if (!isEmptyFolder(target)) {
        // It may have changed during the long work.
        checkNothingForeign(target);
      }
      old = freeSibling("replaced");
      Files.move(target, old, StandardCopyOption.ATOMIC_MOVE);
    }
    try {
      Files.move(work, target, StandardCopyOption.ATOMIC_MOVE);
    } catch (IOException e) {
      if (old != null) {
        Files.move(old, target, StandardCopyOption.ATOMIC_MOVE);
      }
      throw e;
    }
    finished = true;
    journal.close();
    return old == null ? null : leftOver(old);
  }

  /** Removes the earlier hand-over; what cannot be removed stays where it is. */
  private static @Nullable Path leftOver(Path old) {
    try {
      deleteTree(old);
      return null;
    } catch (IOException | UncheckedIOException e) {
      return old;
    }
  }

  private Path freeSibling(String word) {
    String stem = "." + target.getFileName() + "-" + word;
    Path sibling = target.resolveSibling(stem);
    for (int number = 2; Files.exists(sibling, LinkOption.NOFOLLOW_LINKS); number++) {
      sibling = target.resolveSibling(stem + "-" + number);
    }
    return sibling;
  }

  private static void force(Path path) throws IOException {
    if (Files.isRegularFile(path)) {
      try (FileChannel channel = FileChannel.open(path, StandardOpenOption.WRITE)) {
        channel.force(true);
      }
    }
  }

  private static void deleteTree(Path root) throws IOException {
    if (!Files.exists(root)) {
      return;
    }
    try (Stream<Path> all = Files.walk(root)) {
      for (Path path : all.sorted(Comparator.reverseOrder()).toList()) {
        Files.delete(path);
      }
    }
  }

  @Override
  public void close() throws IOException {
    if (finished) {
      return;
    }
    Set<String> files = journal.finishedFiles();
    if (files.isEmpty() || !Files.isDirectory(work)) {
      try {
        deleteTree(work);
      } finally {
        journal.close();
      }
      return;
    }
    kept = files.size();
    try {
      keepOnly(work, files);
    } finally {
      journal.leave();
    }
  }

  /** Removes every file whose name is not among those given. */
  private static void keepOnly(Path work, Set<String> files) throws IOException {
    try (Stream<Path> all = Files.walk(work)) {
      for (Path path : all.filter(Files::isRegularFile).toList()) {
        if (!files.contains(String.valueOf(path.getFileName()))) {
          Files.delete(path);
        }
      }
    }
  }

  /** Whether finished lanes stay for another run; known when it is closed. */
  boolean isKept() {
    return kept > 0;
  }

  /** What is left after a failure or a cancel, one sentence; known when it is closed. */
  String whatIsLeft() {
    return kept == 0
        ? "Nothing was left there."
        : (kept == 1 ? "One finished lane waits" : kept + " finished lanes wait")
            + " in "
            + work
            + "; the same command goes on from there, another one for this folder clears it away.";
  }

  /** A failure of the file system in plain words. */
  static String plain(Exception e) {
    if (e instanceof AccessDeniedException denied) {
      return "there is no permission for " + denied.getFile() + ".";
    }
    if (e instanceof NoSuchFileException missing) {
      return missing.getFile() + " is no longer there.";
    }
    if (e instanceof FileAlreadyExistsException there) {
      return there.getFile() + " is in the way.";
    }
    if (e instanceof FileSystemException failure && failure.getReason() != null) {
      return failure.getReason() + ".";
    }
    String message = e.getMessage();
    return message == null ? "the disk refuses." : message + ".";
  }
}
