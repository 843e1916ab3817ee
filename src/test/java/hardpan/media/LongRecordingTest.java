package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.channels.FileChannel;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.StandardOpenOption;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.condition.EnabledIfSystemProperty;
import org.junit.jupiter.api.io.TempDir;

/**
 * Recordings past every 32-bit limit, as sparse files: next to nothing on the disk. The header is
 * built by hand after EBU Tech 3306.
 */
class LongRecordingTest {
  private static final int RATE_HZ = 48_000;

  @TempDir
  @SuppressWarnings("NullAway.Init")
  Path dir;

  /** Writes a sample whose value is {@code 0x55} in each byte of a frame, at some frames. */
  private Path sparse(int channels, int bytesPerSample, long frames, List<Long> marked)
      throws IOException {
    int frameBytes = channels * bytesPerSample;
    ByteBuffer head = ByteBuffer.allocate(12 + 36 + 24 + 8).order(ByteOrder.LITTLE_ENDIAN);
    long dataBytes = frames * frameBytes;
    put(head, "RF64").putInt(-1);
    put(head, "WAVE");
    put(head, "ds64").putInt(28).putLong(head.capacity() - 8 + dataBytes).putLong(dataBytes);
    head.putLong(frames).putInt(0);
    put(head, "fmt ").putInt(16).putShort((short) 1).putShort((short) channels).putInt(RATE_HZ);
    head.putInt(RATE_HZ * frameBytes).putShort((short) frameBytes);
    head.putShort((short) (8 * bytesPerSample));
    put(head, "data").putInt(-1).flip();
    Path file = dir.resolve("long.wav");
    try (FileChannel out =
        FileChannel.open(
            file,
            StandardOpenOption.CREATE_NEW,
            StandardOpenOption.SPARSE,
            StandardOpenOption.WRITE)) {
      long data = head.limit();
      out.write(head, 0);
      byte[] mark = new byte[frameBytes];
      java.util.Arrays.fill(mark, (byte) 0x55);
      for (long frame : marked) {
        out.write(ByteBuffer.wrap(mark), data + frame * frameBytes);
      }
      if (!marked.contains(frames - 1)) {
        out.write(ByteBuffer.allocate(1), data + dataBytes - 1);
      }
    }
    return file;
  }

  private static ByteBuffer put(ByteBuffer out, String id) {
    return out.put(id.getBytes(StandardCharsets.US_ASCII));
  }

  /** Frames, not only bytes, pass 2^31 and 2^32: a day of one channel at 8 bits. */
  @Test
  void positionsPastThirtyTwoBitsAreRight() throws IOException {
    List<Long> marked =
        List.of(0L, (1L << 31) - 1, 1L << 31, (1L << 32) - 1, 1L << 32, (1L << 32) + 12_345);
    long frames = (1L << 32) + 20_000;
    try (SourceReader reader = SourceOpener.open(sparse(1, 1, frames, marked))) {
      assertEquals(frames, reader.facts().frameCount());
      assertEquals(List.of(), reader.oddities());
      for (long frame : marked) {
        int[][] block = new int[1][2];
        assertEquals(2, reader.readIntegersAt(frame, block, 2));
        assertEquals((0x55 - 128) << 24, block[0][0], "frame " + frame);
      }
      assertEquals(0, reader.readIntegersAt(frames, new int[1][1], 1));
    }
  }

  /** Twelve hours of four channels at 24 bits through the whole pass; see docs/rescue.md. */
  @Test
  @EnabledIfSystemProperty(named = "hardpan.long", matches = "true")
  void twelveHoursPassWithFlatMemory() throws IOException {
    long frames = 12L * 3600 * RATE_HZ;
    // Frames around 2^31 and 2^32 bytes, one each hour, and the last.
    List<Long> marked = new ArrayList<>(List.of(0L, (1L << 31) / 12, (1L << 32) / 12));
    for (int hour = 1; hour < 12; hour++) {
      marked.add(hour * 3600L * RATE_HZ + hour);
    }
    marked.add(frames - 1);
    marked.sort(Long::compare);
    Path file = sparse(4, 3, frames, marked);
    List<Long> found = new ArrayList<>();
    long[] early = new long[2];
    long tenMinutes = 600L * RATE_HZ;
    BlockListener listener =
        (start, planar, count) -> {
          for (int i = 0; i < count; i++) {
            if (planar[3][i] != 0) {
              found.add(start + i);
            }
          }
          if (start <= tenMinutes && start + count > tenMinutes) {
            early[0] = usedHeap();
            early[1] = residentBytes();
          }
        };
    long began = System.nanoTime();
    try (SourceReader reader = SourceOpener.open(file)) {
      assertEquals(frames, DecodePass.run(reader, List.of(listener), Monitor.SILENT));
    }
    double seconds = (System.nanoTime() - began) / 1e9;
    long heap = usedHeap();
    long resident = residentBytes();
    System.out.printf(
        Locale.ROOT,
        "12 h, 4 channels, %.1f GB in %.0f s; heap in use %.1f MB after 10 min, %.1f MB at the end;"
            + " resident %d MB after 10 min, %d MB at the end%n",
        Files.size(file) / 1e9,
        seconds,
        early[0] / 1e6,
        heap / 1e6,
        early[1] >> 20,
        resident >> 20);
    assertArrayEquals(marked.toArray(), found.toArray());
    assertTrue(heap < early[0] + (8 << 20), heap + " after " + early[0]);
    assertTrue(resident < early[1] + (64L << 20), resident + " after " + early[1]);
  }

  /** Heap in use after a collection. */
  private static long usedHeap() {
    System.gc();
    return Runtime.getRuntime().totalMemory() - Runtime.getRuntime().freeMemory();
  }

  /** Memory the process holds, from Linux; 0 where that is not known. */
  private static long residentBytes() {
    try {
      for (String line : Files.readAllLines(Path.of("/proc/self/status"))) {
        if (line.startsWith("VmRSS:")) {
          return Long.parseLong(line.replaceAll("[^0-9]", "")) << 10;
        }
      }
    } catch (IOException e) {
      return 0;
    }
    return 0;
  }
}
