package hardpan.report;

import java.time.OffsetDateTime;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/** An invented shoot: the honey evening of the beekeepers of Lindmoor, with invented people. */
final class SampleReports {
  static final String REFERENCE = "REC/evening-01.wav";

  private SampleReports() {}

  static Report honeyEvening() {
    return Report.of(
        "Hardpan 0.1.0",
        OffsetDateTime.parse("2026-09-20T09:30:00+02:00"),
        REFERENCE,
        List.of(
            recorder(),
            clip(
                    "CAM-A/A0001.MOV",
                    "CAM-A",
                    1800.04,
                    "2026-09-19T18:02:11+02:00",
                    new PairReport(PairReport.Verdict.ISOLATED, 0.97, 0.04, -2.31, null, -21.4),
                    List.of(
                        channel(0, "left", -6.02, -24.1),
                        withFindings(
                            channel(1, "right", -8.4, -27.9),
                            new FindingReport(
                                "hum",
                                FindingReport.Severity.WARNING,
                                List.of(new SpanReport(0, 1800)),
                                evidence("fundamentalHz", 50.01, "levelDbfs", -52.3),
                                "Mains hum at 50 Hz and its multiples, about -52 dBFS.",
                                "Move the cable away from mains leads; a notch at 50, 100 and 150 Hz"
                                    + " takes most of it out."))),
                    placed(132.482916667, 23.41, false, 0.99, 0.082, 1800.0))
                .withStart(Moment.parse("2026-09-19T18:02:11+02:00"), claims()),
            clip(
                "CAM-A/A0002.MOV",
                "CAM-A",
                1500,
                "2026-09-19T18:40:02+02:00",
                new PairReport(PairReport.Verdict.ISOLATED, 0.95, 0.06, -1.9, null, -19.8),
                List.of(channel(0, "left", -5.5, -23.7), channel(1, "right", -7.9, -26.2)),
                placed(2403.25, 23.4, false, 0.98, 0.09, 1500)),
            clip(
                "CAM-B/B0001.MTS",
                "CAM-B",
                2400,
                "2026-09-19T18:10:40+02:00",
                new PairReport(PairReport.Verdict.INVERTED, 0.99, -0.998, 0.1, 0.0, null),
                List.of(hot(0, "left"), hot(1, "right")),
                placed(641.1, -12.7, true, 0.96, 0.21, 2400)),
            clip(
                "CAM-B/B0002.MTS",
                "CAM-B",
                900,
                "2026-09-19T18:58:00+02:00",
                new PairReport(PairReport.Verdict.ONE_SILENT, 0.93, null, null, null, null),
                List.of(channel(0, "left", -12.0, -30.1), silent(1, "right")),
                new PlacementReport(
                    PlacementReport.State.AMBIGUOUS,
                    3601.5,
                    -12.7,
                    false,
                    0.48,
                    0.4,
                    900.0,
                    List.of(),
                    "The same song was played twice from a file; the clip fits at 1:00:01 and at"
                        + " 1:22:40 about equally well.",
                    List.of(new OtherPlaceReport(4960.25, -12.6, false, 0.47)),
                    PlacementReport.Basis.PICTURE,
                    0.035,
                    new ClockBendReport(
                        List.of(
                            new ClockBendReport.Knot(10, -0.0002),
                            new ClockBendReport.Knot(400, 0.0003),
                            new ClockBendReport.Knot(880, -0.0001)),
                        0.012,
                        0.3))),
            clip(
                "PHONE-IDA/IMG_0412.MOV",
                "PHONE-IDA",
                95.5,
                "2026-09-19T19:30:12+02:00",
                new PairReport(PairReport.Verdict.SAME_SIGNAL, 0.99, 1.0, 0.0, 0.0, null),
                List.of(channel(0, "left", -1.2, -18.0), channel(1, "right", -1.2, -18.0)),
                PlacementReport.unplaced(
                    0.97,
                    "Nothing in the reference sounds like this clip; it was made elsewhere.")),
            SourceReport.unreadable(
                "CAM-B/B0003.MTS",
                SourceReport.Kind.CLIP,
                "CAM-B",
                new ErrorReport(
                    ErrorReport.Code.MALFORMED,
                    "The file ends in the middle of its first packet; copy it from the card"
                        + " again."))),
        List.of(
            new DeviceReport(
                "CAM-A",
                List.of("CAM-A/A0001.MOV", "CAM-A/A0002.MOV"),
                "Lindwerk",
                "K4",
                null,
                "Its files are in the folder CAM-A and name a Lindwerk K4.",
                -1.482916667,
                "CAM-A's clock is 1 s behind REC's.")),
        List.of(
            lane("Ida-Brandl", "left", 0, 132.482916667),
            lane("Jonas-Reet", "right", 1, 132.482916667),
            new LaneReport(
                "unplaced/IMG_0412-phone.wav",
                0,
                0L,
                4_584_000L,
                "Phone Ida",
                "phone",
                "PHONE-IDA/IMG_0412.MOV",
                List.of(0),
                null,
                null,
                48000,
                24,
                LaneReport.SampleFormat.PCM,
                4584000,
                false,
                0,
                0,
                "b".repeat(64))),
        List.of(new LeftOutReport("CAM-A/A0001.THM", LeftOutReport.Reason.PICTURE, "a picture")));
  }

  private static List<StartClaimReport> claims() {
    return List.of(
        new StartClaimReport(
            StartClaimReport.Origin.MAKER_KEY,
            "2026-09-19",
            "18:02:11",
            "+02:00",
            StartClaimReport.Trust.GOOD,
            "2026-09-19T18:02:11+0200",
            true,
            "The device wrote it with its offset from UTC; right as far as its clock was."),
        new StartClaimReport(
            StartClaimReport.Origin.TIMECODE,
            null,
            "18:02:10.96",
            null,
            StartClaimReport.Trust.EXACT,
            "18:02:10:24 at 25 a second",
            false,
            "Exact to a picture, on the device's own timecode, which need not be the time of"
                + " day."));
  }

  static Report empty() {
    return Report.of(
        "Hardpan 0.1.0", OffsetDateTime.parse("2026-09-20T09:30:00Z"), null, List.of(), List.of());
  }

  static Report withSources(SourceReport... sources) {
    return Report.of(
        "Hardpan 0.1.0",
        OffsetDateTime.parse("2026-09-20T09:30:00Z"),
        null,
        List.of(sources),
        List.of());
  }

  private static SourceReport recorder() {
    return new SourceReport(
        REFERENCE,
        SourceReport.Kind.RECORDING,
        "rf64",
        "pcm_s24le",
        48000,
        24,
        3,
        5400L * 48000,
        5400.0,
        OffsetDateTime.parse("2026-09-19T18:00:00+02:00"),
        64800L * 48000,
        "REC",
        "REC#1",
        1,
        SourceReport.Reader.NATIVE,
        null,
        null,
        List.of(
            channel(0, "Lavalier Ida", -7.1, -25.0),
            channel(1, "Console", -10.3, -23.3),
            withFindings(
                channel(2, "Room", -14.8, -33.3),
                new FindingReport(
                    "low-level",
                    FindingReport.Severity.NOTE,
                    List.of(),
                    evidence("speechDbfs", -38.2),
                    "Speech is low, about -38 dBFS.",
                    "Raise it when mixing; the noise floor leaves room for 12 dB."))),
        null);
  }

  static SourceReport clip(
      String path,
      String device,
      double seconds,
      String startedAt,
      @Nullable PairReport pair,
      List<ChannelReport> channels,
      @Nullable PlacementReport placement) {
    boolean transportStream = path.endsWith(".MTS");
    return new SourceReport(
        path,
        SourceReport.Kind.CLIP,
        transportStream ? "mts" : "mov",
        transportStream ? "ac3" : "pcm_s16le",
        48000,
        transportStream ? null : 16,
        2,
        Math.round(seconds * 48000),
        seconds,
        OffsetDateTime.parse(startedAt),
        null,
        device,
        device + "#1",
        1,
        transportStream ? SourceReport.Reader.FALLBACK : SourceReport.Reader.NATIVE,
        null,
        pair,
        channels,
        placement);
  }

  static ChannelReport channel(int index, String name, double peakDbfs, double lufs) {
    return new ChannelReport(
        index,
        name,
        peakDbfs,
        peakDbfs + 0.4,
        lufs - 1.3,
        lufs,
        8.2,
        lufs + 8.5,
        lufs + 5.1,
        -61.7,
        0.00012,
        ClippingReport.none(),
        OverloadReport.none(0.95),
        List.of());
  }

  static ChannelReport withFindings(ChannelReport channel, FindingReport... findings) {
    return new ChannelReport(
        channel.index(),
        channel.name(),
        channel.peakDbfs(),
        channel.truePeakDbtp(),
        channel.rmsDbfs(),
        channel.integratedLufs(),
        channel.loudnessRangeLu(),
        channel.maxMomentaryLufs(),
        channel.maxShortTermLufs(),
        channel.noiseFloorDbfs(),
        channel.dcOffset(),
        channel.clipping(),
        channel.overload(),
        List.of(findings));
  }

  static ChannelReport hot(int index, String name) {
    return new ChannelReport(
        index,
        name,
        -1.43,
        -0.2,
        -6.3,
        -5.9,
        2.1,
        -3.1,
        -4.4,
        -58.0,
        0.002,
        new ClippingReport(
            true,
            -1.43,
            48.25,
            List.of(
                new SpanReport(12.5, 310.25),
                new SpanReport(402, 1190.5),
                new SpanReport(1300, 2350))),
        new OverloadReport(OverloadReport.Verdict.LINE_LEVEL, 19.2, 30.0, 0.94),
        List.of(
            new FindingReport(
                "clipping",
                FindingReport.Severity.FAULT,
                List.of(new SpanReport(12.5, 310.25), new SpanReport(402, 1190.5)),
                evidence("clippedSeconds", 48.25, "ceilingDbfs", -1.43, "asymmetric", false),
                "The tops are cut off through most of the evening.",
                "Use the recorder's Console channel instead; it holds the same feed undamaged. Next time"
                    + " put a 30 dB pad in the line.")));
  }

  static ChannelReport silent(int index, String name) {
    return new ChannelReport(
        index,
        name,
        Double.NEGATIVE_INFINITY,
        null,
        Double.NaN,
        null,
        null,
        null,
        null,
        null,
        0.0,
        ClippingReport.none(),
        OverloadReport.none(0),
        List.of());
  }

  static PlacementReport placed(
      double offset, double ppm, boolean inverted, double confidence, double residual, double len) {
    return new PlacementReport(
        PlacementReport.State.PLACED,
        offset,
        ppm,
        inverted,
        confidence,
        residual,
        len,
        List.of(),
        "Nine of ten windows agree on one line.");
  }

  private static LaneReport lane(String name, String role, int channel, double offset) {
    return new LaneReport(
        "lanes/" + name + ".wav",
        0,
        0L,
        86_401_920L,
        name,
        role,
        "CAM-A#1",
        List.of(channel),
        Math.round(offset * 48000),
        64800L * 48000 + Math.round(offset * 48000),
        48000,
        24,
        LaneReport.SampleFormat.PCM,
        86401920,
        false,
        0,
        0,
        "a".repeat(64));
  }

  /** The same lane with a role that nobody confirmed. */
  static LaneReport guessed(LaneReport lane) {
    return new LaneReport(
        lane.file(),
        lane.fileChannel(),
        lane.fileStartFrame(),
        lane.fileFrameCount(),
        lane.name(),
        lane.role(),
        true,
        lane.source(),
        lane.channels(),
        lane.startFrameOnReference(),
        lane.timeReferenceSamples(),
        lane.sampleRateHz(),
        lane.bitsPerSample(),
        lane.sampleFormat(),
        lane.frameCount(),
        lane.clockCorrected(),
        lane.clockBend(),
        lane.clampedSamples(),
        lane.leftOutMarkers(),
        lane.sha256());
  }

  /** The same lane of a clock that bends. */
  static LaneReport bent(LaneReport lane, boolean corrected, LaneReport.Bend bend) {
    return new LaneReport(
        lane.file(),
        lane.fileChannel(),
        lane.fileStartFrame(),
        lane.fileFrameCount(),
        lane.name(),
        lane.role(),
        lane.roleGuessed(),
        lane.source(),
        lane.channels(),
        lane.startFrameOnReference(),
        lane.timeReferenceSamples(),
        lane.sampleRateHz(),
        lane.bitsPerSample(),
        lane.sampleFormat(),
        lane.frameCount(),
        corrected,
        bend,
        lane.clampedSamples(),
        lane.leftOutMarkers(),
        lane.sha256());
  }

  /** A placement whose clock is {@code besideMs} off the line at 600 s, and on it 600 s away. */
  static PlacementReport bent(PlacementReport straight, double besideMs) {
    return new PlacementReport(
        straight.state(),
        straight.offsetSeconds(),
        straight.driftPpm(),
        straight.inverted(),
        straight.confidence(),
        straight.residualMs(),
        straight.overlapSeconds(),
        straight.via(),
        straight.why(),
        straight.otherPlaces(),
        straight.basis(),
        straight.flightSeconds(),
        new ClockBendReport(
            List.of(
                new ClockBendReport.Knot(0, 0),
                new ClockBendReport.Knot(600, besideMs / 1000),
                new ClockBendReport.Knot(1200, 0)),
            0.01,
            Math.abs(besideMs)));
  }

  static Map<String, @Nullable Object> evidence(@Nullable Object... keysAndValues) {
    Map<String, @Nullable Object> map = new LinkedHashMap<>();
    for (int i = 0; i < keysAndValues.length; i += 2) {
      map.put(String.valueOf(keysAndValues[i]), keysAndValues[i + 1]);
    }
    return map;
  }
}
