package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeFalse;

import hardpan.shoot.ShootException.Reason;
import java.io.RandomAccessFile;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.Statement;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledOnOs;
import org.junit.jupiter.api.condition.OS;
import org.junit.jupiter.api.io.TempDir;

/**
 * Opening and making a saved shoot: what fits is opened, what is older is brought up, everything
 * else is refused in one sentence and stays as it is. Offsets in the file's head: SQLite database
 * file format, section 1.3.
 */
@NullUnmarked
class ShootFileTest {
  private static final int USER_VERSION_AT = 60;
  private static final int VERSION = 4;
  private static final int APPLICATION_ID_AT = 68;

  @TempDir Path folder;

  private Path file() {
    return folder.resolve("shoot.hardpan");
  }

  /** A saved shoot of several pages with something in it. */
  private Path filled() throws Exception {
    Path wave = KeptSamples.wave(folder.resolve("a.wav"), 5, 8);
    try (Scratch scratch = Scratch.create();
        ShootFile kept = ShootFile.create(file())) {
      KeptSamples.store(kept, wave, KeptSamples.analysis(wave, scratch));
    }
    return file();
  }

  private static void assertSentence(ShootException e, String part) {
    String sentence = e.sentence();
    assertTrue(sentence.contains(part), sentence);
    assertTrue(sentence.endsWith("."), sentence);
    assertFalse(sentence.substring(0, sentence.length() - 1).contains(". "), sentence);
  }

  /** Refused with that sentence; the file and all beside it stay as they are, byte for byte. */
  private ShootException assertRefused(Path file, String part) throws Exception {
    var before = ShootSamples.listing(folder);
    ShootException e = assertThrows(ShootException.class, () -> ShootFile.openOrCreate(file));
    assertSentence(e, part);
    assertEquals(before, ShootSamples.listing(folder));
    return e;
  }

  private static void poke(Path file, int at, int value) throws Exception {
    try (RandomAccessFile bytes = new RandomAccessFile(file.toFile(), "rw")) {
      bytes.seek(at);
      bytes.writeInt(value);
    }
  }

  @Test
  void aNewFileIsMarkedAndLeavesNothingBeside() throws Exception {
    ShootFile.create(file()).close();
    ByteBuffer head = ByteBuffer.wrap(Files.readAllBytes(file()));
    assertEquals(VERSION, head.getInt(USER_VERSION_AT));
    assertEquals(
        "Hrdp", StandardCharsets.US_ASCII.decode(head.slice(APPLICATION_ID_AT, 4)).toString());
    // 2 and 2: read and write versions of a file with a write-ahead log.
    assertEquals(2, head.get(18));
    assertEquals(2, head.get(19));
    assertEquals(List.of("", "shoot.hardpan"), List.copyOf(ShootSamples.listing(folder).keySet()));
  }

  @Test
  void openingIsNotWriting() throws Exception {
    byte[] before = Files.readAllBytes(filled());
    ShootFile.open(file()).close();
    assertArrayEquals(before, Files.readAllBytes(file()));
  }

  @Test
  void whatIsThereIsNotMadeAnew() throws Exception {
    filled();
    var before = ShootSamples.listing(folder);
    ShootException e = assertThrows(ShootException.class, () -> ShootFile.create(file()));
    assertSentence(e, "left as it is");
    assertEquals(before, ShootSamples.listing(folder));
    Files.delete(file());
    assertSentence(
        assertThrows(ShootException.class, () -> ShootFile.open(file())), "There is no saved");
    // An empty file holds nothing of anybody's.
    Files.createFile(file());
    ShootFile.openOrCreate(file()).close();
    ShootFile.open(file()).close();
  }

  @Test
  void foreignFilesAreRefused() throws Exception {
    Random random = new Random(77);
    byte[] noise = new byte[20_000];
    random.nextBytes(noise);
    for (byte[] bytes :
        List.of(noise, new byte[] {1}, "my notes of the supper".getBytes(StandardCharsets.UTF_8))) {
      Files.write(file(), bytes);
      ShootException e = assertRefused(file(), "not a saved shoot");
      assertEquals(Reason.REQUEST, e.reason());
    }
    Path other = folder.resolve("other.db");
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + other);
        Statement statement = connection.createStatement()) {
      statement.execute("CREATE TABLE mine (x)");
    }
    assertRefused(other, "not a saved shoot");
    assertRefused(Files.createDirectory(folder.resolve("a-folder")), "is a folder");
  }

  @Test
  void cutFilesAreRefused() throws Exception {
    byte[] whole = Files.readAllBytes(filled());
    for (int length :
        new int[] {
          1, 15, 16, 99, 100, 101, 512, 4095, 4096, 4097, 8192, whole.length / 2, whole.length - 1
        }) {
      Files.write(file(), Arrays.copyOf(whole, length));
      assertRefused(file(), length < 100 ? "not a saved shoot" : "is damaged");
    }
    Files.write(file(), whole);
    ShootFile.open(file()).close();
  }

  @Test
  void overwrittenPagesAreRefused() throws Exception {
    byte[] whole = Files.readAllBytes(filled());
    int pages = whole.length / 4096;
    Random random = new Random(78);
    for (int page : new int[] {1, 2, 3, pages - 1}) {
      byte[] bytes = whole.clone();
      byte[] noise = new byte[4096];
      random.nextBytes(noise);
      System.arraycopy(noise, 0, bytes, page * 4096, 4096);
      Files.write(file(), bytes);
      try {
        ShootFile.open(file()).close();
        // Only the payload of a piece can be foreign without the structure showing it.
        assertTrue(page >= 3, "page " + page);
      } catch (ShootException e) {
        assertSentence(e, "is damaged");
        assertArrayEquals(bytes, Files.readAllBytes(file()));
      }
    }
  }

  @Test
  void newerFilesAreRefused() throws Exception {
    poke(filled(), USER_VERSION_AT, VERSION + 1);
    ShootException e = assertRefused(file(), "newer Hardpan");
    assertEquals(Reason.REQUEST, e.reason());
  }

  @Test
  void aNewerVersionInTheLogIsRefused() throws Exception {
    filled();
    ShootLadder higher = ladder(List.of("CREATE TABLE more (x)"));
    Path copy = folder.resolve("killed.hardpan");
    try (ShootFile kept = ShootFile.open(file(), higher, 1)) {
      KeptSamples.copyAsLeft(file(), copy);
    }
    byte[] before = Files.readAllBytes(copy);
    byte[] log = Files.readAllBytes(Path.of(copy + "-wal"));
    assertEquals(VERSION, ByteBuffer.wrap(before).getInt(USER_VERSION_AT));
    ShootException e = assertThrows(ShootException.class, () -> ShootFile.open(copy));
    assertSentence(e, "newer Hardpan");
    assertArrayEquals(before, Files.readAllBytes(copy));
    assertArrayEquals(log, Files.readAllBytes(Path.of(copy + "-wal")));
    ShootFile.open(copy, higher, 1).close();
  }

  private static ShootLadder ladder(List<String> more) {
    return new ShootLadder(
        List.of(List.of("CREATE TABLE source (a)"), List.of(), List.of(), List.of(), more));
  }

  @Test
  void olderFilesAreBroughtUp() throws Exception {
    // Version 0: marked as ours, without tables.
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
        Statement statement = connection.createStatement()) {
      statement.execute("PRAGMA application_id = " + ShootFileOpener.APPLICATION_ID);
      statement.execute("CREATE TABLE forerunner (x)");
      statement.execute("INSERT INTO forerunner VALUES (41)");
    }
    assertEquals(0, ByteBuffer.wrap(Files.readAllBytes(file())).getInt(USER_VERSION_AT));
    Path wave = KeptSamples.wave(folder.resolve("a.wav"), 5, 1);
    try (Scratch scratch = Scratch.create();
        ShootFile kept = ShootFile.open(file())) {
      KeptSamples.store(kept, wave, KeptSamples.analysis(wave, scratch));
      assertTrue(KeptSamples.find(kept, wave, scratch).isPresent());
    }
    assertEquals(VERSION, ByteBuffer.wrap(Files.readAllBytes(file())).getInt(USER_VERSION_AT));
    assertEquals("41", value("SELECT x FROM forerunner"));
  }

  @Test
  void oneStepOrSeveralGiveTheSame() throws Exception {
    ShootLadder first = new ShootLadder(List.of(List.of("CREATE TABLE t (a)")));
    List<List<String>> steps =
        List.of(
            List.of("CREATE TABLE t (a)"),
            List.of("ALTER TABLE t ADD COLUMN b", "UPDATE t SET b = a + 1"),
            List.of("CREATE INDEX t_by_b ON t (b)"));
    ShootFileOpener.create(file(), first);
    execute("INSERT INTO t VALUES (1)");
    ShootFileOpener.open(file(), new ShootLadder(steps)).close();
    assertEquals("3", value("PRAGMA user_version"));
    assertEquals("2", value("SELECT b FROM t"));
    assertEquals("t_by_b", value("SELECT name FROM sqlite_schema WHERE type = 'index'"));
  }

  @Test
  void aFailedMigrationChangesNothing() throws Exception {
    ShootFileOpener.create(file(), new ShootLadder(List.of(List.of("CREATE TABLE t (a)"))));
    execute("INSERT INTO t VALUES (7)");
    byte[] before = Files.readAllBytes(file());
    ShootLadder broken =
        new ShootLadder(
            List.of(
                List.of("CREATE TABLE t (a)"),
                List.of("DELETE FROM t", "CREATE TABLE more (a)"),
                List.of("ALTER TABLE nowhere ADD COLUMN b")));
    assertThrows(ShootException.class, () -> ShootFileOpener.open(file(), broken));
    assertArrayEquals(before, Files.readAllBytes(file()));
    assertEquals("7", value("SELECT a FROM t"));
    assertEquals("1", value("PRAGMA user_version"));
  }

  private void execute(String command) throws Exception {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
        Statement statement = connection.createStatement()) {
      statement.execute(command);
    }
  }

  private String value(String query) throws Exception {
    try (Connection connection = DriverManager.getConnection("jdbc:sqlite:" + file());
        Statement statement = connection.createStatement();
        ResultSet rows = statement.executeQuery(query)) {
      assertTrue(rows.next());
      return rows.getString(1);
    }
  }

  @Test
  void aFileOpenHereIsBusy() throws Exception {
    try (ShootFile kept = ShootFile.create(file())) {
      assertSentence(
          assertThrows(ShootException.class, () -> ShootFile.open(file())), "another Hardpan");
      kept.close();
      ShootFile.open(file()).close();
    }
  }

  @Test
  void aLogWithoutItsFileIsNotTakenOver() throws Exception {
    Path left = Path.of(file() + "-wal");
    Files.write(left, new byte[5000]);
    assertRefused(file(), "shoot.hardpan-wal is left of a saved shoot");
    Files.delete(left);
    ShootFile.openOrCreate(file()).close();
  }

  @Test
  void oddNamesWork() throws Exception {
    for (String name : List.of("what? now.hardpan", "100 % été #2.hardpan", "a;b=c&d.hardpan")) {
      Path odd = folder.resolve(name);
      ShootFile.create(odd).close();
      ShootFile.open(odd).close();
      assertTrue(Files.size(odd) > 0);
      Files.delete(odd);
    }
    assertEquals(1, ShootSamples.listing(folder).size());
  }

  @Test
  void aMissingFolderIsNamed() {
    Path file = folder.resolve("nowhere/shoot.hardpan");
    assertSentence(
        assertThrows(ShootException.class, () -> ShootFile.openOrCreate(file)), "no folder");
  }

  @Test
  @EnabledOnOs(OS.LINUX)
  void aFolderThatTakesNoFilesIsNamed() {
    // Not even the superuser can make a file there.
    ShootException e =
        assertThrows(
            ShootException.class, () -> ShootFile.openOrCreate(Path.of("/proc/shoot.hardpan")));
    assertSentence(e, "cannot be written");
    assertEquals(Reason.NOTHING_DONE, e.reason());
  }

  @Test
  @EnabledOnOs({OS.LINUX, OS.MAC})
  void aProtectedFileIsRefused() throws Exception {
    filled();
    Files.setPosixFilePermissions(file(), PosixFilePermissions.fromString("r--r--r--"));
    Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString("r-xr-xr-x"));
    try {
      assumeFalse(Files.isWritable(file()), "the superuser may write everywhere");
      assertRefused(file(), "cannot be written");
    } finally {
      Files.setPosixFilePermissions(folder, PosixFilePermissions.fromString("rwxr-xr-x"));
    }
  }
}
