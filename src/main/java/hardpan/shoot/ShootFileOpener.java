package hardpan.shoot;

import hardpan.shoot.ShootException.Reason;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.nio.file.StandardOpenOption;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.Set;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;
import org.sqlite.SQLiteConfig;
import org.sqlite.SQLiteErrorCode;

/**
 * Opens and makes the database of a saved shoot. A file is first looked at without the database, so
 * that what is not ours is never touched; what is ours but damaged or too new is refused before
 * anything is written.
 *
 * <p>Offsets in the file's head are those of the SQLite database file format, section 1.3
 * (sqlite.org/fileformat2.html): magic at 0, user version at 60, application id at 68.
 */
final class ShootFileOpener {
  /** "Hrdp" in ASCII; marks the file as ours. */
  static final int APPLICATION_ID = 0x48726470;

  private static final int HEAD_BYTES = 100;
  private static final int VERSION_AT = 60;
  private static final int APPLICATION_ID_AT = 68;
  private static final byte[] MAGIC = "SQLite format 3\0".getBytes(StandardCharsets.US_ASCII);
  private static final int BUSY_MILLIS = 500;

  /**
   * Files open in this process. On POSIX systems a process loses its lock on a file as soon as it
   * closes any other handle of it, so a file that is open here must not even be looked at.
   */
  private static final Set<Path> OPEN_HERE = ConcurrentHashMap.newKeySet();

  private ShootFileOpener() {}

  /** Whether there is something at that path; an empty file counts as nothing. */
  static boolean isThere(Path file) throws ShootException {
    try {
      return Files.exists(file) && (Files.isDirectory(file) || Files.size(file) > 0);
    } catch (IOException e) {
      throw new ShootException(Reason.NOTHING_DONE, file + " cannot be read.", e);
    }
  }

  /** Marks a file as open in this process. */
  static Path take(Path file) throws ShootException {
    if (!isThere(file)) {
      throw new ShootException(Reason.REQUEST, "There is no saved shoot " + file + ".");
    }
    if (Files.isDirectory(file)) {
      throw new ShootException(Reason.REQUEST, file + " is a folder, not a saved shoot.");
    }
    Path key;
    try {
      key = file.toRealPath();
    } catch (IOException e) {
      throw new ShootException(Reason.NOTHING_DONE, file + " cannot be read.", e);
    }
    if (!OPEN_HERE.add(key)) {
      throw busy(file, null);
    }
    return key;
  }

  static void release(Path key) {
    OPEN_HERE.remove(key);
  }

  /** Opens, checks and if need be migrates; the caller has taken the file. */
  static Connection open(Path file, ShootLadder ladder) throws ShootException {
    checkHead(file, ladder);
    if (hasUnfinishedLog(file)) {
      // Closing a writing connection would move the log into the file; look without writing first.
      try (Connection reading = connect(file, true)) {
        check(reading, file, ladder);
      } catch (SQLException e) {
        throw refusal(file, e);
      }
    }
    try {
      return checked(connect(file, false), file, ladder);
    } catch (SQLException e) {
      throw refusal(file, e);
    }
  }

  private static Connection checked(Connection connection, Path file, ShootLadder ladder)
      throws SQLException, ShootException {
    try {
      ladder.climb(connection, check(connection, file, ladder));
      return connection;
    } catch (SQLException | ShootException e) {
      try {
        connection.close();
      } catch (SQLException another) {
        e.addSuppressed(another);
      }
      throw e;
    }
  }

  private static void checkHead(Path file, ShootLadder ladder) throws ShootException {
    ByteBuffer head = ByteBuffer.allocate(HEAD_BYTES);
    try (FileChannel channel = FileChannel.open(file, StandardOpenOption.READ)) {
      int got;
      do {
        got = channel.read(head);
      } while (got >= 0 && head.hasRemaining());
    } catch (IOException e) {
      throw new ShootException(Reason.NOTHING_DONE, file + " cannot be read.", e);
    }
    boolean whole = !head.hasRemaining();
    boolean ours =
        whole
            && head.slice(0, MAGIC.length).equals(ByteBuffer.wrap(MAGIC))
            && head.getInt(APPLICATION_ID_AT) == APPLICATION_ID;
    if (!ours) {
      throw new ShootException(
          Reason.REQUEST,
          file + " is not a saved shoot of Hardpan; it was left as it is, name another file.");
    }
    checkVersion(file, head.getInt(VERSION_AT), ladder);
  }

  private static void checkVersion(Path file, int version, ShootLadder ladder)
      throws ShootException {
    if (version > ladder.version()) {
      throw new ShootException(
          Reason.REQUEST,
          file
              + " was saved by a newer Hardpan; it was left as it is, open it with that one or"
              + " name another file.");
    }
    if (version < 0) {
      throw damaged(file, null);
    }
  }

  /** Version and soundness as the database itself sees them, its log included. */
  private static int check(Connection connection, Path file, ShootLadder ladder)
      throws SQLException, ShootException {
    try (Statement statement = connection.createStatement()) {
      int version = number(statement, "PRAGMA user_version");
      checkVersion(file, version, ladder);
      // A last page that is cut short is filled up with zeros unasked and may pass the check.
      if (file.toFile().length() % number(statement, "PRAGMA page_size") != 0) {
        throw damaged(file, null);
      }
      try (ResultSet found = statement.executeQuery("PRAGMA quick_check(1)")) {
        if (!found.next() || !"ok".equals(found.getString(1))) {
          throw damaged(file, null);
        }
      }
      return version;
    }
  }

  private static int number(Statement statement, String query) throws SQLException {
    try (ResultSet found = statement.executeQuery(query)) {
      found.next();
      return found.getInt(1);
    }
  }

  /** The log that belongs to a file. */
  static Path log(Path file) {
    return Path.of(file + "-wal");
  }

  private static boolean hasUnfinishedLog(Path file) throws ShootException {
    return isThere(log(file));
  }

  /**
   * Makes a new file under another name and moves it into place when it is whole.
   *
   * @throws ShootException if there is something already, or it cannot be written
   */
  static void create(Path file, ShootLadder ladder) throws ShootException {
    if (isThere(file)) {
      throw new ShootException(
          Reason.REQUEST, "There is something at " + file + " already; it was left as it is.");
    }
    if (isThere(log(file))) {
      throw new ShootException(
          Reason.REQUEST,
          log(file) + " is left of a saved shoot that is gone; move it away or name another file.");
    }
    Path whole = file.toAbsolutePath();
    Path folder = whole.getParent();
    if (folder == null || !Files.isDirectory(folder)) {
      throw new ShootException(
          Reason.REQUEST, "There is no folder for " + file + "; make it first.");
    }
    Path draft = folder.resolve("." + whole.getFileName() + "-" + ProcessHandle.current().pid());
    boolean drafted = false;
    try {
      Files.createFile(draft);
      drafted = true;
      try (Connection connection = connect(draft, false);
          Statement statement = connection.createStatement()) {
        statement.execute("PRAGMA application_id = " + APPLICATION_ID);
        ladder.climb(connection, 0);
      }
      Files.deleteIfExists(file);
      Files.move(draft, file, StandardCopyOption.ATOMIC_MOVE);
    } catch (IOException | SQLException e) {
      throw new ShootException(
          Reason.NOTHING_DONE,
          file + " cannot be written: check the folder's permissions and the free space.",
          e);
    } finally {
      if (drafted) {
        removeDraft(draft);
      }
    }
  }

  private static void removeDraft(Path draft) throws ShootException {
    try {
      Files.deleteIfExists(draft);
      Files.deleteIfExists(log(draft));
    } catch (IOException e) {
      throw new ShootException(
          Reason.NOTHING_DONE, "The unfinished file " + draft + " could not be removed.", e);
    }
  }

  private static Connection connect(Path file, boolean readOnly) throws SQLException {
    SQLiteConfig config = new SQLiteConfig();
    config.setReadOnly(readOnly);
    config.setBusyTimeout(BUSY_MILLIS);
    config.enforceForeignKeys(true);
    if (!readOnly) {
      // Set before the log is first used, so that no shared memory is needed, on network drives
      // too.
      config.setLockingMode(SQLiteConfig.LockingMode.EXCLUSIVE);
      config.setJournalMode(SQLiteConfig.JournalMode.WAL);
      config.setSynchronous(SQLiteConfig.SynchronousMode.NORMAL);
      config.setPragma(SQLiteConfig.Pragma.JOURNAL_SIZE_LIMIT, "1048576");
    }
    return DriverManager.getConnection("jdbc:sqlite:" + address(file), config.toProperties());
  }

  /** The driver takes what follows a question mark in a plain path for settings. */
  private static String address(Path file) {
    String path = file.toAbsolutePath().toString();
    return path.indexOf('?') < 0 ? path : file.toAbsolutePath().toUri().toASCIIString();
  }

  private static ShootException refusal(Path file, SQLException e) {
    return switch (primaryCode(e)) {
      case SQLITE_BUSY, SQLITE_LOCKED -> busy(file, e);
      case SQLITE_READONLY, SQLITE_CANTOPEN, SQLITE_PERM, SQLITE_FULL, SQLITE_IOERR ->
          new ShootException(Reason.NOTHING_DONE, sentence(file, e), e);
      default -> damaged(file, e);
    };
  }

  /** One sentence for a failure of the database. */
  static String sentence(Path file, SQLException e) {
    return switch (primaryCode(e)) {
      case SQLITE_BUSY, SQLITE_LOCKED -> busySentence(file);
      case SQLITE_READONLY, SQLITE_CANTOPEN, SQLITE_PERM ->
          file + " cannot be written: check its permissions and its folder's.";
      case SQLITE_FULL -> file + " cannot keep more: the disk is full.";
      case SQLITE_IOERR -> file + " cannot be read or written: check the disk.";
      default -> damagedSentence(file);
    };
  }

  /** The low byte of a result code is the kind of failure, the rest says more of it. */
  private static SQLiteErrorCode primaryCode(SQLException e) {
    return SQLiteErrorCode.getErrorCode(e.getErrorCode() & 0xFF);
  }

  private static ShootException busy(Path file, @Nullable Throwable cause) {
    return new ShootException(Reason.REQUEST, busySentence(file), cause);
  }

  private static String busySentence(Path file) {
    return file + " is open in another Hardpan; close that one or name another file.";
  }

  private static ShootException damaged(Path file, @Nullable Throwable cause) {
    return new ShootException(Reason.REQUEST, damagedSentence(file), cause);
  }

  private static String damagedSentence(Path file) {
    return file
        + " is damaged; it was left as it is, move it away and the next run measures everything"
        + " anew.";
  }
}
