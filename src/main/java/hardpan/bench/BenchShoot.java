package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.media.FfmpegClipWriter;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;

/**
 * A shoot for measuring speed: one 4-channel recording, and twelve stereo clips of four cameras in
 * three kinds of file. The sound is made from seeded noise in syllables, so that the line-up has
 * something to find; every clip has a place in the recording that is known.
 *
 * @param eventSeconds length of the recording
 * @param clipSeconds length of each clip
 */
record BenchShoot(int eventSeconds, int clipSeconds) {
  static final int CLIPS = 12;

  private static final int RATE_HZ = 48_000;
  private static final int BLOCK = 1 << 14;
  private static final List<FfmpegClipWriter.Settings> KINDS =
      List.of(
          new FfmpegClipWriter.Settings("mov", "pcm_s16le", RATE_HZ, 2, null, true, null),
          new FfmpegClipWriter.Settings("mp4", "aac", RATE_HZ, 2, 192_000, true, null),
          new FfmpegClipWriter.Settings("mpegts", "ac3", RATE_HZ, 2, 256_000, true, null));
  private static final List<String> ENDINGS = List.of("MOV", "MP4", "MTS");

  /** Makes the files; returns the total length of all sound in seconds, channels not counted. */
  long make(Path folder) throws MediaException, IOException {
    Path recorder = Files.createDirectories(folder.resolve("REC"));
    try (WaveFileWriter writer =
        WaveFileWriter.create(
            recorder.resolve("day.wav"), WaveFormat.integer(24, RATE_HZ, 4), WaveMetadata.NONE)) {
      float[][] block = new float[4][BLOCK];
      long frames = (long) eventSeconds * RATE_HZ;
      for (long at = 0; at < frames; at += BLOCK) {
        int count = (int) Math.min(BLOCK, frames - at);
        for (int channel = 0; channel < 4; channel++) {
          fill(channel, at, block[channel], count);
        }
        writer.writeFloats(block, count);
      }
      writer.finish();
    }
    for (int clip = 0; clip < CLIPS; clip++) {
      makeClip(folder, clip);
    }
    return eventSeconds + (long) CLIPS * clipSeconds;
  }

  private void makeClip(Path folder, int clip) throws MediaException, IOException {
    int camera = clip % 4;
    int kind = camera % KINDS.size();
    Path device = Files.createDirectories(folder.resolve("CAM-" + (camera + 1)));
    Path file = device.resolve("TAKE" + (clip / 4 + 1) + "." + ENDINGS.get(kind));
    long start = startFrame(clip);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, KINDS.get(kind))) {
      float[][] block = new float[2][BLOCK];
      long frames = (long) clipSeconds * RATE_HZ;
      for (long at = 0; at < frames; at += BLOCK) {
        int count = (int) Math.min(BLOCK, frames - at);
        fill(camera % 2, start + at, block[0], count);
        fill(camera % 2 + 2, start + at, block[1], count);
        writer.write(block, count);
      }
    }
  }

  private long startFrame(int clip) {
    long room = Math.max(0, (long) (eventSeconds - clipSeconds) * RATE_HZ);
    return room * clip / CLIPS + 12_345L * clip % Math.max(1, room + 1);
  }

  /** Sound of a channel at a place, the same however it is cut into blocks. */
  private static void fill(int channel, long from, float[] out, int count) {
    for (int i = 0; i < count; i++) {
      long frame = from + i;
      long syllable = frame / 9_600;
      double loud = unit(hash(channel * 31L + 7, syllable));
      double next = unit(hash(channel * 31L + 7, syllable + 1));
      double within = (frame % 9_600) / 9_600.0;
      double level = Math.pow(loud + (next - loud) * within, 3);
      double noise =
          unit(hash(channel, frame))
              + unit(hash(channel, frame - 1))
              + unit(hash(channel, frame - 2));
      out[i] = (float) (0.25 * level * (noise - 1.5));
    }
  }

  private static double unit(long bits) {
    return (bits >>> 11) * 0x1.0p-53;
  }

  /** A fixed scrambling of two numbers (the finaliser of SplitMix64, from memory). */
  private static long hash(long a, long b) {
    long z = a * 0x9E3779B97F4A7C15L + b * 0xD1B54A32D192ED03L;
    z = (z ^ (z >>> 30)) * 0xBF58476D1CE4E5B9L;
    z = (z ^ (z >>> 27)) * 0x94D049BB133111EBL;
    return z ^ (z >>> 31);
  }
}
