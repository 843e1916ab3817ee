package hardpan.desk;

import hardpan.media.FfmpegClipWriter;
import hardpan.wave.BextLoudness;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Random;

/**
 * A shoot of a few seconds on disk: a recording of 40 s of bursts of noise, and a camera clip of 20
 * s of the same sound from second 8 on, the right side upside down.
 */
final class SmallShoot {
  static final double CLIP_START_SECONDS = 8;
  private static final int RATE_HZ = 48_000;
  private static final int SECONDS = 40;
  private static final int CLIP_SECONDS = 20;
  private static final long SEED = 20_260_503;

  private SmallShoot() {}

  static Path write(Path folder) throws Exception {
    return write(folder, WaveMetadata.NONE);
  }

  /** The recording says when it began: at 19:59:50 on 2026-05-03. */
  static Path writeWithStart(Path folder) throws Exception {
    long began = ((19 * 60 + 59) * 60 + 50) * (long) RATE_HZ;
    BroadcastExtension start =
        new BroadcastExtension(
            1, "", "", "", "2026-05-03", "19-59-50", began, null, BextLoudness.NONE, "");
    return write(folder, new WaveMetadata(start, null, Map.of(), List.of()));
  }

  private static Path write(Path folder, WaveMetadata metadata) throws Exception {
    float[] sound = bursts();
    Path recorder = Files.createDirectories(folder.resolve("REC"));
    WaveFormat format = WaveFormat.integer(24, RATE_HZ, 1);
    try (WaveFileWriter writer =
        WaveFileWriter.create(recorder.resolve("hall.wav"), format, metadata)) {
      writer.writeFloats(new float[][] {sound}, sound.length);
      writer.finish();
    }
    Path camera = Files.createDirectories(folder.resolve("CAM-A"));
    FfmpegClipWriter.Settings settings =
        new FfmpegClipWriter.Settings("mov", "pcm_s16le", RATE_HZ, 2, null, false, null);
    float[] left = new float[CLIP_SECONDS * RATE_HZ];
    float[] right = new float[left.length];
    for (int i = 0; i < left.length; i++) {
      left[i] = sound[i + (int) (CLIP_START_SECONDS * RATE_HZ)];
      right[i] = -left[i];
    }
    try (FfmpegClipWriter writer =
        FfmpegClipWriter.create(camera.resolve("CLIP0001.MOV"), settings)) {
      writer.write(new float[][] {left, right}, left.length);
    }
    Files.writeString(folder.resolve("notes.txt"), "not media");
    return folder;
  }

  /**
   * A recording of 20 s of swelling noise that has nothing to do with the rest, in a folder of its
   * own.
   */
  static void addStranger(Path folder) throws Exception {
    Random random = new Random(SEED + 1);
    float[] sound = new float[CLIP_SECONDS * RATE_HZ];
    for (int i = 0; i < sound.length; i++) {
      double swell = 0.03 + 0.02 * Math.sin(2 * Math.PI * i / (1.7 * RATE_HZ));
      sound[i] = (float) (swell * random.nextGaussian());
    }
    Path camera = Files.createDirectories(folder.resolve("CAM-B"));
    WaveFormat format = WaveFormat.integer(24, RATE_HZ, 1);
    try (WaveFileWriter writer =
        WaveFileWriter.create(camera.resolve("street.wav"), format, WaveMetadata.NONE)) {
      writer.writeFloats(new float[][] {sound}, sound.length);
      writer.finish();
    }
  }

  /** Noise in bursts of changing length and level, as speech has them. */
  private static float[] bursts() {
    Random random = new Random(SEED);
    float[] sound = new float[SECONDS * RATE_HZ];
    int at = 0;
    while (at < sound.length) {
      int length = RATE_HZ / 20 + random.nextInt(RATE_HZ / 2);
      double level = random.nextInt(3) == 0 ? 0.001 : 0.02 + 0.1 * random.nextDouble();
      for (int i = 0; i < length && at < sound.length; i++, at++) {
        sound[at] = (float) (level * random.nextGaussian());
      }
    }
    return sound;
  }
}
