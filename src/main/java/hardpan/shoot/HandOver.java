package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.lanes.Arrangement;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.LaneChoices;
import hardpan.lanes.LaneClock;
import hardpan.lanes.LaneLabels;
import hardpan.lanes.LaneOffer;
import hardpan.lanes.LanePlanner;
import hardpan.lanes.LaneSource;
import hardpan.lanes.LaneWriter;
import hardpan.lanes.PlannedFile;
import hardpan.lanes.WrittenLane;
import hardpan.media.FfmpegPicture;
import hardpan.media.ReaderChoice;
import hardpan.media.SourceFacts;
import hardpan.report.Original;
import hardpan.report.Report;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ConcurrentHashMap;
import org.jspecify.annotations.Nullable;

/** Writes the hand-over folder of a shoot. */
public final class HandOver {
  /** Share of the whole job that is done when all lanes are written. */
  static final double LANES_WRITTEN = 0.95;

  private final Shoot shoot;
  private final Options options;
  private final Monitor monitor;

  /** Lanes that could not be read to the end, by what the lanes call their source. */
  private final Map<String, MediaException> failures = new ConcurrentHashMap<>();

  /**
   * How to hand over.
   *
   * @param target the folder to make
   * @param replace whether an earlier hand-over of that name may be replaced
   * @param correction when clocks are corrected
   * @param arrangement how lanes go into files
   * @param lanes what a person decided about single lanes
   * @param measured whether the lanes' loudness is measured while they are written
   * @param choice which reader
   * @param madeAt time to put on it
   */
  public record Options(
      Path target,
      boolean replace,
      DriftCorrection correction,
      Arrangement arrangement,
      LaneChoices lanes,
      boolean measured,
      ReaderChoice choice,
      OffsetDateTime madeAt) {
    /** Nothing is decided about single lanes. */
    public Options(
        Path target,
        boolean replace,
        DriftCorrection correction,
        Arrangement arrangement,
        boolean measured,
        ReaderChoice choice,
        OffsetDateTime madeAt) {
      this(target, replace, correction, arrangement, LaneChoices.NONE, measured, choice, madeAt);
    }

    /** Mono files by clip. */
    public Options(
        Path target,
        boolean replace,
        DriftCorrection correction,
        ReaderChoice choice,
        OffsetDateTime madeAt) {
      this(target, replace, correction, Arrangement.USUAL, true, choice, madeAt);
    }
  }

  /**
   * What came of it.
   *
   * @param shoot the shoot; sources that failed while their lanes were written carry the error
   * @param report the report as written
   * @param leftOver where the replaced hand-over lies, if it could not be removed; else null
   */
  public record Result(Shoot shoot, Report report, @Nullable Path leftOver) {}

  private HandOver(Shoot shoot, Options options, Monitor monitor) {
    this.shoot = shoot;
    this.options = options;
    this.monitor = monitor;
  }

  /**
   * Looks whether a hand-over could be made, before any long work.
   *
   * @param sources the given folders and files, or the sources found in them: none may lie inside
   *     the target
   * @throws ShootException if the target is in the way, holds sources or cannot be written
   */
  public static void check(Path target, boolean replace, List<Path> sources) throws ShootException {
    HandOverFolder.check(target, replace, sources);
  }

  /**
   * Writes the folder: first under another name beside the target, then moved into place. After a
   * failure, a cancel and a killed process finished lanes stay under that other name, and the next
   * run with the same plan goes on from there; the hand-over then keeps the time at which it was
   * begun. Where no lane was finished nothing is left.
   *
   * @throws ShootException if it cannot be written
   * @throws HandOverStopped if cancelled, when finished lanes are kept
   * @throws CancellationException if cancelled, when nothing was left
   */
  public static Result write(Shoot shoot, Options options, Monitor monitor) throws ShootException {
    return new HandOver(shoot, options, monitor).run();
  }

  private Result run() throws ShootException {
    SourceFacts reference = LaneSources.referenceFacts(shoot);
    List<LaneSource> sources =
        LaneSources.of(shoot, options.choice(), source -> ParentUid.of(source.file()));
    List<LaneOffer> offers = LanePlanner.offers(sources, options.lanes());
    if (!offers.isEmpty() && offers.stream().noneMatch(LaneOffer::isWritten)) {
      boolean byHand = offers.stream().anyMatch(offer -> offer.state() == LaneOffer.State.UNWANTED);
      if (byHand) {
        throw new ShootException(
            ShootException.Reason.REQUEST,
            "No lane is left to write: all that have sound are switched off.");
      }
    }
    List<PlannedFile> files =
        LanePlanner.files(
            offers, reference, options.correction(), options.arrangement(), shoot.name());
    Map<String, FfmpegPicture> pictures = Originals.pictures(shoot, options.choice());
    String plan = HandOverPlan.checksum(shoot, files, pictures, options.measured());
    HandOverFolder folder =
        HandOverFolder.begin(
            options.target(), options.replace(), shoot.files(), plan, options.madeAt());
    try (folder) {
      Path lanesFolder = Files.createDirectories(folder.work().resolve(ReportMaker.LANES_FOLDER));
      OffsetDateTime madeAt = folder.journal().madeAt();
      folder.checkSpace(HandOverPlan.bytesNeeded(files, lanesFolder));
      LaneClock clock = LaneClock.of(reference, files);
      LaneLabels labels =
          new LaneLabels(
              shoot.name(), Version.madeBy(), madeAt, files, Originals.counted(pictures));
      LaneCrew crew =
          new LaneCrew(
              new LaneWriter(clock, labels, options.measured()),
              lanesFolder,
              folder.journal(),
              failures);
      SourceSums sums = new SourceSums(shoot, options.target());
      List<WrittenLane> written = crew.write(files, sums, monitor);
      Shoot finished = withFailures();
      Report report = ReportMaker.report(finished, written, options.correction(), madeAt);
      monitor.progress("writing the report", 0.97);
      Map<String, Original> originals = Originals.of(finished, options.target(), clock, pictures);
      HandOverPapers papers = new HandOverPapers(folder.work(), finished, report);
      papers.writeReport();
      papers.writeTables(originals);
      papers.writeSourceSums(sums.text(finished));
      papers.writeChecksums(written);
      monitor.checkCancelled();
      Path leftOver = folder.finish();
      monitor.progress("done", 1);
      return new Result(finished, report, leftOver);
    } catch (CancellationException e) {
      throw folder.isKept() ? new HandOverStopped(folder.whatIsLeft(), e) : e;
    } catch (ShootException | RuntimeException e) {
      throw e;
    } catch (Exception e) {
      throw new ShootException(
          ShootException.Reason.NOTHING_DONE,
          "The hand-over could not be written to "
              + options.target()
              + ": "
              + HandOverFolder.plain(e)
              + " "
              + folder.whatIsLeft(),
          e);
    }
  }

  private Shoot withFailures() {
    List<ShootSource> sources = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      MediaException failure = failures.get(shoot.runOf(source).laneSource());
      sources.add(failure == null ? source : source.failed(failure));
    }
    return shoot.withSources(sources);
  }
}
