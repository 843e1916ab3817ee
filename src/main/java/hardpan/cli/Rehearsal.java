package hardpan.cli;

import hardpan.base.MediaException;
import hardpan.media.FfmpegClipWriter;
import java.io.PrintWriter;
import java.io.Writer;
import java.nio.file.Path;
import java.util.Random;

/**
 * Goes once through the job with a clip of two seconds, so that the Java runtime sees which classes
 * a run needs. The launcher has it write them into an archive, from which later runs start sooner.
 */
public final class Rehearsal {
  private static final int RATE_HZ = 48_000;
  private static final int SECONDS = 2;

  private Rehearsal() {}

  /**
   * Rehearses.
   *
   * @param args one empty folder; the clip and the hand-overs are left in it
   * @throws MediaException if the clip cannot be written
   */
  public static void main(String[] args) throws MediaException {
    Path folder = Path.of(args[0]);
    String clip = clip(folder.resolve("clip.mov")).toString();
    Terminal terminal = new Terminal(silent(), silent(), false);
    PrintWriter err = silent();
    String split = folder.resolve("split").toString();
    String whole = folder.resolve("whole").toString();
    Hardpan.run(terminal, err, "split", clip, "--out", split, "--unchecked", "--quiet");
    Hardpan.run(terminal, err, "handover", clip, "--out", whole, "--quiet");
  }

  private static PrintWriter silent() {
    return new PrintWriter(Writer.nullWriter());
  }

  private static Path clip(Path file) throws MediaException {
    Random random = new Random(1);
    float[][] sound = new float[2][SECONDS * RATE_HZ];
    for (float[] channel : sound) {
      for (int i = 0; i < channel.length; i++) {
        channel[i] = 0.1f * (float) random.nextGaussian();
      }
    }
    var settings = new FfmpegClipWriter.Settings("mov", "pcm_s16le", RATE_HZ, 2, null, false, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(sound, sound[0].length);
    }
    return file;
  }
}
