package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.code_intelligence.jazzer.junit.FuzzTest;
import hardpan.base.MediaException;

/** Any bytes as an AIFF, Core Audio or Wave64 file: sound inside the file, or a typed error. */
class PlainSoundFuzzTest {
  @FuzzTest(maxDuration = "10m")
  void headerAndSamples(byte[] file) {
    try (PlainSoundReader reader = PlainSoundReader.over(new BytesChannel(file), "x.aiff")) {
      if (reader == null) {
        return;
      }
      PlainSoundHeader header = reader.header();
      long bytes = header.frameCount() * header.format().bytesPerFrame();
      assertTrue(bytes >= 0 && header.dataOffset() + bytes <= file.length);
      int frames = (int) Math.min(64, Math.max(1, header.frameCount()));
      float[][] block = new float[header.format().channelCount()][frames];
      assertEquals(Math.min(frames, header.frameCount()), reader.readAt(0, block, frames));
    } catch (MediaException e) {
      assertTrue(e.sentence().startsWith("x.aiff "), e.sentence());
    }
  }
}
