package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;

import hardpan.base.Monitor;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFinder.LeftOut;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.io.RandomAccessFile;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** What looks like a copy and is none must stay in: sound that is left out by mistake is lost. */
class NotLeftOutTest {
  private static final int RATE = 48_000;
  private static final int SECONDS = 12;

  @TempDir Path folder;

  private final float[] hall = ShootSamples.speech(31, RATE, 40);

  private void clip(String name, String codec, float[] sound) throws IOException {
    Path file = folder.resolve(name);
    Files.createDirectories(file.getParent());
    Integer bits = codec.equals("aac") ? 96_000 : null;
    var settings = new FfmpegClipWriter.Settings("mov", codec, RATE, 1, bits, true, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(new float[][] {sound}, sound.length);
    }
  }

  private float[] heard(long seed) {
    return ShootSamples.heard(hall, RATE, 3, SECONDS, seed);
  }

  private List<String> leftOut() throws Exception {
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      return steps.read(steps.find(List.of(folder))).leftOut().stream()
          .map(LeftOut::relativePath)
          .toList();
    }
  }

  @Test
  void theOnlySoundBesideASilentClipOfTheSameName() throws Exception {
    clip("MAIN/C0001.MOV", "pcm_s16le", new float[RATE * SECONDS]);
    clip("SUB/C0001.MOV", "aac", heard(1));
    assertEquals(List.of(), leftOut());
  }

  @Test
  void twoCamerasOnOneFeed() throws Exception {
    clip("CAM-A/C0007.MOV", "pcm_s16le", heard(1));
    clip("CAM-B/C0031.MOV", "aac", heard(2));
    assertEquals(List.of(), leftOut());
  }

  @Test
  void aBrokenClipWhoseNameLooksLikeThatOfACopy() throws Exception {
    clip("Day1.MOV", "pcm_s16le", heard(1));
    clip("Day1s02.MOV", "pcm_s16le", heard(2));
    try (RandomAccessFile file =
        new RandomAccessFile(folder.resolve("Day1s02.MOV").toFile(), "rw")) {
      file.setLength(file.length() / 2);
    }
    assertEquals(List.of(), leftOut());
  }

  @Test
  void aClipCalledLeftAndRight() throws Exception {
    clip("Talk.MOV", "pcm_s16le", heard(1));
    clip("Talk_LR.MOV", "aac", heard(2));
    assertEquals(List.of(), leftOut());
  }

  @Test
  void twoSilentMicrophonesOfOneTake() throws Exception {
    for (String name : List.of("T_Tr3.wav", "T_Tr4.wav", "T_Tr4 (1).wav")) {
      ShootSamples.wave(
          folder.resolve(name),
          WaveFormat.integer(24, RATE, 1),
          new WaveMetadata(null, null, Map.of(), List.of()),
          new float[RATE]);
    }
    ShootSamples.wave(
        folder.resolve("sound.wav"),
        WaveFormat.integer(24, RATE, 1),
        new WaveMetadata(null, null, Map.of(), List.of()),
        heard(1));
    assertEquals(List.of("T_Tr4 (1).wav"), leftOut());
  }
}
