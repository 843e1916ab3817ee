package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Whether the disk holds what was written, to the byte. */
@NullUnmarked
class WrittenBytesTest {
  @TempDir Path folder;

  @Test
  void everyChangedByteIsNoticed() throws Exception {
    Path file = folder.resolve("a.wav");
    WaveFileWriter writer = writer(file);
    byte[] bytes = Files.readAllBytes(file);
    assertTrue(matches(writer, bytes, 100));
    assertTrue(matches(writer, bytes, 1));
    assertTrue(matches(writer, bytes, 1 << 18));
    for (int i = 0; i < bytes.length; i++) {
      bytes[i] ^= 0x10;
      assertFalse(matches(writer, bytes, 333), "byte " + i + " of " + bytes.length);
      bytes[i] ^= 0x10;
    }
  }

  @Test
  void aShorterAndALongerFileAreNoticed() throws Exception {
    Path file = folder.resolve("a.wav");
    WaveFileWriter writer = writer(file);
    byte[] bytes = Files.readAllBytes(file);
    assertFalse(matches(writer, Arrays.copyOf(bytes, bytes.length - 1), 100));
    assertFalse(matches(writer, Arrays.copyOf(bytes, bytes.length + 1), 100));
    assertFalse(matches(writer, new byte[0], 100));
  }

  @Test
  void anUnfinishedFileHasNothingToCompare() throws Exception {
    try (WaveFileWriter writer =
        WaveFileWriter.create(
            folder.resolve("b.wav"), WaveFormat.integer(16, 8000, 1), WaveMetadata.NONE)) {
      assertThrows(IllegalStateException.class, writer::written);
    }
  }

  /** With everything a file can carry, and a loudness put in at the end. */
  private static WaveFileWriter writer(Path file) throws Exception {
    BroadcastExtension bext =
        BroadcastExtension.of("d", "o", "r", "2026-05-16", "19-00-00", 5, null, "A=PCM");
    WaveMetadata metadata =
        new WaveMetadata(
            bext, "<BWFXML/>", Map.of("INAM", "x"), List.of(CuePoint.marker(1, 3, "here")));
    try (WaveFileWriter writer =
        WaveFileWriter.create(file, WaveFormat.integer(24, 8000, 1), metadata)) {
      writer.writeFloats(new float[][] {{0.1f, -0.2f, 0.3f, 0.4f, 0.5f}}, 5);
      writer.finish(bext.withLoudness(new BextLoudness(-23.0, null, -3.0, null, null)));
      assertEquals(5, writer.framesWritten());
      return writer;
    }
  }

  private static boolean matches(WaveFileWriter writer, byte[] bytes, int step) {
    WrittenBytes written = writer.written();
    for (int at = 0; at < bytes.length; at += step) {
      byte[] part = Arrays.copyOfRange(bytes, at, Math.min(bytes.length, at + step));
      written.add(part, part.length);
    }
    return written.matches();
  }
}
