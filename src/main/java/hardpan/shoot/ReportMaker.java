package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.base.Span;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.Lane;
import hardpan.lanes.LanePlanner;
import hardpan.lanes.WrittenLane;
import hardpan.lineup.ClockBend;
import hardpan.lineup.Placement;
import hardpan.media.SourceFacts;
import hardpan.media.SourceFinder;
import hardpan.media.StartClaim;
import hardpan.report.ChannelReport;
import hardpan.report.ClippingReport;
import hardpan.report.ClockBendReport;
import hardpan.report.ErrorReport;
import hardpan.report.FindingReport;
import hardpan.report.LaneReport;
import hardpan.report.LeftOutReport;
import hardpan.report.Moment;
import hardpan.report.OtherPlaceReport;
import hardpan.report.OverloadReport;
import hardpan.report.PairReport;
import hardpan.report.PlacementReport;
import hardpan.report.Report;
import hardpan.report.SourceReport;
import hardpan.report.SpanReport;
import hardpan.report.StartClaimReport;
import hardpan.report.Word;
import hardpan.verdict.ChannelVerdict;
import hardpan.verdict.Clipping;
import hardpan.verdict.Finding;
import hardpan.verdict.PairVerdict;
import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/** Says in the words of the report contract what a shoot has come to. */
public final class ReportMaker {
  /** Folder of the lanes inside a hand-over. */
  static final String LANES_FOLDER = "lanes";

  private ReportMaker() {}

  /**
   * The report.
   *
   * @param shoot the shoot
   * @param lanes what was written, with clocks corrected where it matters; empty if nothing was
   * @param madeAt time to put on it
   */
  public static Report report(Shoot shoot, List<WrittenLane> lanes, OffsetDateTime madeAt) {
    return report(shoot, lanes, DriftCorrection.AUTO, madeAt);
  }

  /**
   * The report.
   *
   * @param shoot the shoot
   * @param lanes what was written; empty if nothing was
   * @param correction when clocks were corrected
   * @param madeAt time to put on it
   */
  public static Report report(
      Shoot shoot, List<WrittenLane> lanes, DriftCorrection correction, OffsetDateTime madeAt) {
    List<SourceReport> sources = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      sources.add(source(source, shoot.runOf(source), new StandIns(shoot)));
    }
    List<LaneReport> laneReports = new ArrayList<>();
    for (WrittenLane lane : lanes) {
      laneReports.add(lane(lane, correction));
    }
    return Report.of(
        Version.madeBy(),
        madeAt,
        shoot.referencePath(),
        sources,
        DeviceReports.of(shoot),
        laneReports,
        shoot.leftOut().stream().map(ReportMaker::leftOut).toList());
  }

  private static LeftOutReport leftOut(SourceFinder.LeftOut left) {
    return new LeftOutReport(
        left.relativePath(), LeftOutReport.Reason.valueOf(left.code().name()), left.reason());
  }

  private static SourceReport withStart(SourceReport report, List<StartClaim> claims) {
    Optional<StartClaim> best = StartClaim.best(claims);
    List<StartClaimReport> reports = new ArrayList<>();
    for (StartClaim claim : claims) {
      boolean chosen = best.isPresent() && claim.equals(best.get());
      reports.add(
          chosen ? 0 : reports.size(),
          new StartClaimReport(
              StartClaimReport.Origin.valueOf(claim.origin().name()),
              claim.date() == null ? null : claim.date().toString(),
              DateTimeFormatter.ISO_LOCAL_TIME.format(claim.time()),
              claim.offset() == null ? null : claim.offset().getId(),
              StartClaimReport.Trust.valueOf(claim.trust().name()),
              claim.raw(),
              chosen,
              claim.why()));
    }
    Moment start =
        best.map(
                claim ->
                    claim.date() == null
                        ? null
                        : new Moment(claim.date().atTime(claim.time()), claim.offset()))
            .orElse(null);
    return report.withStart(start, reports);
  }

  private static SourceReport source(ShootSource source, Run run, StandIns standIns) {
    SourceReport.Kind kind =
        source.kind() == SourceFacts.Kind.CLIP
            ? SourceReport.Kind.CLIP
            : SourceReport.Kind.RECORDING;
    Analysis analysis = source.analysis();
    if (analysis == null) {
      MediaException error = source.error();
      ErrorReport report =
          error == null
              ? new ErrorReport(ErrorReport.Code.IO, "It was not read.")
              : ErrorReport.of(error);
      return SourceReport.unreadable(source.path(), kind, source.device(), report);
    }
    SourceFacts facts = analysis.facts();
    SourceReport report =
        new SourceReport(
            source.path(),
            kind,
            facts.container(),
            facts.codec(),
            facts.rateHz(),
            facts.bitsPerSample(),
            facts.channelCount(),
            analysis.frameCount(),
            analysis.durationSeconds(),
            null,
            facts.timeReferenceSamples(),
            source.device(),
            source.run(),
            run.partOf(source.path()) + 1,
            facts.readBy() == SourceFacts.ReadBy.NATIVE
                ? SourceReport.Reader.NATIVE
                : SourceReport.Reader.FALLBACK,
            null,
            pair(analysis.verdicts().pair()),
            channels(source, analysis, standIns),
            placement(source.placement()));
    return withStart(report, facts.origin().startClaims());
  }

  private static @Nullable PairReport pair(@Nullable PairVerdict pair) {
    if (pair == null) {
      return null;
    }
    Double correlation = pair.correlation();
    return new PairReport(
        Word.of(PairReport.Verdict.class, pair.relation().word()),
        pair.confidence(),
        correlation == null ? null : Double.valueOf(Math.max(-1, Math.min(1, correlation))),
        pair.gainDifferenceDb(),
        pair.lagSeconds(),
        pair.bleedDb());
  }

  private static List<ChannelReport> channels(
      ShootSource source, Analysis analysis, StandIns standIns) {
    List<ChannelReport> reports = new ArrayList<>();
    List<ChannelVerdict> verdicts = analysis.verdicts().channels();
    int rateHz = analysis.facts().rateHz();
    for (int i = 0; i < verdicts.size(); i++) {
      ChannelVerdict verdict = verdicts.get(i);
      Loudness loudness = analysis.loudness().get(i);
      Clipping clipping = verdict.clipping();
      List<FindingReport> findings = new ArrayList<>();
      for (Finding finding : verdict.findings()) {
        boolean cut = finding.code().equals("clipping");
        List<StandIns.StandIn> copies = cut ? standIns.of(source, i) : List.of();
        Map<String, Object> evidence = new LinkedHashMap<>(finding.evidence());
        if (cut) {
          evidence.put("standIns", StandIns.evidence(copies, rateHz));
        }
        findings.add(
            new FindingReport(
                finding.code(),
                FindingReport.Severity.valueOf(finding.severity().name()),
                spans(finding.spans(), rateHz),
                evidence,
                finding.says(),
                StandIns.sentence(copies) + finding.remedy()));
      }
      reports.add(
          new ChannelReport(
              i,
              LanePlanner.channelName(analysis.facts(), i),
              verdict.peakDbfs(),
              loudness.truePeakDbtp(),
              verdict.rmsDbfs(),
              loudness.integratedLufs(),
              loudness.rangeLu(),
              loudness.maxMomentaryLufs(),
              loudness.maxShortTermLufs(),
              verdict.noiseFloorDbfs(),
              verdict.dcOffset(),
              new ClippingReport(
                  clipping.clipped(),
                  clipping.ceilingDbfs(),
                  clipping.clippedSeconds(),
                  spans(clipping.spans(), rateHz)),
              new OverloadReport(
                  Word.of(OverloadReport.Verdict.class, verdict.overload().verdict().word()),
                  verdict.overload().excessDb(),
                  verdict.overload().padDb(),
                  verdict.overload().confidence()),
              findings));
    }
    return reports;
  }

  private static List<SpanReport> spans(List<Span> spans, int rateHz) {
    return spans.stream()
        .map(
            span ->
                new SpanReport(
                    (double) span.startFrame() / rateHz, (double) span.endFrame() / rateHz))
        .toList();
  }

  private static @Nullable PlacementReport placement(@Nullable Placement placement) {
    return placement == null
        ? null
        : new PlacementReport(
            Word.of(PlacementReport.State.class, placement.state().word()),
            placement.offsetSeconds(),
            placement.driftPpm(),
            placement.inverted(),
            placement.confidence(),
            placement.residualMs(),
            placement.overlapSeconds(),
            placement.via(),
            placement.why(),
            placement.otherPlaces().stream()
                .map(
                    other ->
                        new OtherPlaceReport(
                            other.offsetSeconds(),
                            other.driftPpm(),
                            other.inverted(),
                            other.confidence()))
                .toList(),
            basis(placement),
            placement.notes().flightSeconds(),
            bend(placement.notes().bend()));
  }

  private static PlacementReport.Basis basis(Placement placement) {
    if (placement.isPinned()) {
      return PlacementReport.Basis.HAND;
    }
    return placement.notes().byPicture()
        ? PlacementReport.Basis.PICTURE
        : PlacementReport.Basis.SOUND;
  }

  private static @Nullable ClockBendReport bend(@Nullable ClockBend bend) {
    return bend == null
        ? null
        : new ClockBendReport(
            bend.knots().stream()
                .map(knot -> new ClockBendReport.Knot(knot.sourceSeconds(), knot.besideSeconds()))
                .toList(),
            bend.residualMs(),
            bend.largestMs());
  }

  private static LaneReport lane(WrittenLane written, DriftCorrection correction) {
    Lane lane = written.lane();
    LaneReport.Bend bend = null;
    if (lane.source().bend() != null) {
      bend =
          lane.resample()
              ? LaneReport.Bend.FOLLOWED
              : correction == DriftCorrection.OFF
                  ? LaneReport.Bend.SWITCHED_OFF
                  : LaneReport.Bend.TOO_SMALL;
    }
    return new LaneReport(
        LANES_FOLDER + "/" + lane.fileName(),
        lane.slot().channel(),
        lane.slot().startFrame(),
        written.fileFrameCount(),
        lane.name(),
        lane.role(),
        lane.roleGuessed(),
        lane.source().path(),
        lane.channels(),
        written.startFrameOnReference(),
        written.timeReferenceSamples(),
        lane.format().rateHz(),
        lane.format().bits(),
        lane.format().isFloat() ? LaneReport.SampleFormat.FLOAT : LaneReport.SampleFormat.PCM,
        written.frameCount(),
        lane.resample(),
        bend,
        written.clampedSamples(),
        written.leftOutMarkers(),
        written.sha256());
  }
}
