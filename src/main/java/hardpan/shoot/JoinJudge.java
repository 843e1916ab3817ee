package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.media.SourceFacts;
import hardpan.media.SourceFacts.ReadBy;
import hardpan.media.SourceFacts.SampleForm;
import hardpan.media.StreamCut;
import hardpan.signal.SeamTest;
import java.io.IOException;
import java.nio.file.Files;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.jspecify.annotations.Nullable;

/**
 * Judges whether one strip of files goes on where another ends. Names and format agree already;
 * they never suffice.
 *
 * <p>Uncompressed sound, and compressed sound whose encoder started anew with the file, is judged
 * by {@link SeamTest}. Where the encoder ran on, the first packet of the next file overlaps with
 * the last one of the file before, and any two packets fade into each other without a break: the
 * sound across such a cut proves nothing. There the stream itself is the witness: the clock of a
 * transport stream, or a first packet that is loud at once though it holds no encoder's start.
 */
final class JoinJudge {
  /** Where the time stamps say otherwise the sound must be as sure as it ever is. */
  private static final double SURE_NATS = 20;

  /** Frames of a packet of AAC. */
  private static final int PACKET = 1024;

  /** An encoder that starts with the file gives a first packet that is empty, or nearly so. */
  private static final double LEAST_FIRST_PACKET = 0.03;

  /** 60 dB. */
  private static final double MOST_LEVEL_RATIO = 1000;

  /** Quieter than the last step of 16 bits is nothing. */
  private static final double LEAST_ROOM = 1e-6;

  private static final double LEAST_LEVEL = 1e-4;

  /** Whole seconds of two stamps. */
  private static final double MOST_GAP_SECONDS = 1;

  private static final double NEAR_LIMIT = 0.96;

  private JoinJudge() {}

  /** What came of it. */
  enum Answer {
    PROVED,
    LIKELY,
    /** The sound says no. */
    REFUSED,
    /** Too little speaks for it. */
    APART
  }

  /**
   * A verdict on a cut.
   *
   * @param isOneStream whether the packets of both belong to one stream
   * @param startFrame first frame of the later one, counted in frames of the earlier one
   * @param weight how much speaks for it; only good for sorting
   * @param why one sentence
   */
  record Verdict(
      Answer answer,
      boolean isOneStream,
      long startFrame,
      double weight,
      PartTimes times,
      String why) {
    /** Without any evidence. */
    static Verdict apart(String why) {
      return new Verdict(Answer.APART, false, 0, 0, PartTimes.NOTHING, why);
    }

    boolean joins() {
      return answer == Answer.PROVED || answer == Answer.LIKELY;
    }
  }

  static Verdict judge(Strip before, Strip after, boolean stampsAreEnds) {
    PartTimes times = PartTimes.between(before.first(), after.first(), stampsAreEnds);
    try {
      Verdict stream = stream(before, after, times);
      return stream != null ? stream : sound(before, after, times);
    } catch (MediaException e) {
      return new Verdict(Answer.APART, false, 0, 0, times, e.sentence());
    }
  }

  /** The verdict of the stream, or null where it has none. */
  private static @Nullable Verdict stream(Strip before, Strip after, PartTimes times)
      throws MediaException {
    Analysis first = before.first().analysis();
    Analysis second = after.first().analysis();
    if (first == null || second == null || before.sources().size() > 1) {
      return null;
    }
    SourceFacts facts = first.facts();
    if (facts.sampleForm() != SampleForm.LOSSY || facts.readBy() != ReadBy.NATIVE) {
      return null;
    }
    StreamCut cut =
        StreamCut.between(before.first().file(), first.frameCount(), after.first().file());
    if (cut.kind() == StreamCut.Kind.CLOCK_GOES_ON) {
      if (isAnotherRoom(first, second)) {
        String why = "one side of the cut is silent as no running recording is";
        return new Verdict(Answer.REFUSED, false, 0, 0, times, why);
      }
      return new Verdict(
          times.says() == PartTimes.Says.DISAGREE ? Answer.LIKELY : Answer.PROVED,
          true,
          cut.startFrame(),
          1e6,
          times,
          "the transport stream's clock goes on across the cut");
    }
    if (cut.kind() == StreamCut.Kind.OWN_START) {
      return null;
    }
    if (cut.kind() != StreamCut.Kind.MAY_RUN_ON || !isLoudAtOnce(first, second)) {
      // What a decoder gives first fades in; put behind another file it would be a hole.
      return new Verdict(Answer.APART, false, 0, 0, times, "nothing tells that the encoder ran on");
    }
    Answer answer = ranOn(times, isFull(before.first()));
    return new Verdict(
        answer,
        true,
        cut.startFrame(),
        1000,
        times,
        "the next file begins in the middle of a running encoder's stream" + timeWords(times));
  }

  /**
   * The answer for a stream that may run on. Two unrelated sounds may look so, and stamps of whole
   * seconds agree by chance; so nothing is proved here.
   */
  static Answer ranOn(PartTimes times, boolean isFull) {
    boolean near =
        times.says() == PartTimes.Says.AGREE || times.says() == PartTimes.Says.AGREE_ON_DISK;
    boolean likely =
        (near && Math.abs(times.gapSeconds()) <= MOST_GAP_SECONDS)
            || (isFull && times.says() != PartTimes.Says.DISAGREE);
    return likely ? Answer.LIKELY : Answer.APART;
  }

  /** Whether the later file's first packet is about as loud as the sound around it. */
  private static boolean isLoudAtOnce(Analysis before, Analysis after) throws MediaException {
    float[][] tail = before.edges().tail();
    float[][] head = after.edges().head();
    double last = 0;
    double packet = 0;
    double next = 0;
    for (int c = 0; c < Math.min(tail.length, head.length); c++) {
      last = Math.max(last, level(tail[c], tail[c].length - 2 * PACKET, tail[c].length));
      packet = Math.max(packet, level(head[c], 0, PACKET));
      next = Math.max(next, level(head[c], PACKET, 3 * PACKET));
    }
    double around = Math.min(last, next);
    return around >= LEAST_LEVEL && packet >= LEAST_FIRST_PACKET * around;
  }

  /**
   * Whether the quietest moments of both sides differ by more than any pause does. Of such a cut
   * the sound can say no more than that.
   */
  private static boolean isAnotherRoom(Analysis before, Analysis after) throws MediaException {
    double end = quietest(before.edges().tail());
    double start = quietest(after.edges().head());
    return Math.max(end, start) >= MOST_LEVEL_RATIO * Math.max(LEAST_ROOM, Math.min(end, start));
  }

  /** Level of the quietest packet but the outer two, which a decoder may fade; loudest channel. */
  private static double quietest(float[][] sound) {
    double loudest = 0;
    for (float[] channel : sound) {
      double quiet = Double.POSITIVE_INFINITY;
      for (int at = 2 * PACKET; at + 3 * PACKET <= channel.length; at += PACKET) {
        quiet = Math.min(quiet, level(channel, at, at + PACKET));
      }
      loudest = Math.max(loudest, quiet == Double.POSITIVE_INFINITY ? 0 : quiet);
    }
    return loudest;
  }

  private static double level(float[] sound, int from, int to) {
    double power = 0;
    int start = Math.max(0, from);
    int end = Math.min(sound.length, to);
    for (int i = start; i < end; i++) {
      power += sound[i] * sound[i];
    }
    return end > start ? Math.sqrt(power / (end - start)) : 0;
  }

  private static Verdict sound(Strip before, Strip after, PartTimes times) throws MediaException {
    SeamTest.Result result = SeamTest.test(edges(before, false), edges(after, true));
    String figures =
        String.format(
            Locale.ROOT,
            " (how well it fits: %+.1f at the cut; inside the files %+.1f is usual, false cuts stay below %+.1f)",
            result.nats(),
            result.usualNats(),
            result.falseNats());
    boolean disagree = times.says() == PartTimes.Says.DISAGREE;
    Answer answer;
    String why;
    switch (result.answer()) {
      case GOES_ON -> {
        answer = disagree && result.nats() < SURE_NATS ? Answer.APART : Answer.PROVED;
        why = "the sound goes on across the cut" + figures;
      }
      case BROKEN -> {
        answer = Answer.REFUSED;
        why = "the sound does not go on across the cut" + figures;
      }
      default -> {
        boolean supported =
            times.agree() || (!disagree && before.sources().stream().allMatch(JoinJudge::isFull));
        answer = supported ? Answer.LIKELY : Answer.APART;
        String support =
            times.agree() ? timeWords(times) : ", the file before is as large as a file can be";
        why =
            "the sound at the cut can neither prove nor deny it"
                + (supported ? support : ", and nothing else speaks for it");
      }
    }
    return new Verdict(answer, false, before.frameCount(), result.nats(), times, why);
  }

  /** Whether the sound alone proves that one file goes on in another. */
  static boolean goesOn(ShootSource before, ShootSource after) {
    try {
      float[][] end = edges(new Strip(List.of(before)), false);
      float[][] start = edges(new Strip(List.of(after)), true);
      return SeamTest.test(end, start).answer() == SeamTest.Answer.GOES_ON;
    } catch (MediaException e) {
      return false;
    }
  }

  private static String timeWords(PartTimes times) {
    return times.agree()
        ? String.format(
            Locale.ROOT,
            ", the time stamps agree within %.1f s",
            Math.max(0.1, Math.abs(times.gapSeconds())))
        : "";
  }

  private static float[][] edges(Strip strip, boolean heads) throws MediaException {
    List<float[]> channels = new ArrayList<>();
    for (ShootSource source : strip.sources()) {
      Analysis analysis = source.analysis();
      if (analysis != null && channels.size() < EdgeSound.MOST_CHANNELS) {
        channels.addAll(List.of(heads ? analysis.edges().head() : analysis.edges().tail()));
      }
    }
    return channels.toArray(new float[0][]);
  }

  /** Whether a file is about as large as file systems and headers let it grow: 2 or 4 GiB. */
  private static boolean isFull(ShootSource source) {
    try {
      long size = Files.size(source.file());
      for (long limit : new long[] {1L << 31, 1L << 32}) {
        if (size <= limit + (1 << 20) && size >= NEAR_LIMIT * limit) {
          return true;
        }
      }
      return false;
    } catch (IOException e) {
      return false;
    }
  }
}
