package hardpan.shoot;

import hardpan.report.ReportJson;
import java.io.IOException;
import java.nio.channels.FileChannel;
import java.nio.file.AccessDeniedException;
import java.nio.file.FileSystemException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.stream.Stream;

/**
 * The folder of a hand-over while it is being made: it grows under a hidden name beside its target
 * and takes the target's name only when it is whole. Closing it before that removes it.
 */
final class HandOverFolder implements AutoCloseable {
  private final Path target;
  private final Path work;
  private boolean finished;

  private HandOverFolder(Path target, Path work) {
    this.target = target;
    this.work = work;
  }

  /** Refuses targets that are in the way. */
  static void check(Path target, boolean replace) throws ShootException {
    Path whole = target.toAbsolutePath().normalize();
    if (whole.getFileName() == null) {
      throw request("A hand-over needs a folder of its own; " + target + " is none.");
    }
    if (Files.exists(whole) && !isEmptyFolder(whole)) {
      if (!isHandOver(whole)) {
        throw request(
            target + " exists and is not a hand-over; it is left alone. Name another folder.");
      }
      if (!replace) {
        throw request(
            target + " holds a hand-over already. Name another folder, or use --replace.");
      }
    }
  }

  /**
   * Begins a hand-over.
   *
   * @param sources files that must not lie inside the target
   */
  static HandOverFolder begin(Path target, boolean replace, List<Path> sources)
      throws ShootException {
    check(target, replace);
    Path whole = target.toAbsolutePath().normalize();
    for (Path source : sources) {
      if (source.toAbsolutePath().normalize().startsWith(whole)) {
        throw request("The source " + source + " lies inside " + target + "; name another folder.");
      }
    }
    try {
      Path parent = whole.getParent();
      if (parent == null) {
        throw request("A hand-over needs a folder of its own; " + target + " is none.");
      }
      Files.createDirectories(parent);
      Path work = Files.createTempDirectory(parent, "." + whole.getFileName() + "-unfinished-");
      openToOthers(work);
      return new HandOverFolder(whole, work);
    } catch (IOException e) {
      throw new ShootException(
          ShootException.Reason.NOTHING_DONE,
          "The hand-over cannot be written to " + target + ": " + plain(e),
          e);
    }
  }

  /** A temporary folder is private at first; a hand-over gets the usual permissions. */
  private static void openToOthers(Path work) throws IOException {
    if (Files.getFileStore(work).supportsFileAttributeView("posix")) {
      Path probe = Files.createDirectory(work.resolve("probe"));
      var usual = Files.getPosixFilePermissions(probe);
      Files.delete(probe);
      Files.setPosixFilePermissions(work, usual);
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

  /** Refuses to start if the disk clearly has too little room. */
  void checkSpace(long bytes) throws ShootException, IOException {
    long free = Files.getFileStore(work).getUsableSpace();
    if (free < bytes) {
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

  /** Moves the whole folder into place. */
  void finish() throws IOException {
    try (Stream<Path> all = Files.walk(work)) {
      for (Path path : all.toList()) {
        force(path);
      }
    }
    Path old = null;
    if (Files.exists(target)) {
      Path parent = target.resolveSibling("." + target.getFileName() + "-replaced");
      deleteTree(parent);
      Files.move(target, parent, StandardCopyOption.ATOMIC_MOVE);
      old = parent;
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
    if (old != null) {
      deleteTree(old);
    }
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
    if (!finished) {
      deleteTree(work);
    }
  }

  /** A failure of the file system in plain words. */
  static String plain(Exception e) {
    if (e instanceof AccessDeniedException denied) {
      return "no permission for " + denied.getFile() + ".";
    }
    if (e instanceof FileSystemException failure && failure.getReason() != null) {
      return failure.getReason() + ".";
    }
    String message = e.getMessage();
    return message == null ? e.getClass().getSimpleName() + "." : message + ".";
  }
}
