package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.media.DecodePass;
import hardpan.media.FfmpegClipWriter;
import hardpan.media.FfmpegLibraries;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceOpener;
import hardpan.media.SourceReader;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Random;

/**
 * Writes known sound in every format there is a writer for, reads it with both readers, and says
 * where and how loud it came back.
 */
public final class FormatBench {
  private static final String BEGIN = "<!-- table of formats: begin -->";
  private static final String END = "<!-- table of formats: end -->";
  private static final int RANDOM_READS = 12;
  private static final int RANDOM_FRAMES = 3000;
  private static final long SEED = 271;

  private final Monitor monitor;

  /**
   * A bench.
   *
   * @param monitor progress and cancel
   */
  public FormatBench(Monitor monitor) {
    this.monitor = monitor;
  }

  /**
   * Measures and gives the table.
   *
   * @throws IOException if a scratch folder cannot be used
   */
  public String page() throws IOException {
    Path folder = Files.createTempDirectory("hardpan-formats-");
    try {
      List<String> rows = new ArrayList<>();
      List<FormatCase> cases = FormatCase.all();
      for (FormatCase format : cases) {
        monitor.checkCancelled();
        monitor.progress("formats", (double) rows.size() / cases.size());
        rows.add(row(format, folder));
      }
      return heading() + String.join("\n", rows) + "\n";
    } finally {
      FolderTree.delete(folder);
    }
  }

  private static String heading() {
    return String.format(
        Locale.ROOT,
        """
        Measured by `hardpan bench formats` with %s; %s.

        | container | codec | Hz | native: late by | native: level | native: length | against the picture | any place | fallback |
        |---|---|---|---|---|---|---|---|---|
        """,
        FfmpegLibraries.version(),
        System.getProperty("os.name") + " " + System.getProperty("os.arch"));
  }

  /**
   * A page of documentation with the table put between its marks.
   *
   * @throws IOException if the page has no such marks
   */
  public static String withTable(String document, String table) throws IOException {
    int begin = document.indexOf(BEGIN);
    int end = document.indexOf(END);
    if (begin < 0 || end < begin) {
      throw new IOException("the page has no place marked for the table");
    }
    return document.substring(0, begin + BEGIN.length()) + "\n" + table + document.substring(end);
  }

  /** One row of the table; a format that cannot be written says so in it. */
  static String row(FormatCase format, Path folder) throws IOException {
    Path file = folder.resolve("case." + format.ending());
    int bits = format.codec().endsWith("8") && format.codec().startsWith("pcm") ? 8 : 16;
    FormatSound sound = new FormatSound(format.rateHz(), format.channels(), bits);
    try {
      write(file, format, sound);
    } catch (MediaException e) {
      return format.key() + " not written: " + e.sentence() + " | | | | | |";
    }
    String fallback = "refused";
    try (SourceReader reader = SourceOpener.open(file, ReaderChoice.NATIVE)) {
      float[][] all = all(reader);
      fallback = fallback(file, sound, all);
      return format.key() + nativeCells(file, reader, sound, all) + " " + fallback + " |";
    } catch (MediaException e) {
      return format.key() + " refused: " + e.sentence() + " | | | | | " + fallback + " |";
    } finally {
      Files.deleteIfExists(file);
    }
  }

  private static void write(Path file, FormatCase format, FormatSound sound)
      throws IOException, MediaException {
    if (format.muxer().equals("hand")) {
      HandMadeFiles.write(file, format.codec(), sound, format.rateHz());
      return;
    }
    FfmpegClipWriter.Settings settings =
        new FfmpegClipWriter.Settings(
            format.muxer(),
            format.codec(),
            format.rateHz(),
            format.channels(),
            null,
            format.withPicture(),
            null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings, 1, format.options())) {
      writer.write(sound.planar(), sound.frames());
    }
  }

  private static String nativeCells(
      Path file, SourceReader reader, FormatSound sound, float[][] all)
      throws IOException, MediaException {
    int lag = sound.lag(all);
    Long picture = reader.pictureStartFrame();
    String where = lag == Integer.MIN_VALUE ? "does not fit" : Integer.toString(lag);
    String level =
        sound.same(all)
            ? "bit for bit"
            : String.format(Locale.ROOT, "%+.2f dB", sound.levelErrorDb(all, Math.max(lag, -1000)));
    long more = (long) all[0].length - sound.frames();
    return " "
        + where
        + " | "
        + level
        + " | "
        + (more == 0 ? "same" : String.format(Locale.ROOT, "%+d", more))
        + " | "
        + (picture == null ? "" : Long.toString(lag - picture))
        + " | "
        + (anyPlace(file, all) ? "same" : "**differs**")
        + " |";
  }

  /** Whether reads here and there give what the whole pass gave. */
  private static boolean anyPlace(Path file, float[][] all) throws IOException, MediaException {
    Random random = new Random(SEED);
    float[][] block = new float[all.length][RANDOM_FRAMES];
    try (SourceReader reader = SourceOpener.open(file, ReaderChoice.NATIVE)) {
      for (int i = 0; i < RANDOM_READS; i++) {
        int start = random.nextInt(all[0].length - RANDOM_FRAMES);
        if (reader.readAt(start, block, RANDOM_FRAMES) != RANDOM_FRAMES) {
          return false;
        }
        for (int c = 0; c < all.length; c++) {
          if (!Arrays.equals(block[c], 0, RANDOM_FRAMES, all[c], start, start + RANDOM_FRAMES)) {
            return false;
          }
        }
      }
      return true;
    }
  }

  private static String fallback(Path file, FormatSound sound, float[][] expected)
      throws IOException {
    try (SourceReader reader = SourceOpener.open(file, ReaderChoice.FALLBACK)) {
      float[][] all = all(reader);
      boolean same = all.length == expected.length;
      for (int c = 0; same && c < all.length; c++) {
        same = Arrays.equals(all[c], expected[c]);
      }
      if (same) {
        return "same, bit for bit";
      }
      int lag = sound.lag(all);
      return String.format(
          Locale.ROOT,
          "late by %d, %+.2f dB, length %+d, differs by %.0f dB",
          lag,
          sound.levelErrorDb(all, lag),
          (long) all[0].length - sound.frames(),
          differenceDb(expected, all));
    } catch (MediaException e) {
      return "refused: " + e.sentence().replace(String.valueOf(file.getFileName()), "the file");
    }
  }

  /** The difference of two sounds relative to the first, in decibels. */
  private static double differenceDb(float[][] reference, float[][] other) {
    double error = 0;
    double power = 0;
    for (int c = 0; c < Math.min(reference.length, other.length); c++) {
      for (int i = 0; i < Math.min(reference[c].length, other[c].length); i++) {
        double difference = (double) reference[c][i] - other[c][i];
        error += difference * difference;
        power += (double) reference[c][i] * reference[c][i];
      }
    }
    return 10 * Math.log10(error / power);
  }

  private static float[][] all(SourceReader reader) throws MediaException {
    int channels = reader.facts().channelCount();
    float[][][] held = {new float[channels][1 << 17]};
    int frames =
        (int)
            DecodePass.run(
                reader,
                List.of(
                    (start, planar, count) -> {
                      for (int c = 0; c < channels; c++) {
                        if (held[0][c].length < start + count) {
                          held[0][c] = Arrays.copyOf(held[0][c], 2 * held[0][c].length);
                        }
                        System.arraycopy(planar[c], 0, held[0][c], (int) start, count);
                      }
                    }),
                Monitor.SILENT);
    float[][] trimmed = new float[channels][];
    for (int c = 0; c < channels; c++) {
      trimmed[c] = Arrays.copyOf(held[0][c], frames);
    }
    return trimmed;
  }
}
