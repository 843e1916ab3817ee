package hardpan.desk.model;

import hardpan.lineup.Placement;
import hardpan.report.Report;
import hardpan.report.Sentences;
import hardpan.report.SourceReport;
import hardpan.shoot.FineWaves;
import hardpan.shoot.LaneList;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSource;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.jspecify.annotations.Nullable;

/** A shoot as the window shows it; does not change. */
public final class ShownShoot {
  private final Shoot shoot;
  private final Report report;
  private final List<SourceRow> rows;
  private final ClockModel clock;

  /** Puts a shoot and its report into rows and a picture. */
  public ShownShoot(Shoot shoot, Report report) {
    this.shoot = shoot;
    this.report = report;
    List<SourceRow> made = new ArrayList<>();
    Set<String> byHand = new HashSet<>();
    for (ShootSource source : shoot.sources()) {
      Placement placement = source.placement();
      if (placement != null && placement.isPinned()) {
        byHand.add(source.path());
      }
    }
    for (SourceReport source : report.sources()) {
      made.add(SourceRow.of(made.size() + 1, report, source, byHand.contains(source.path())));
    }
    this.rows = List.copyOf(made);
    this.clock = ClockModel.of(report, rows, shoot);
  }

  Shoot shoot() {
    return shoot;
  }

  /** A source of the shoot; empty for a row of another one. */
  Optional<ShootSource> source(SourceRow row) {
    return shoot.sources().stream().filter(source -> source.path().equals(row.path())).findFirst();
  }

  /** What the report says of a source. */
  Optional<SourceReport> report(SourceRow row) {
    return report.source(row.path());
  }

  /** What a lane brings along from its source. */
  LaneDamage damage(LaneList.Row lane) {
    return LaneDamage.of(shoot, report, lane);
  }

  /** What it is called. */
  public String name() {
    return shoot.name();
  }

  /** Whether it is the same shoot at another time: another folder may have the same name. */
  public boolean isSameAs(ShownShoot other) {
    return name().equals(other.name())
        && (shoot.files().equals(other.shoot.files())
            || !Collections.disjoint(shoot.files(), other.shoot.files()));
  }

  /** The sources in the report's order. */
  public List<SourceRow> rows() {
    return rows;
  }

  /** The picture. */
  public ClockModel clock() {
    return clock;
  }

  /**
   * Reads waveforms finer than the picture's own; the caller closes it.
   *
   * @param news called on another thread whenever something has come
   */
  public FineWaves fineWaves(Runnable news) {
    return FineWaves.of(shoot, news);
  }

  /** The worst that was found as a shape; null if nothing stands out. */
  public @Nullable Mark worst() {
    Mark worst = null;
    for (SourceRow row : rows) {
      Mark mark = row.findingMark();
      worst = mark == Mark.FAULT || worst == null ? mark : worst;
    }
    return worst;
  }

  /** What was found in all, and what was not used. */
  public String overview() {
    List<String> sentences = new ArrayList<>(Sentences.overview(report));
    if (!shoot.leftOut().isEmpty()) {
      sentences.add(Texts.count("overview.left-out", shoot.leftOut().size()));
    }
    return String.join(" ", sentences);
  }

  /** Files that were seen and not used, each with its reason; empty if there are none. */
  public String leftOut() {
    return String.join(
        "\n",
        shoot.leftOut().stream().map(left -> left.relativePath() + ": " + left.reason()).toList());
  }

  /** What there is to say about a source, or about the whole shoot for null. */
  public List<DetailLine> details(@Nullable SourceRow row) {
    return row == null
        ? Details.ofShoot(report)
        : report
            .source(row.path())
            .map(source -> Details.ofSource(report, source, row))
            .orElseGet(() -> Details.ofShoot(report));
  }
}
