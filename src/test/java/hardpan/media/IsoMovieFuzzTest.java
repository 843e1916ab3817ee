package hardpan.media;

import com.code_intelligence.jazzer.junit.FuzzTest;
import hardpan.base.MediaException;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;

/**
 * Any bytes as a MOV or MP4 file through the pure-Java reader: sound or one of the typed errors,
 * for the boxes, the index, the edit lists, the sample tables and the samples behind them.
 */
class IsoMovieFuzzTest {
  @FuzzTest(maxDuration = "10m")
  void wholeFile(byte[] input) throws IOException {
    Path file = Files.createTempFile("fuzz", ".mov");
    try {
      Files.write(file, input);
      read(file);
    } finally {
      Files.delete(file);
    }
  }

  private static void read(Path file) {
    IsoTopLevel.hasMovieBox(file);
    try (SourceReader reader = JcodecReader.open(file)) {
      float[][] block = new float[reader.facts().channelCount()][2048];
      for (long at : new long[] {0, 2048, 1 << 20}) {
        reader.readAt(at, block, 2048);
      }
      reader.concealedFrames();
    } catch (MediaException e) {
      DamagedFilesTest.assertSentence(e);
    }
  }
}
