package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lineup.Placement;
import hardpan.media.ReaderChoice;
import hardpan.shoot.Analysis;
import hardpan.shoot.Scratch;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootSource;
import hardpan.shoot.ShootSteps;
import hardpan.verdict.PairVerdict;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * Makes a shoot from recorded voices and music, runs the job's steps on it, and compares places and
 * pair verdicts with the truth.
 */
public final class AccuracyBench {
  private static final long SEED = 20_260_516;

  private final Path voices;
  private final Path music;
  private final Monitor monitor;

  private int placed;
  private int belonging;
  private int wrong;
  private int rightWords;

  /**
   * A bench.
   *
   * @param voices folder with recorded voices
   * @param music folder with recorded music
   * @param monitor progress and cancel
   */
  public AccuracyBench(Path voices, Path music, Monitor monitor) {
    this.voices = voices;
    this.music = music;
    this.monitor = monitor;
  }

  /**
   * Measures and gives the page.
   *
   * @throws MediaException if the recordings cannot be read or the media cannot be made
   * @throws IOException if a scratch folder cannot be used
   * @throws ShootException if the steps fail
   */
  public String page() throws MediaException, IOException, ShootException {
    Path folder = Files.createTempDirectory("hardpan-accuracy-");
    try (Scratch scratch = Scratch.create()) {
      List<RecordedShoot.Truth> truths =
          new RecordedShoot(voices, music, SEED).make(folder, monitor);
      ShootSteps steps = new ShootSteps(ReaderChoice.BEST, scratch, monitor);
      Shoot shoot = steps.lineUp(steps.read(steps.find(List.of(folder))), null);
      Map<String, ShootSource> found = new HashMap<>();
      shoot.sources().forEach(source -> found.put(source.path(), source));
      List<String> rows = new ArrayList<>();
      for (RecordedShoot.Truth truth : truths) {
        rows.add(row(truth, found.get(truth.path())));
      }
      return text(rows);
    } finally {
      FolderTree.delete(folder);
    }
  }

  private String row(RecordedShoot.Truth truth, @Nullable ShootSource source) {
    Analysis analysis = source == null ? null : source.analysis();
    Placement place = source == null ? null : source.placement();
    if (analysis == null || place == null) {
      wrong++;
      return "| " + truth.path() + " | not read | | | | | |";
    }
    PairVerdict pair = analysis.verdicts().pair();
    String word = pair == null ? "none" : pair.relation().word();
    boolean rightWord = word.equals(truth.pair());
    rightWords += rightWord ? 1 : 0;
    String words = rightWord ? word : "**" + word + "**, not " + truth.pair();
    Double offset = place.offsetSeconds();
    Double drift = place.driftPpm();
    belonging += truth.belongs() ? 1 : 0;
    boolean isPlaced = place.state() == Placement.State.PLACED;
    if (!isPlaced || offset == null || drift == null || !truth.belongs()) {
      wrong += isPlaced ? 1 : 0;
      String expected = truth.belongs() ? "**" + place.state().word() + "**" : place.state().word();
      return String.format(
          Locale.ROOT,
          "| %s | %.0f s | %s | %s | | | |",
          truth.path(),
          analysis.durationSeconds(),
          words,
          expected);
    }
    double start = 1000 * (offset - truth.offsetSeconds());
    double end = start + analysis.durationSeconds() * (drift - truth.driftPpm()) * 1e-3;
    double worst = Math.max(Math.abs(start), Math.abs(end));
    placed += worst <= truth.toleranceMs() ? 1 : 0;
    wrong += worst > 100 ? 1 : 0;
    return String.format(
        Locale.ROOT,
        "| %s | %.0f s | %s | placed%s | %+.4f | %+.4f | %+.4f |",
        truth.path(),
        analysis.durationSeconds(),
        words,
        worst <= truth.toleranceMs() ? "" : " (**beyond " + truth.toleranceMs() + " ms**)",
        start,
        (start + end) / 2,
        end);
  }

  private String text(List<String> rows) {
    return """
        ## Recorded voices and music

        Measured by `hardpan bench accuracy`, seed %d: an evening of eight minutes is put together from
        recorded voices (folder `%s`) and recorded music (folder `%s`), filmed by five cameras with clocks
        up to 100 ppm off, through MOV with 16-bit PCM, MP4 with AAC at 160 kbit/s (48 and 44.1 kHz) and
        transport streams with AC-3. CAM-1 takes two split microphones, CAM-2 an un-padded console feed,
        CAM-3 a balanced feed on tip and ring, CAM-4 stands 12 m away in an echoing hall, CAM-5 filmed
        something else. Errors are placed less true, in ms.

        | clip | length | pair verdict | place | start | middle | end |
        |---|---|---|---|---|---|---|
        %s

        %d of %d belonging clips placed within tolerance (0.05 ms for a wire, 1 ms through air), %d wrong
        placements, %d of %d pair verdicts right.
        """
        .formatted(
            SEED,
            voices,
            music,
            String.join("\n", rows),
            placed,
            belonging,
            wrong,
            rightWords,
            rows.size());
  }
}
