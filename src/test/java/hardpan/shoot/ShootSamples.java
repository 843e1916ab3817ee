package hardpan.shoot;

import hardpan.base.Monitor;
import hardpan.lanes.DriftCorrection;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.ReaderChoice;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.WaveFileWriter;
import hardpan.wave.WaveFormat;
import hardpan.wave.WaveMetadata;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.stream.Stream;
import org.jspecify.annotations.NullUnmarked;

/** Small invented shoots: a harvest supper with a recorder and two cameras. */
@NullUnmarked
public final class ShootSamples {
  public static final int RATE = 48_000;
  static final OffsetDateTime MADE_AT = OffsetDateTime.parse("2026-05-16T22:10:00Z");

  private ShootSamples() {}

  /** Noise in syllables and pauses, as uneven as speech, so that it fits in one place only. */
  public static float[] speech(long seed, int rateHz, double seconds) {
    Random random = new Random(seed);
    float[] sound = new float[(int) Math.round(rateHz * seconds)];
    double low = 0;
    double level = 0;
    int left = 0;
    double target = 0;
    for (int i = 0; i < sound.length; i++) {
      if (left-- == 0) {
        left = (int) (rateHz * (0.05 + 0.25 * random.nextDouble()));
        target = random.nextInt(3) == 0 ? 0.005 : 0.1 + 0.5 * random.nextDouble();
      }
      level += (target - level) * 200 / rateHz;
      low = 0.6 * low + 0.4 * random.nextGaussian();
      sound[i] = (float) Math.max(-0.95, Math.min(0.95, 0.5 * level * low));
    }
    return sound;
  }

  /** A part of a sound with a little noise of its own. */
  public static float[] heard(float[] sound, int rateHz, double from, double seconds, long seed) {
    Random random = new Random(seed);
    int start = (int) Math.round(from * rateHz);
    float[] part = Arrays.copyOfRange(sound, start, start + (int) Math.round(seconds * rateHz));
    for (int i = 0; i < part.length; i++) {
      part[i] = (float) (0.7 * part[i] + 0.001 * random.nextGaussian());
    }
    return part;
  }

  public static Path clip(Path file, String container, String codec, int rateHz, float[]... planar)
      throws IOException {
    Files.createDirectories(file.getParent());
    var settings =
        new FfmpegClipWriter.Settings(
            container, codec, rateHz, planar.length, 192_000, false, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(planar, planar[0].length);
    }
    return file;
  }

  public static Path wave(Path file, WaveFormat format, float[]... planar) throws IOException {
    return wave(file, format, WaveMetadata.NONE, planar);
  }

  static Path wave(Path file, WaveFormat format, WaveMetadata metadata, float[]... planar)
      throws IOException {
    Files.createDirectories(file.getParent());
    try (WaveFileWriter writer = WaveFileWriter.create(file, format, metadata)) {
      writer.writeFloats(planar, planar[0].length);
      writer.finish();
    }
    return file;
  }

  /**
   * A recorder that ran 20 s from 19:00:00, camera A with two microphones from second 3, camera B
   * with one signal on both sides from second 6.
   */
  public static Path harvestSupper(Path folder) throws IOException {
    float[] host = speech(11, RATE, 20);
    float[] guest = speech(12, RATE, 20);
    BroadcastExtension bext =
        BroadcastExtension.of(
            "", "Recorder", "", "2026-05-16", "19-00-00", 19L * 3600 * RATE, null, "");
    wave(
        folder.resolve("REC/take-01.wav"),
        WaveFormat.integer(24, RATE, 2),
        new WaveMetadata(bext, null, Map.of(), List.of()),
        host,
        guest);
    clip(
        folder.resolve("CAM-A/a1.mov"),
        "mov",
        "pcm_s16le",
        RATE,
        heard(host, RATE, 3, 12, 13),
        heard(guest, RATE, 3, 12, 14));
    float[] one = heard(host, RATE, 6, 12, 15);
    clip(folder.resolve("CAM-B/b1.mp4"), "mp4", "aac", RATE, one, one);
    return folder;
  }

  /** A shoot that is read in two blinks and not lined up: two recordings and a clip. */
  static Path smallShoot(Path folder) throws IOException {
    wave(folder.resolve("REC/r1.wav"), WaveFormat.integer(24, RATE, 1), speech(1, RATE, 2));
    wave(folder.resolve("REC/r2.wav"), WaveFormat.float32(RATE, 1), speech(2, RATE, 1));
    clip(
        folder.resolve("CAM/c.mov"),
        "mov",
        "pcm_s16le",
        RATE,
        speech(3, RATE, 2),
        speech(4, RATE, 2));
    return folder;
  }

  static Shoot read(Path folder) throws Exception {
    try (Scratch scratch = Scratch.create()) {
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, Monitor.SILENT);
      return steps.read(steps.find(List.of(folder)));
    }
  }

  static HandOver.Options options(Path target, boolean replace) {
    return new HandOver.Options(target, replace, DriftCorrection.AUTO, ReaderChoice.BEST, MADE_AT);
  }

  /** Every file and folder below, with size and time of change; the hidden ones too. */
  public static Map<String, String> listing(Path folder) throws IOException {
    Map<String, String> entries = new TreeMap<>();
    try (Stream<Path> all = Files.walk(folder)) {
      for (Path path : all.toList()) {
        String what =
            Files.isDirectory(path)
                ? "folder"
                : Files.size(path)
                    + " "
                    + Files.getLastModifiedTime(path)
                    + " "
                    + Arrays.hashCode(Files.readAllBytes(path));
        entries.put(folder.relativize(path).toString().replace('\\', '/'), what);
      }
    }
    return entries;
  }
}
