package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.code_intelligence.jazzer.junit.FuzzTest;
import hardpan.base.MediaException;
import hardpan.media.FfmpegClipWriter.Settings;
import java.nio.ByteBuffer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class IsoMovieTest {
  /** An {@code elst} box of version 0 after ISO/IEC 14496-12, section 8.6.6.2. */
  private static ByteBuffer elst(int... durationsAndTimes) {
    ByteBuffer box = ByteBuffer.allocate(8 + durationsAndTimes.length / 2 * 12);
    box.putInt(0).putInt(durationsAndTimes.length / 2);
    for (int i = 0; i < durationsAndTimes.length; i += 2) {
      box.putInt(durationsAndTimes[i]).putInt(durationsAndTimes[i + 1]).putInt(0x10000);
    }
    return box.flip();
  }

  private static IsoEdits edits(@Nullable ByteBuffer elst, long mediaFrames) {
    return IsoEdits.read(elst, 1000, 48_000, 48_000, mediaFrames);
  }

  @Test
  void noEditListPlaysTheWholeMedia() {
    IsoEdits edits = edits(null, 5000);
    assertEquals(List.of(new IsoEdits.Part(0, 0, 5000)), edits.parts());
    assertEquals(0, edits.leadFrames());
    assertEquals(5000, edits.frameCount());
    assertEquals(edits, edits(elst(), 5000));
  }

  @Test
  void theEncoderDelayIsSkippedAndTheEndTrimmed() {
    IsoEdits edits = edits(elst(2000, 1024), 1024 + 96_000 + 640);
    assertEquals(List.of(new IsoEdits.Part(0, 1024, 96_000)), edits.parts());
    assertNotNull(edits.partAt(95_999));
    assertNull(edits.partAt(96_000));
  }

  @Test
  void anEndThatWasOnlyRoundedIsNotTrimmed() {
    assertEquals(96_047, edits(elst(2000, 1024), 1024 + 96_047).frameCount());
    assertEquals(96_000, edits(elst(2000, 1024), 1024 + 96_049).frameCount());
    assertEquals(95_990, edits(elst(2000, 1024), 1024 + 95_990).frameCount());
  }

  @Test
  void emptyEditsAreALeadOrSilenceBetween() {
    IsoEdits edits = edits(elst(500, -1, 1000, 0, 250, -1, 1000, 96_000), 480_000);
    assertEquals(24_000, edits.leadFrames());
    assertEquals(
        List.of(
            new IsoEdits.Part(0, 0, 48_000),
            new IsoEdits.Part(48_000, -1, 12_000),
            new IsoEdits.Part(60_000, 96_000, 48_000)),
        edits.parts());
  }

  @Test
  void anEditListThatPlaysNothingIsIgnored() {
    assertEquals(List.of(new IsoEdits.Part(0, 0, 5000)), edits(elst(1000, 9000), 5000).parts());
    assertEquals(List.of(new IsoEdits.Part(0, 0, 5000)), edits(elst(1000, -1), 5000).parts());
  }

  /** Whatever the bytes of an index are: a typed error or an answer, never another exception. */
  @FuzzTest(maxDuration = "60s")
  void anyIndexGivesATypedErrorOrAnAnswer(byte[] data) {
    probe(data);
  }

  private static void probe(byte[] data) {
    try {
      IsoMovie movie = IsoMovie.parsed(ByteBuffer.wrap(data), true, "fuzz.mov");
      for (IsoMovie.Track track : movie.soundTracks()) {
        IsoSampleTable table = track.table();
        assertTrue(table.chunkCount() <= data.length && table.sampleCount() >= 0);
        if (table.sampleCount() > 0) {
          table.offset(0);
          table.size(table.sampleCount() - 1);
          table.chunkOf(table.sampleCount() - 1);
        }
        IsoEdits edits =
            IsoEdits.read(track.editList(), track.movieScale(), track.timeScale(), 48_000, 1 << 20);
        assertTrue(edits.frameCount() > 0 && edits.leadFrames() >= 0);
      }
    } catch (MediaException e) {
      DamagedFilesTest.assertSentence(e);
    }
  }

  @Test
  void damagedIndicesGiveATypedErrorOrAnAnswer(@TempDir Path dir) throws Exception {
    long seed = 51;
    Random random = new Random(seed);
    for (String codec : new String[] {"pcm_s24le", "aac"}) {
      Settings settings = new Settings("mov", codec, 48_000, 2, null, true, null);
      Path file =
          MediaSamples.write(
              dir.resolve(codec), settings, MediaSamples.speechLike(seed, 48_000, 2, 20_000));
      byte[] bytes = Files.readAllBytes(file);
      int moov = new String(bytes, StandardCharsets.ISO_8859_1).indexOf("moov") + 4;
      byte[] index = Arrays.copyOfRange(bytes, moov, bytes.length);
      for (int i = 0; i < 20_000; i++) {
        byte[] damaged =
            Arrays.copyOf(index, i % 4 == 0 ? random.nextInt(index.length) : index.length);
        for (int n = random.nextInt(6); n >= 0 && damaged.length > 0; n--) {
          byte value = (byte) (n % 2 == 0 ? random.nextInt() : random.nextInt(4) - 2);
          damaged[random.nextInt(damaged.length)] = value;
        }
        try {
          probe(damaged);
        } catch (RuntimeException e) {
          throw new AssertionError("seed " + seed + ", case " + i, e);
        }
      }
    }
  }
}
