package hardpan.demo;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;

import hardpan.base.MediaAccessException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** The note of what was made here. */
class DemoStampTest {
  private static final List<String> PATHS = List.of("A/1.mov", "B/2.mp4");

  private static void make(Path media, String path, String content) throws IOException {
    Path made = Files.writeString(media.resolve("made"), content);
    DemoStamp.open(media).finish(path, made);
    assertFalse(Files.exists(made));
  }

  @Test
  void finishedFilesAreNotMissing(@TempDir Path media) throws IOException {
    assertEquals(PATHS, DemoStamp.open(media).missing(PATHS));
    make(media, "A/1.mov", "sound");
    assertEquals(List.of("B/2.mp4"), DemoStamp.open(media).missing(PATHS));
    make(media, "B/2.mp4", "sound");
    assertEquals(List.of(), DemoStamp.open(media).missing(PATHS));
  }

  @Test
  void changedAndDeletedFilesAreMissing(@TempDir Path media) throws IOException {
    make(media, "A/1.mov", "sound");
    make(media, "B/2.mp4", "sound");
    Files.writeString(media.resolve("A/1.mov"), "longer sound");
    Files.delete(media.resolve("B/2.mp4"));
    assertEquals(PATHS, DemoStamp.open(media).missing(PATHS));
  }

  @Test
  void filesOfAnotherVersionAreMissing(@TempDir Path media) throws IOException {
    make(media, "A/1.mov", "sound");
    Path note = media.resolve(DemoStamp.NAME);
    Files.writeString(note, Files.readString(note).replaceFirst("demo [0-9]+", "demo 999"));
    assertEquals(PATHS, DemoStamp.open(media).missing(PATHS));
  }

  @Test
  void somebodysOwnFileIsNeverReplaced(@TempDir Path media) throws IOException {
    Path own = media.resolve("A/1.mov");
    Files.createDirectories(media.resolve("A"));
    Files.writeString(own, "holiday");
    DemoStamp stamp = DemoStamp.open(media);
    assertThrows(MediaAccessException.class, () -> stamp.missing(PATHS));
    assertEquals("holiday", Files.readString(own));
  }

  @Test
  void garbledNoteNamesNothing(@TempDir Path media) throws IOException {
    Files.writeString(
        media.resolve(DemoStamp.NAME), "hardpan demo x\nx y\n99999999999999999999 A\n");
    assertEquals(PATHS, DemoStamp.open(media).missing(PATHS));
  }
}
