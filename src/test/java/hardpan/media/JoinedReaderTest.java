package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MediaAccessException;
import hardpan.media.SourceFacts.Kind;
import hardpan.media.SourceFacts.ReadBy;
import hardpan.media.SourceFacts.SampleForm;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;

/** Parts read as one, sample by sample, with few of them open. */
@NullUnmarked
class JoinedReaderTest {
  private static final int RATE = 48_000;

  private static SourceFacts facts(int channels, long frames) {
    return new SourceFacts(
        Kind.CLIP,
        "mov",
        "pcm_s24le",
        SampleForm.INTEGER,
        RATE,
        24,
        channels,
        frames,
        null,
        null,
        Collections.nCopies(channels, ""),
        ReadBy.NATIVE);
  }

  /** A sample that tells its own place, the same through any cut. */
  private static int sample(long frame, int channel) {
    return (int) ((frame * 0x9E3779B97F4A7C15L + channel * 0x632BE59BD9B4E019L) >>> 40) << 8;
  }

  /** A stretch of an endless recording, made while it is read. */
  private static final class Stretch implements SourceReader {
    private final long from;
    private final long frames;
    private final int firstChannel;
    private final int channels;
    private final AtomicInteger open;

    Stretch(long from, long frames, int firstChannel, int channels, AtomicInteger open) {
      this.from = from;
      this.frames = frames;
      this.firstChannel = firstChannel;
      this.channels = channels;
      this.open = open;
      open.incrementAndGet();
    }

    @Override
    public SourceFacts facts() {
      return JoinedReaderTest.facts(channels, frames);
    }

    @Override
    public int readAt(long start, float[][] planar, int count) {
      int[][] whole = new int[channels][count];
      int got = readIntegersAt(start, whole, count);
      for (int c = 0; c < channels; c++) {
        for (int i = 0; i < got; i++) {
          planar[c][i] = whole[c][i] * 0x1p-31f;
        }
      }
      return got;
    }

    @Override
    public int readIntegersAt(long start, int[][] planar, int count) {
      int got = (int) Math.max(0, Math.min(count, frames - start));
      for (int c = 0; c < channels; c++) {
        for (int i = 0; i < got; i++) {
          planar[c][i] = sample(from + start + i, firstChannel + c);
        }
      }
      return got;
    }

    @Override
    public void close() {
      open.decrementAndGet();
    }
  }

  private static JoinedReader joined(long[] cuts, AtomicInteger open) {
    List<JoinedReader.Part> parts = new ArrayList<>();
    for (int i = 0; i + 1 < cuts.length; i++) {
      long from = cuts[i];
      long frames = cuts[i + 1] - from;
      parts.add(new JoinedReader.Part(frames, () -> new Stretch(from, frames, 0, 2, open)));
    }
    return new JoinedReader(facts(2, cuts[cuts.length - 1]), parts);
  }

  /** Fifty-five minutes in three parts, every sample compared. */
  @Test
  void aLongTakeInThreePartsIsTheUncutOne() throws IOException {
    AtomicInteger open = new AtomicInteger();
    long end = 55L * 60 * RATE;
    try (JoinedReader reader = joined(new long[] {0, 57_600_123, 115_200_777, end}, open)) {
      int[][] block = new int[2][DecodePass.BLOCK_FRAMES];
      long position = 0;
      int got;
      while ((got = reader.readIntegersAt(position, block, block[0].length)) > 0) {
        for (int i = 0; i < got; i++) {
          if (block[0][i] != sample(position + i, 0) || block[1][i] != sample(position + i, 1)) {
            throw new AssertionError("frame " + (position + i));
          }
        }
        position += got;
        assertTrue(open.get() <= 2);
      }
      assertEquals(end, position);
    }
    assertEquals(0, open.get());
  }

  @Test
  void floatsAcrossSeveralCutsAtOnce() throws IOException {
    AtomicInteger open = new AtomicInteger();
    try (JoinedReader reader = joined(new long[] {0, 10, 11, 500, 1000}, open)) {
      for (long start : new long[] {900, 0, 5, 10, 11, 499}) {
        float[][] block = new float[2][1000];
        int got = reader.readAt(start, block, 1000);
        assertEquals(1000 - start, got);
        for (int i = 0; i < got; i++) {
          assertEquals(sample(start + i, 1) * 0x1p-31f, block[1][i]);
        }
      }
      assertEquals(0, reader.readAt(1000, new float[2][5], 5));
    }
    assertEquals(0, open.get());
  }

  @Test
  void aPartThatHasShrunkIsAnError() throws IOException {
    AtomicInteger open = new AtomicInteger();
    JoinedReader.Part part = new JoinedReader.Part(100, () -> new Stretch(0, 90, 0, 2, open));
    try (JoinedReader reader = new JoinedReader(facts(2, 200), List.of(part, part))) {
      assertThrows(
          MediaAccessException.class, () -> reader.readIntegersAt(0, new int[2][200], 200));
    }
  }

  @Test
  void filesSideBySideGiveAllChannels() throws IOException {
    AtomicInteger open = new AtomicInteger();
    List<SourceOpening> files =
        List.of(
            () -> new Stretch(0, 300, 0, 1, open),
            () -> new Stretch(0, 300, 1, 2, open),
            () -> new Stretch(0, 300, 3, 1, open));
    try (SideBySideReader reader = SideBySideReader.open(facts(4, 300), files)) {
      int[][] block = new int[4][300];
      assertEquals(250, reader.readIntegersAt(50, block, 300));
      for (int c = 0; c < 4; c++) {
        int[] expected = new int[300];
        for (int i = 0; i < 250; i++) {
          expected[i] = sample(50 + i, c);
        }
        assertArrayEquals(expected, block[c]);
      }
    }
    assertEquals(0, open.get());
  }
}
