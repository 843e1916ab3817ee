package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertTrue;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import hardpan.base.Monitor;
import hardpan.signal.LoudnessMeter;
import hardpan.signal.TestSounds;
import hardpan.signal.TruePeakMeter;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.jspecify.annotations.Nullable;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/**
 * The loudness meter against another one: the {@code ebur128} filter of the ffmpeg program. Runs
 * where that program is installed, and on recorded voices and music where they are (Debian packages
 * {@code klettres-data} and {@code asterisk-moh-opsound-wav}).
 */
class LoudnessAgreementTest {
  private static final int RATE = 48_000;

  /** Largest differences so far. */
  private double integratedLu;

  private double rangeLu;
  private double truePeakDb;
  private int sounds;

  private static boolean hasProgram() {
    try {
      Process process =
          new ProcessBuilder("ffmpeg", "-version")
              .redirectErrorStream(true)
              .redirectOutput(ProcessBuilder.Redirect.DISCARD)
              .start();
      return process.waitFor() == 0;
    } catch (IOException e) {
      return false;
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
      return false;
    }
  }

  private static String otherMeter(Path file) throws Exception {
    Process process =
        new ProcessBuilder(
                "ffmpeg",
                "-nostdin",
                "-hide_banner",
                "-i",
                file.toString(),
                "-af",
                "ebur128=peak=true:framelog=verbose",
                "-f",
                "null",
                "-")
            .redirectErrorStream(true)
            .start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    assertEquals(0, process.waitFor(), said);
    return said.substring(said.lastIndexOf("Summary:"));
  }

  private static double figure(String said, String label) {
    Matcher matcher = Pattern.compile(label + ":\\s+(-?[0-9.]+)").matcher(said);
    assertTrue(matcher.find(), label + " in " + said);
    return Double.parseDouble(matcher.group(1));
  }

  private void compare(Path file, String what) throws Exception {
    String other = otherMeter(file);
    try (SourceReader reader = SourceOpener.open(file)) {
      int rateHz = reader.facts().rateHz();
      LoudnessMeter loudness = LoudnessMeter.mono(rateHz);
      TruePeakMeter peak = new TruePeakMeter(rateHz);
      DecodePass.run(
          reader,
          List.of(
              (start, planar, count) -> {
                loudness.add(planar[0], 0, count);
                peak.add(planar[0], 0, count);
              }),
          Monitor.SILENT);
      // The other meter prints one decimal.
      integratedLu =
          Math.max(integratedLu, off(figure(other, "I"), loudness.integratedLufs(), 0.1, what));
      // Sparse talk of a minute is no steady case: EBU R 128 v5 advises against the range there.
      rangeLu = Math.max(rangeLu, off(figure(other, "LRA"), loudness.loudnessRangeLu(), 1.2, what));
      // Its oversampling filter is another one; each may under-read by 0.69 dB at most.
      truePeakDb = Math.max(truePeakDb, off(figure(other, "Peak"), peak.truePeakDbtp(), 0.7, what));
      sounds++;
    }
  }

  private static double off(double other, @Nullable Double ours, double most, String what) {
    assertNotNull(ours, what);
    double off = Math.abs(other - ours);
    assertTrue(off <= most + 0.051, what + ": " + other + " and " + ours);
    return Math.max(0, off);
  }

  private static Path written(Path folder, String name, float[] sound, int rateHz)
      throws Exception {
    Path file = folder.resolve(name + ".mov");
    FfmpegClipWriter.Settings settings =
        new FfmpegClipWriter.Settings("mov", "pcm_s24le", rateHz, 1, null, false, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings)) {
      writer.write(new float[][] {sound}, sound.length);
    }
    return file;
  }

  @Test
  void madeTalkAndMusicReadTheSame(@TempDir Path folder) throws Exception {
    assumeTrue(hasProgram(), "no ffmpeg program");
    for (int rateHz : new int[] {44_100, 48_000, 96_000}) {
      float[] talk = TestSounds.gain(TestSounds.talk(21, 40, rateHz), 0.4);
      float[] music = TestSounds.gain(TestSounds.music(22, 40, rateHz), 0.7);
      compare(written(folder, "talk" + rateHz, talk, rateHz), "talk at " + rateHz);
      compare(written(folder, "music" + rateHz, music, rateHz), "music at " + rateHz);
    }
  }

  @Test
  void recordedVoicesAndMusicReadTheSame(@TempDir Path folder) throws Exception {
    Path voices = Path.of("/usr/share/klettres");
    Path music = Path.of("/usr/share/asterisk/moh");
    assumeTrue(hasProgram() && Files.isDirectory(voices) && Files.isDirectory(music));
    for (Path piece : files(music, ".wav")) {
      compare(piece, piece.toString());
    }
    List<Path> speakers = new ArrayList<>();
    try (Stream<Path> all = Files.list(voices)) {
      all.filter(Files::isDirectory).sorted().forEach(speakers::add);
    }
    for (Path speaker : speakers) {
      List<Path> spoken = files(speaker, ".ogg");
      if (spoken.size() >= 10) {
        float[] sound = joined(spoken.subList(0, Math.min(40, spoken.size())));
        compare(written(folder, "voice" + sounds, sound, RATE), speaker + ", " + sound.length);
      }
    }
    System.getLogger(LoudnessAgreementTest.class.getName())
        .log(
            System.Logger.Level.INFO,
            String.format(
                Locale.ROOT,
                "%d recordings: integrated within %.3f LU, range within %.3f LU, true peak within"
                    + " %.3f dB of the other meter's printed figures",
                sounds,
                integratedLu,
                rangeLu,
                truePeakDb));
  }

  private static List<Path> files(Path folder, String ending) throws IOException {
    try (Stream<Path> all = Files.walk(folder)) {
      return all.filter(file -> file.toString().endsWith(ending)).sorted().toList();
    }
  }

  /** Short recordings end to end, taken as if they were at one rate. */
  private static float[] joined(List<Path> files) throws Exception {
    float[] sound = new float[0];
    for (Path file : files) {
      try (SourceReader reader = SourceOpener.open(file)) {
        float[][] block = new float[reader.facts().channelCount()][1 << 18];
        int got = reader.readAt(0, block, block[0].length);
        int before = sound.length;
        sound = Arrays.copyOf(sound, before + got);
        System.arraycopy(block[0], 0, sound, before, got);
      }
    }
    return sound;
  }
}
