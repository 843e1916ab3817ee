package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import java.util.Arrays;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.EnumSource;

class SentencesTest {
  @Test
  void overviewCountsEverySourceOnce() {
    List<String> overview = Sentences.overview(SampleReports.honeyEvening());
    assertEquals("2 of 7 sources have faults, 1 has no place.", overview.get(0));
    assertEquals(
        "7 sources: the reference, 3 placed on it, 1 fits in more than one place, 1 found no"
            + " place, 1 cannot be read.",
        overview.get(1));
    assertEquals(
        "All times are on the clock of the reference, REC/evening-01.wav.", overview.get(2));
    assertEquals(
        "3 lanes were written, 1 of them without a place on the reference.", overview.get(3));
    assertEquals(List.of("No source was found."), Sentences.overview(SampleReports.empty()));
    assertEquals(
        List.of("1 source: 1 not lined up."),
        Sentences.overview(
            SampleReports.withSources(
                SampleReports.clip(
                    "a.mov", "a", 1, "2026-01-01T00:00:00Z", null, List.of(), null))));
  }

  @Test
  void aPlacedSource() {
    PlacementReport placement =
        new PlacementReport(
            PlacementReport.State.PLACED,
            12.345,
            23.4,
            false,
            0.987,
            0.123,
            61.0,
            List.of("CAM-A/a1.mov", "CAM-C/c4.mov"),
            "Nine windows agree.");
    // 23.4 millionths of 3600 s are 84.24 ms.
    assertEquals(
        "Starts 12.345 s after the reference began, clock +23.4 ppm (an hour of it is 84.2 ms longer on"
            + " the reference), measured within 0.12 ms, 1 min 1 s in common, 98 % sure. Placed"
            + " through CAM-A/a1.mov, then CAM-C/c4.mov. Nine windows agree.",
        Sentences.placementSentence(placement));
  }

  /** A place that a person gave; its sound says others, or nothing. */
  private static PlacementReport byHand(double offsetSeconds, double... soundSays) {
    return new PlacementReport(
        PlacementReport.State.PLACED,
        offsetSeconds,
        0.0,
        false,
        1,
        null,
        null,
        List.of(),
        "Pinned by hand.",
        Arrays.stream(soundSays)
            .mapToObj(says -> new OtherPlaceReport(says, 0, false, 0.99))
            .toList(),
        PlacementReport.Basis.HAND,
        null,
        null);
  }

  private static List<FirstLooks.Look> looks(PlacementReport placement) {
    return FirstLooks.of(
        SampleReports.clip(
            "CAM-B/b1.mov", "CAM-B", 10, "2026-09-19T18:00:00Z", null, List.of(), placement));
  }

  @Test
  void aPlaceByHandAgainstItsSoundIsAWarning() {
    List<FirstLooks.Look> looks = looks(byHand(12, 8));
    assertEquals(1, looks.size());
    assertEquals(FindingReport.Severity.WARNING, looks.get(0).severity());
    assertEquals("Put by hand at 0:12.000; its sound fits at 0:08.000.", looks.get(0).says());
    // Set more finely, one of several places its sound says, or none: nothing gainsays it.
    assertEquals(List.of(), looks(byHand(8.04, 8)));
    assertEquals(List.of(), looks(byHand(20, 8, 20)));
    assertEquals(List.of(), looks(byHand(12)));
    assertFalse(Sentences.placementSentence(byHand(12, 8)).contains("sure"));
  }

  @Test
  void whatAPersonLeftOutIsNoWarning() {
    PlacementReport leftOut = PlacementReport.unplaced(1, "Left out of the line-up by hand.");
    assertEquals(List.of(), looks(leftOut));
    assertEquals(1, looks(PlacementReport.unplaced(0.96, "No common sound.")).size());
  }

  /** A place that a person gave is no finding of the line-up. */
  @Test
  void placesGivenByHandAreCountedApart() {
    PlacementReport hand = byHand(3);
    String when = "2026-09-19T18:00:00+02:00";
    Report report =
        SampleReports.withSources(
            SampleReports.clip(
                "CAM-A/a1.mov",
                "CAM-A",
                10,
                when,
                null,
                List.of(),
                SampleReports.placed(1, 0, false, 1, 0, 1)),
            SampleReports.clip("CAM-B/b1.mov", "CAM-B", 10, when, null, List.of(), hand));
    assertTrue(
        Sentences.overview(report).get(0).contains("1 placed on it, 1 placed by hand"),
        Sentences.overview(report).get(0));
  }

  @Test
  void aLaneSaysWhetherItFollowsItsBentClock() {
    LaneReport lane = SampleReports.honeyEvening().lanes().get(0);
    assertEquals(List.of(), Sentences.laneRemarks(lane));
    assertEquals(
        List.of("clock corrected along its bend"),
        Sentences.laneRemarks(SampleReports.bent(lane, true, LaneReport.Bend.FOLLOWED)));
    assertEquals(
        List.of("bend of the clock not followed: with its drift less than 10 ms"),
        Sentences.laneRemarks(SampleReports.bent(lane, false, LaneReport.Bend.TOO_SMALL)));
    assertEquals(
        List.of("bend of the clock not followed: correcting clocks was switched off"),
        Sentences.laneRemarks(SampleReports.bent(lane, false, LaneReport.Bend.SWITCHED_OFF)));
  }

  @Test
  void beforeTheReferenceWithOppositePolarity() {
    PlacementReport placement =
        new PlacementReport(
            PlacementReport.State.PLACED, -75.5, 0.0, true, 1, null, null, List.of(), "");
    assertEquals(
        "Starts 75.500 s before the reference began (1:15.500), clock 0.0 ppm, 100 % sure. Its"
            + " polarity is opposite to the reference's.",
        Sentences.placementSentence(placement));
    assertTrue(
        Sentences.placementSentence(SampleReports.placed(0.0001, 0, false, 1, 0, 1))
            .startsWith("Starts with the reference, clock"));
  }

  @Test
  void refusals() {
    assertEquals(
        "No place was found on the reference (97 % sure that there is none). Too little sound.",
        Sentences.placementSentence(PlacementReport.unplaced(0.97, "Too little sound.")));
    PlacementReport ambiguous =
        new PlacementReport(
            PlacementReport.State.AMBIGUOUS, 10.0, null, false, 0.5, null, null, List.of(), "");
    assertEquals(
        "Fits in more than one place; the best starts 10.000 s after the reference began, 50 % sure.",
        Sentences.placementSentence(ambiguous));
  }

  @Test
  void pairsSayTheirNumbers() {
    assertEquals(
        "Left and right are two signals of their own (correlation 0.04, right 2.3 dB quieter,"
            + " bleed -21.4 dB, confidence 97 %).",
        Sentences.pairSentence(
            new PairReport(PairReport.Verdict.ISOLATED, 0.97, 0.04, -2.31, 0.0, -21.4)));
    assertEquals(
        "Right is a copy of left, 12.0 dB lower (correlation 1.00, right 0.25 ms later, confidence"
            + " 90 %).",
        Sentences.pairSentence(
            new PairReport(PairReport.Verdict.LOWER_COPY, 0.9, 1.0, -12.0, 0.00025, null)));
    assertTrue(
        Sentences.pairSentence(
                new PairReport(PairReport.Verdict.LOWER_COPY, 0.9, 1.0, 12.0, 0.0, null))
            .startsWith("Left is a copy of right, 12.0 dB lower"));
    assertTrue(
        Sentences.pairSentence(
                new PairReport(PairReport.Verdict.ONE_SILENT, 0.9, null, -60.0, null, null))
            .startsWith("The right side carries no sound of its own"));
    assertTrue(
        Sentences.pairSentence(
                new PairReport(PairReport.Verdict.STEREO, 0.9, 0.5, 0.0, -0.0003, null))
            .contains("equally loud, right 0.30 ms earlier"));
  }

  @ParameterizedTest
  @EnumSource(PairReport.Verdict.class)
  void everyPairVerdictHasItsOwnWords(PairReport.Verdict verdict) {
    Set<String> seen = new HashSet<>();
    for (PairReport.Verdict other : PairReport.Verdict.values()) {
      PairReport bare = new PairReport(other, 0.5, null, null, null, null);
      assertTrue(seen.add(Sentences.pairSentence(bare)), other.word());
      assertTrue(seen.add(PairWiring.cause(other)), other.word());
      assertTrue(seen.add(PairWiring.remedy(other)), other.word());
    }
    for (String text : List.of(PairWiring.cause(verdict), PairWiring.remedy(verdict))) {
      assertTrue(text.endsWith("."), text);
      assertFalse(text.contains("  "), text);
    }
  }

  @Test
  void causesNameTheContacts() {
    String inverted = PairWiring.cause(PairReport.Verdict.INVERTED);
    assertTrue(inverted.contains("tip carries pin 2 (hot)"), inverted);
    assertTrue(inverted.contains("ring pin 3 (cold)"), inverted);
    assertTrue(PairWiring.cause(PairReport.Verdict.ISOLATED).contains("splitter"));
    assertTrue(PairWiring.remedy(PairReport.Verdict.SAME_SIGNAL).contains("writes one lane"));
  }

  @Test
  void overloadAndPad() {
    assertEquals(
        "A line level went into a microphone input, too hot by about 19 dB (confidence 94 %). Put"
            + " a 30 dB pad in the line, or turn the console's output down by as much.",
        Sentences.overloadSentence(
            new OverloadReport(OverloadReport.Verdict.LINE_LEVEL, 19.2, 30.0, 0.94)));
    assertEquals(
        "Loud moments were too hot (confidence 70 %). Set the input gain lower next time.",
        Sentences.overloadSentence(
            new OverloadReport(OverloadReport.Verdict.OCCASIONAL, null, null, 0.7)));
    assertNotEquals(
        Sentences.overloadSentence(OverloadReport.none(0.9)),
        Sentences.overloadSentence(
            new OverloadReport(OverloadReport.Verdict.LINE_LEVEL, null, null, 0.9)));
  }

  @Test
  void clipping() {
    assertEquals("No clipping was found.", Sentences.clippingSentence(ClippingReport.none()));
    assertEquals(
        "Clipped at -1.4 dBFS: tops cut off for 12.5 ms in all, in 1 stretch.",
        Sentences.clippingSentence(
            new ClippingReport(true, -1.43, 0.0125, List.of(new SpanReport(1, 2)))));
    assertEquals(
        "Clipped: tops cut off for 48.25 s in all.",
        Sentences.clippingSentence(new ClippingReport(true, null, 48.25, List.of())));
  }

  @Test
  void errors() {
    assertEquals(
        "Cannot be opened: No permission to read a.mov.",
        Sentences.errorSentence(
            new ErrorReport(ErrorReport.Code.IO, "No permission to read a.mov.")));
    assertEquals(
        ErrorReport.Code.UNSUPPORTED,
        ErrorReport.of(new hardpan.base.UnsupportedMediaException("No.")).code());
  }

  @Test
  void cautionsSayTheThreeThings() {
    String all = String.join(" ", Sentences.usualCautions());
    assertTrue(all.contains("harms hearing"));
    assertTrue(all.contains("Never lift the mains earth"));
    assertTrue(all.contains("phantom power off"));
  }

  @Test
  void firstLooksAreWorstFirstAndMergeChannels() {
    List<FirstLooks.Look> looks = FirstLooks.of(SampleReports.honeyEvening());
    int lastFault = -1;
    int firstWarning = looks.size();
    for (int i = 0; i < looks.size(); i++) {
      if (looks.get(i).severity() == FindingReport.Severity.FAULT) {
        lastFault = i;
      } else {
        firstWarning = Math.min(firstWarning, i);
      }
    }
    assertEquals(7, looks.size());
    assertEquals(2, lastFault);
    assertEquals(3, firstWarning);
    FirstLooks.Look hot = looks.get(1);
    assertEquals(List.of("left", "right"), hot.channels());
    assertTrue(hot.says().startsWith("The tops are cut off"), hot.says());
    // The finding says it all; the verdict on the feed behind it is not said beside it.
    assertFalse(hot.says().contains("line level"), hot.says());
    assertTrue(hot.remedy().contains("recorder's Console channel"), hot.remedy());
    assertTrue(looks.stream().noneMatch(look -> look.says().contains("Speech is low")));
    assertEquals(List.of(), FirstLooks.of(SampleReports.empty()));
  }

  private static FindingReport hum(FindingReport.Severity severity, String db) {
    return new FindingReport(
        "hum",
        severity,
        List.of(),
        Map.of(),
        "Mains hum. It is " + db + " dB below speech. It can be heard in pauses.",
        "Take it out with a notch.");
  }

  private static List<FirstLooks.Look> looks(ChannelReport... channels) {
    return FirstLooks.of(
        SampleReports.withSources(
            SampleReports.clip(
                "CAM-A/one.mov",
                "CAM-A",
                60,
                "2026-09-19T18:00:00Z",
                new PairReport(PairReport.Verdict.STEREO, 1, 1.0, 0.0, 0.0, null),
                List.of(channels),
                null)));
  }

  @Test
  void oneFaultOnBothSidesIsOneEntryWithEachSidesNumbers() {
    FindingReport.Severity warning = FindingReport.Severity.WARNING;
    FindingReport.Severity fault = FindingReport.Severity.FAULT;
    ChannelReport left = SampleReports.channel(0, "left", -6, -20);
    ChannelReport right = SampleReports.channel(1, "right", -6, -20);
    List<FirstLooks.Look> both =
        looks(
            SampleReports.withFindings(left, hum(warning, "31")),
            SampleReports.withFindings(right, hum(fault, "24")));
    assertEquals(
        List.of(
            new FirstLooks.Look(
                fault,
                "CAM-A/one.mov",
                List.of("left", "right"),
                "Mains hum. Left: It is 31 dB below speech. Right: It is 24 dB below speech. It can"
                    + " be heard in pauses.",
                "Take it out with a notch.")),
        both);
    // Twice on each side is two entries; what is said in the same words goes together first.
    List<FirstLooks.Look> twice =
        looks(
            SampleReports.withFindings(left, hum(warning, "31"), hum(warning, "12")),
            SampleReports.withFindings(right, hum(warning, "12"), hum(warning, "30")));
    assertEquals(2, twice.size());
    assertTrue(twice.stream().allMatch(look -> look.channels().equals(List.of("left", "right"))));
    assertTrue(twice.get(0).says().contains("Left: It is 31 dB below speech. Right: It is 30 dB"));
    assertTrue(twice.get(1).says().startsWith("Mains hum. It is 12 dB"));
  }

  /** Three microphones of a recorder are three places to look at. */
  @Test
  void channelsThatAreNoPairKeepTheirOwnEntries() {
    FindingReport.Severity warning = FindingReport.Severity.WARNING;
    List<FirstLooks.Look> looks =
        looks(
            SampleReports.withFindings(
                SampleReports.channel(0, "Pulpit", -6, -20), hum(warning, "31")),
            SampleReports.withFindings(
                SampleReports.channel(1, "Choir", -6, -20), hum(warning, "31")),
            SampleReports.withFindings(
                SampleReports.channel(2, "Organ", -6, -20), hum(warning, "24")));
    assertEquals(
        List.of(List.of("Pulpit", "Choir"), List.of("Organ")),
        looks.stream().map(FirstLooks.Look::channels).toList());
  }

  @Test
  void twoSidesSayOnceWhatBothSay() {
    assertEquals("Too hot.", SideBySideWords.of("left", "Too hot.", "right", "Too hot."));
    assertEquals(
        "Left: Cut. Take care.",
        SideBySideWords.of("left", "Cut. Take care.", "right", "Take care."));
    assertEquals("Right: Wait.", SideBySideWords.of("left", "", "right", "Wait."));
    assertEquals("", SideBySideWords.of("left", "", "right", ""));
  }
}
