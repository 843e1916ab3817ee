package hardpan.cli;

import hardpan.base.MediaException;
import hardpan.lanes.LaneChoices;
import hardpan.lanes.Layout;
import hardpan.media.ReaderChoice;
import hardpan.report.Report;
import hardpan.report.ReportJson;
import hardpan.report.TextReport;
import hardpan.shoot.DeviceRules;
import hardpan.shoot.HandOver;
import hardpan.shoot.HandOverStopped;
import hardpan.shoot.ReportMaker;
import hardpan.shoot.Scratch;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootException;
import hardpan.shoot.ShootFile;
import hardpan.shoot.ShootSteps;
import hardpan.shoot.Wishes;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.time.ZoneOffset;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.CancellationException;
import org.jspecify.annotations.Nullable;

/** Runs the steps for a command and turns what comes of it into output and an exit code. */
final class Job {
  private final Terminal terminal;
  private final CommonOptions options;

  Job(Terminal terminal, CommonOptions options) {
    this.terminal = terminal;
    this.options = options;
  }

  /** What a command does with the steps; gives the exit code. */
  @FunctionalInterface
  interface Work {
    int run(ShootSteps steps) throws ShootException;
  }

  /** Runs the work with a scratch folder of its own. */
  int run(Work work) {
    Path kept = options.shootFile;
    try (ShootFile shootFile = kept == null ? null : ShootFile.openOrCreate(kept);
        Scratch scratch = Scratch.create()) {
      int code = work.run(new ShootSteps(options.reader, scratch, terminal, shootFile));
      terminal.wipe();
      if (shootFile != null) {
        shootFile.close();
        shootFile.trouble().ifPresent(terminal::complain);
      }
      return code;
    } catch (ShootException e) {
      terminal.complain(e.sentence());
      return ExitCode.of(e);
    } catch (HandOverStopped e) {
      terminal.complain("Cancelled. " + e.whatIsKept());
      return ExitCode.CANCELLED;
    } catch (CancellationException e) {
      terminal.complain("Cancelled; nothing was left half-done.");
      return ExitCode.CANCELLED;
    } catch (MediaException e) {
      terminal.complain(e.sentence());
      return ExitCode.PARTLY;
    }
  }

  /** The time to put on a report. */
  static OffsetDateTime now() {
    return OffsetDateTime.now(ZoneOffset.UTC);
  }

  /** The given paths, and the reference if it lies elsewhere. */
  List<Path> roots(@Nullable Path reference) {
    List<Path> roots = new ArrayList<>(options.paths);
    if (reference != null && Files.exists(reference)) {
      Path whole = reference.toAbsolutePath().normalize();
      boolean inside =
          roots.stream().anyMatch(root -> whole.startsWith(root.toAbsolutePath().normalize()));
      if (!inside) {
        roots.add(reference);
      }
    }
    return roots;
  }

  /**
   * Keeps a lined-up shoot for the window. A reference that was only given on the command line is
   * not kept as a wish, so what was lined up to it counts as not lined up there.
   */
  void keep(ShootSteps steps, Shoot placed, @Nullable Path reference, Wishes wishes) {
    Wishes used = reference == null ? wishes : wishes.withReference(placed.referencePath());
    steps.keep(placed, roots(reference), used);
  }

  /** What the person says about devices. */
  DeviceRules devices() {
    return new DeviceRules(options.devices);
  }

  /** Which reader was asked for. */
  ReaderChoice reader() {
    return options.reader;
  }

  /** Prints a report about a shoot that nothing was written of. */
  int print(Shoot shoot) {
    print(ReportMaker.report(shoot, List.of(), now()));
    return ExitCode.of(shoot);
  }

  /** Writes a hand-over of a shoot and prints its report; gives the exit code. */
  int handOver(Shoot shoot, WriteOptions write, Layout layout, LaneChoices lanes, boolean measured)
      throws ShootException {
    HandOver.Result result =
        HandOver.write(shoot, write.forHandOver(options.reader, layout, lanes, measured), terminal);
    print(result.report());
    if (!options.json && !options.quiet) {
      terminal.out().println();
      terminal.out().println("Handed over to " + write.target + "; begin with report.html there.");
      terminal.out().flush();
    }
    if (result.leftOver() != null) {
      terminal.complain("The earlier hand-over could not be removed: " + result.leftOver() + ".");
    }
    return ExitCode.of(result.shoot());
  }

  /** Prints a report in the asked-for form. */
  void print(Report report) {
    terminal.wipe();
    if (options.json) {
      terminal.out().print(ReportJson.toText(report));
    } else if (!options.quiet) {
      terminal.out().print(TextReport.of(report));
    }
    terminal.out().flush();
  }
}
