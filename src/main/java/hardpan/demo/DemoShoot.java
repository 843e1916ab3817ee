package hardpan.demo;

import hardpan.demo.ClipPlan.Format;
import hardpan.demo.ClipPlan.Source;
import hardpan.demo.DemoTruth.ChannelTruth;
import hardpan.demo.DemoTruth.PlacementTruth;
import hardpan.demo.DemoTruth.SourceTruth;
import hardpan.demo.DeviceChain.Electronics;
import java.time.OffsetDateTime;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * The demo shoot: a lantern evening in the village hall of Quillenthwaite, a place that does not
 * exist. Caspian Threlk and Perpetua Holm speak, the Quillenthwaite Eight sing. This class says
 * which files there are and what is true about them; {@link DemoMaker} makes them.
 */
public final class DemoShoot {
  /** Name of the shoot's folder. */
  public static final String NAME = "lantern-evening";

  /** Raised whenever the made files or their truth change. */
  public static final int MAKER_VERSION = 1;

  /** Path of the recording everything is lined up to. */
  public static final String REFERENCE = "REC/take-01.wav";

  static final long SEED = 20260516L;
  static final double RECORDING_SECONDS = 180;
  static final OffsetDateTime STARTED_AT = OffsetDateTime.parse("2026-05-16T19:30:00+02:00");
  static final List<String> TRACK_NAMES = List.of("Lectern", "Lapel", "Board", "Room");

  private static final double WIRE_TOLERANCE_MS = 0.05;
  private static final double AIR_TOLERANCE_MS = 1;
  private static final double CEILING = 0.89;
  private static final double EXCESS_DB = 19;

  private static final int LECTERN = 0;
  private static final int LAPEL = 1;
  private static final int BOARD = 2;

  private static final String RULE =
      "reference seconds = offsetSeconds + clip seconds x (1 + driftPpm x 0.000001); clip second 0 is"
          + " the clip's first decoded sample after edit lists, reference second 0 the first sample of"
          + " the reference; offsets line up the first arrival of the sound in the clip with the"
          + " reference's direct feed, so a distant camera's flight time is in them";

  static final ClipPlan FIRST_SPLIT =
      new ClipPlan(
          "CAM-A/CLIP0001.MOV",
          Source.SPLIT,
          Format.MOV_PCM,
          new ClipClock(4_271_318_907L, 23_400, 48000),
          52,
          OffsetDateTime.parse("2026-05-16T19:30:07+02:00"),
          splitElectronics(),
          null);
  static final ClipPlan SECOND_SPLIT =
      new ClipPlan(
          "CAM-A/CLIP0002.MOV",
          Source.SPLIT,
          Format.MOV_PCM,
          new ClipClock(66_904_552_613L, 23_400, 48000),
          40,
          OffsetDateTime.parse("2026-05-16T19:31:09+02:00"),
          splitElectronics(),
          null);
  static final ClipPlan HOT =
      new ClipPlan(
          "CAM-B/VID_0107.MP4",
          Source.BOARD,
          Format.MP4_AAC,
          new ClipClock(41_800_731_259L, -41_700, 48000),
          100,
          OffsetDateTime.parse("2026-05-16T19:29:54+02:00"),
          new Electronics(new double[] {1, 0.99}, new double[] {1.2e-4, 1.3e-4}, CEILING, false),
          EXCESS_DB);
  static final ClipPlan BALANCED =
      new ClipPlan(
          "CAM-C/00004.MTS",
          Source.BOARD,
          Format.TS_AC3,
          new ClipClock(-7_360_442_871L, -17_900, 48000),
          95,
          OffsetDateTime.parse("2026-05-16T19:29:53+02:00"),
          new Electronics(new double[] {0.45, -0.45}, new double[] {7e-5, 7e-5}, null, false),
          null);
  static final ClipPlan FAR =
      new ClipPlan(
          "CAM-D/HALL0019.MP4",
          Source.FAR,
          Format.MP4_AAC_44,
          new ClipClock(70_518_264_033L, 52_600, 44100),
          105,
          OffsetDateTime.parse("2026-05-16T18:31:10+02:00"),
          new Electronics(new double[] {1, 0.96}, new double[] {5e-4, 5e-4}, null, true),
          null);
  static final ClipPlan STRANGER =
      new ClipPlan(
          "CAM-E/OLD_0342.MP4",
          Source.OTHER_EVENING,
          Format.MP4_AAC,
          new ClipClock(1_318_640_277L, 11_200, 48000),
          58,
          OffsetDateTime.parse("2026-05-09T20:14:31+02:00"),
          new Electronics(new double[] {0.8, 0.8}, new double[] {3e-4, 3e-4}, null, true),
          null);

  private DemoShoot() {}

  private static Electronics splitElectronics() {
    return new Electronics(new double[] {0.9, 1.1}, new double[] {8e-5, 7e-5}, null, false);
  }

  static List<ClipPlan> clips() {
    return List.of(FIRST_SPLIT, SECOND_SPLIT, HOT, BALANCED, FAR, STRANGER);
  }

  /** What is true about the shoot; always the same. */
  public static DemoTruth truth() {
    List<SourceTruth> sources = new ArrayList<>();
    sources.add(
        wired(
            FIRST_SPLIT,
            "isolated",
            split(),
            "Two microphones through a splitter into one camera: the lectern left, the lapel right."
                + " Each also hears the other speaker faintly, some 6 ms late."));
    sources.add(
        wired(
            SECOND_SPLIT,
            "isolated",
            split(),
            "The same camera after a pause, so the same clock. Perpetua Holm speaks; Caspian Threlk"
                + " throws in a word or two."));
    sources.add(
        wired(
            HOT,
            "same-signal",
            List.of(
                hears(0, "console, clipped", EXCESS_DB, BOARD),
                hears(1, "console, clipped", EXCESS_DB, BOARD)),
            "The console's line output went into the microphone jack without a pad: both sides carry"
                + " the same sound, cut off at -1 dBFS for most of the time. The recorder has it"
                + " clean on its third track."));
    sources.add(
        wired(
            BALANCED,
            "inverted",
            List.of(
                hears(0, "console", null, BOARD), hears(1, "console, upside down", null, BOARD)),
            "The console's balanced output arrived on tip and ring, so the right side is the left side"
                + " upside down; added to mono they cancel. Began before the recorder. The sound"
                + " track starts with 256 frames of the AC-3 coder's run-up, which belong to the"
                + " clip as it is decoded."));
    sources.add(far());
    sources.add(stranger());
    sources.add(reference());
    sources.sort(Comparator.comparing(SourceTruth::path));
    return new DemoTruth(
        DemoTruth.FORMAT,
        DemoTruth.FORMAT_VERSION,
        NAME,
        MAKER_VERSION,
        SEED,
        REFERENCE,
        RULE,
        sources);
  }

  private static List<ChannelTruth> split() {
    return List.of(
        hears(0, "lectern microphone", null, LECTERN), hears(1, "lapel microphone", null, LAPEL));
  }

  private static ChannelTruth hears(
      int index, String what, @Nullable Double excessDb, int twinChannel) {
    String twin = twinChannel < 0 ? null : REFERENCE + "#" + twinChannel;
    return new ChannelTruth(index, what, excessDb == null ? "none" : "line-level", excessDb, twin);
  }

  private static SourceTruth wired(
      ClipPlan clip, String pair, List<ChannelTruth> channels, String story) {
    Boolean inverted = pair.equals("inverted") ? null : Boolean.FALSE;
    PlacementTruth placement =
        new PlacementTruth(
            "placed",
            clip.clock().offsetNanos() / 1e9,
            clip.clock().driftPpb() / 1e3,
            inverted,
            true,
            WIRE_TOLERANCE_MS,
            0.0);
    return source(clip, pair, placement, channels, story);
  }

  private static SourceTruth far() {
    long flightNanos = Math.round(Stage.FAR_METRES / Stage.METRES_PER_SECOND * 1e9);
    PlacementTruth placement =
        new PlacementTruth(
            "placed",
            (FAR.clock().offsetNanos() - flightNanos) / 1e9,
            FAR.clock().driftPpb() / 1e3,
            false,
            false,
            AIR_TOLERANCE_MS,
            Stage.FAR_METRES);
    return source(
        FAR,
        "stereo",
        placement,
        List.of(
            hears(0, "hall, built-in left", null, -1), hears(1, "hall, built-in right", null, -1)),
        "A camera at the back of the hall with its built-in pair: 15 m from the speakers and the"
            + " choir, more room than voice, gain riding slowly. Its calendar is still on winter"
            + " time.");
  }

  private static SourceTruth stranger() {
    return source(
        STRANGER,
        "stereo",
        new PlacementTruth("unplaced", null, null, null, false, null, null),
        List.of(hears(0, "another room", null, -1), hears(1, "another room", null, -1)),
        "Left on the card from another evening: other people in another room. It belongs nowhere.");
  }

  private static SourceTruth source(
      ClipPlan clip,
      String pair,
      PlacementTruth placement,
      List<ChannelTruth> channels,
      String story) {
    return new SourceTruth(
        clip.path(),
        clip.device(),
        "clip",
        clip.clock().rateHz(),
        clip.seconds(),
        pair,
        placement,
        channels,
        story);
  }

  private static SourceTruth reference() {
    List<ChannelTruth> channels = new ArrayList<>();
    for (int i = 0; i < TRACK_NAMES.size(); i++) {
      channels.add(hears(i, TRACK_NAMES.get(i).toLowerCase(Locale.ROOT), null, -1));
    }
    return new SourceTruth(
        REFERENCE,
        "REC",
        "recording",
        Stage.RATE_HZ,
        RECORDING_SECONDS,
        null,
        null,
        channels,
        "The recorder ran all evening: lectern and lapel microphone at the mouth, the console's sum of"
            + " all microphones without delay, and a microphone in the room that hears everything"
            + " some 10 ms later.");
  }
}
