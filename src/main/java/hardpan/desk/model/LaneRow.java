package hardpan.desk.model;

import hardpan.lanes.Lane;
import hardpan.lanes.LaneOffer;
import hardpan.shoot.LaneList;
import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * One lane in the list of lanes.
 *
 * @param lane the lane
 * @param sideWords which part of its source it is
 * @param stateWords why it is not written, or is although it holds nothing; may be empty
 * @param isNamed whether somebody, or the recorder, said what it is called
 * @param damage faults of its source in a few words each, the first thing to know
 * @param faultKinds the same faults without what can be taken instead
 * @param warnings what should be listened to first, in a few words each
 * @param isPutByHand whether a person gave its source's place
 * @param isDoubtful whether its sound gainsays that place
 * @param cautions what else to know before it is written
 */
public record LaneRow(
    LaneList.Row lane,
    String sideWords,
    String stateWords,
    boolean isNamed,
    List<String> damage,
    List<String> faultKinds,
    List<String> warnings,
    boolean isPutByHand,
    boolean isDoubtful,
    List<String> cautions) {
  /** Copies the lists. */
  public LaneRow {
    damage = List.copyOf(damage);
    faultKinds = List.copyOf(faultKinds);
    warnings = List.copyOf(warnings);
    cautions = List.copyOf(cautions);
  }

  static LaneRow of(LaneList.Row lane, int channelCount, boolean isNamed, LaneDamage damage) {
    List<String> cautions = new ArrayList<>();
    if (lane.unplaced()) {
      cautions.add(Texts.of("lane.caution.unplaced"));
    }
    if (lane.rounded()) {
      cautions.add(Texts.of("lane.caution.rounded"));
    }
    if (lane.corrected()) {
      cautions.add(Texts.of("lane.caution.corrected"));
    }
    if (lane.isWritten() && lane.pair() == LaneOffer.Twin.KEPT_APART) {
      cautions.add(Texts.of("lane.caution.twin"));
    }
    if (!damage.place().isEmpty()) {
      cautions.add(damage.place());
    }
    return new LaneRow(
        lane,
        side(lane, channelCount),
        state(lane),
        isNamed,
        List.copyOf(damage.faults()),
        List.copyOf(damage.kinds()),
        List.copyOf(damage.warnings()),
        !damage.place().isEmpty(),
        damage.doubtful(),
        cautions);
  }

  private static String side(LaneList.Row lane, int channelCount) {
    if (lane.pair() == LaneOffer.Twin.MERGED) {
      return Texts.of(lane.channels().size() == 2 ? "lane.side.difference" : "lane.side.same");
    }
    if (channelCount == 1) {
      return Texts.of("lane.side.only");
    }
    if (channelCount == 2) {
      return Texts.of(lane.key() == 0 ? "lane.side.left" : "lane.side.right");
    }
    return Texts.of("lane.side.channel", lane.key() + 1);
  }

  private static String state(LaneList.Row lane) {
    return switch (lane.state()) {
      case WRITTEN -> "";
      case WANTED -> Texts.of("lane.state.wanted");
      case SILENT -> Texts.of("lane.state.silent");
      case CROSSTALK -> Texts.of("lane.state.crosstalk");
      case UNWANTED -> Texts.of("lane.state.unwanted");
    };
  }

  /** Whether it is the same lane, whatever is decided about it. */
  public boolean isSame(@Nullable LaneRow other) {
    return other != null
        && lane.source().equals(other.lane.source())
        && lane.key() == other.lane.key();
  }

  /** What it is written as, {@code 24 bit, 48 kHz}; empty if it is not. */
  public String formatWords() {
    Lane.Format format = lane.format();
    if (format == null) {
      return "";
    }
    String rate =
        format.rateHz() % 1000 == 0
            ? Integer.toString(format.rateHz() / 1000)
            : Double.toString(format.rateHz() / 1000.0);
    return Texts.of(format.isFloat() ? "lane.format.float" : "lane.format", format.bits(), rate);
  }

  /** What it is; said to be a guess as long as nobody confirmed it. */
  public String roleWords() {
    return lane.roleGuessed() ? Texts.of("lane.role.guess", lane.role()) : lane.role();
  }

  /** What it is called; said to be no name as long as nobody gave one. */
  public String nameWords() {
    return isNamed ? lane.name() : Texts.of("lane.name.none", lane.name());
  }

  /** Whether it is written. */
  public boolean isWritten() {
    return lane.isWritten();
  }

  /** Whether two sides of opposite polarity are made into one that is right. */
  public boolean isPolarityMended() {
    return lane.pair() == LaneOffer.Twin.MERGED && lane.channels().size() == 2;
  }

  /** Where it starts on the reference; empty if it has no place. */
  public String startWords() {
    Double start = lane.startSeconds();
    return start == null ? "" : Times.clock(start, 1);
  }

  /** How long its source is. */
  public String lengthWords() {
    return Times.clock(lane.seconds(), 1);
  }

  /** How much what is to be known weighs, as a shape; null if there is nothing to know. */
  public @Nullable Mark noteMark() {
    if (!damage.isEmpty()) {
      return Mark.FAULT;
    }
    if (!warnings.isEmpty() || lane.unplaced() || lane.rounded() || isDoubtful) {
      return Mark.WARNING;
    }
    return noteWords().isEmpty() ? null : Mark.NOTE;
  }

  /** The file, or why there is none. */
  public String fileWords() {
    String file = lane.file();
    return file == null ? stateWords : file;
  }

  /** What to know, in one text; may be empty. */
  public String noteWords() {
    List<String> notes = new ArrayList<>(damage);
    notes.addAll(warnings);
    notes.addAll(cautions);
    if (lane.file() != null && !stateWords.isEmpty()) {
      notes.add(0, stateWords);
    }
    return String.join("; ", notes);
  }

  /** Everything about it as one sentence, for those who listen to the window. */
  public String spoken() {
    List<String> parts =
        new ArrayList<>(
            List.of(nameWords(), roleWords(), lane.source(), sideWords, fileWords(), noteWords()));
    parts.removeIf(String::isEmpty);
    return String.join(", ", parts) + ".";
  }
}
