package hardpan.desk.model;

import hardpan.lanes.Arrangement;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.Lane;
import hardpan.lanes.LaneChoices;
import hardpan.lanes.LaneOffer;
import hardpan.lanes.LanePlanner;
import hardpan.lanes.Layout;
import hardpan.lanes.NameTemplate;
import hardpan.lanes.SampleChoice;
import hardpan.shoot.LaneList;
import hardpan.shoot.Wishes;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Predicate;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.ReadOnlyObjectWrapper;
import javafx.beans.property.SimpleObjectProperty;
import org.jspecify.annotations.Nullable;

/**
 * The lanes that are going to be written, and what a person decides about them. Every decision goes
 * into {@link Edits} and comes back from there. Belongs to the window's thread.
 */
public final class LanesModel {
  private final ReadOnlyObjectProperty<@Nullable ShownShoot> shoot;
  private final Edits edits;
  private final List<Runnable> takers = new ArrayList<>();
  private final ReadOnlyObjectWrapper<List<LaneRow>> rows = new ReadOnlyObjectWrapper<>(List.of());
  private final SimpleObjectProperty<@Nullable LaneRow> chosen = new SimpleObjectProperty<>();

  LanesModel(ReadOnlyObjectProperty<@Nullable ShownShoot> shoot, Edits edits) {
    this.shoot = shoot;
    this.edits = edits;
    shoot.addListener((property, before, now) -> renew());
    edits.wishesProperty().addListener((property, before, now) -> renew());
  }

  private void renew() {
    ShownShoot shown = shoot.get();
    List<LaneRow> next = new ArrayList<>();
    if (shown != null) {
      List<LaneList.Row> lanes = LaneList.of(shown.shoot(), edits.wishesProperty().get());
      Map<String, Integer> channels = new HashMap<>();
      for (LaneList.Row lane : lanes) {
        int most = lane.channels().stream().mapToInt(Integer::intValue).max().orElse(0) + 1;
        channels.merge(lane.source(), most, Math::max);
      }
      for (LaneList.Row lane : lanes) {
        int count = channels.getOrDefault(lane.source(), 1);
        next.add(LaneRow.of(lane, count, isNamed(lane), shown.damage(lane)));
      }
    }
    LaneRow before = chosen.get();
    rows.set(List.copyOf(next));
    chosen.set(next.stream().filter(row -> row.isSame(before)).findFirst().orElse(null));
  }

  /** All lanes that could be written. */
  public ReadOnlyObjectProperty<List<LaneRow>> rowsProperty() {
    return rows.getReadOnlyProperty();
  }

  /** The chosen one; null for none. */
  public SimpleObjectProperty<@Nullable LaneRow> chosenProperty() {
    return chosen;
  }

  /** How many lanes in how many files. */
  public String summary() {
    List<LaneRow> all = rows.get();
    List<LaneRow> written = all.stream().filter(LaneRow::isWritten).toList();
    int left = all.size() - written.size();
    return Texts.of(
        "lanes.summary",
        Texts.count("lanes.lanes", written.size()),
        Texts.count("lanes.files", files(written)),
        left == 0 ? "" : Texts.count("lanes.left", left));
  }

  /** What a hand-over would write and what it would leave, in one line; empty for no shoot. */
  public String prospect() {
    List<LaneRow> all = rows.get();
    if (all.isEmpty()) {
      return "";
    }
    List<LaneRow> written = all.stream().filter(LaneRow::isWritten).toList();
    List<String> parts = new ArrayList<>();
    parts.add(
        Texts.of(
            "prospect.lanes",
            Texts.count("lanes.lanes", written.size()),
            Texts.count("lanes.files", files(written))));
    if (files().arrangement().layout() == Layout.CLIP) {
      parts.add(
          Texts.of(
              "prospect.size",
              Numbers.size(written.stream().mapToDouble(LanesModel::bytes).sum())));
    }
    parts.addAll(doubts(all, written));
    return String.join("; ", parts) + ".";
  }

  /** What to know of the lanes that are written, {@code tops cut off in 1}; may be empty. */
  String doubts() {
    List<LaneRow> all = rows.get();
    return String.join("; ", doubts(all, all.stream().filter(LaneRow::isWritten).toList()));
  }

  private static List<String> doubts(List<LaneRow> all, List<LaneRow> written) {
    List<String> parts = new ArrayList<>();
    faults(written).forEach((kind, count) -> parts.add(Texts.of("prospect.fault", kind, count)));
    add(parts, "prospect.mended", written, LaneRow::isPolarityMended);
    add(parts, "prospect.warnings", written, row -> !row.warnings().isEmpty());
    add(parts, "prospect.by-hand", written, LaneRow::isPutByHand);
    add(parts, "prospect.unplaced", written, row -> row.lane().unplaced());
    add(parts, "prospect.bleed", all, row -> row.lane().state() == LaneOffer.State.CROSSTALK);
    add(parts, "prospect.unnamed", written, row -> !row.isNamed());
    return parts;
  }

  private static void add(
      List<String> parts, String key, List<LaneRow> rows, Predicate<LaneRow> which) {
    long count = rows.stream().filter(which).count();
    if (count > 0) {
      parts.add(Texts.count(key, count));
    }
  }

  /** Kinds of fault, each with the number of lanes that have it. */
  private static Map<String, Integer> faults(List<LaneRow> written) {
    Map<String, Integer> counts = new LinkedHashMap<>();
    for (LaneRow row : written) {
      row.faultKinds().forEach(kind -> counts.merge(kind, 1, Integer::sum));
    }
    return counts;
  }

  /** Whether the recorder or a person said what it is called. */
  private boolean isNamed(LaneList.Row lane) {
    return !LanePlanner.isPlainName(lane.name())
        || choices().channels().stream()
            .anyMatch(
                choice ->
                    choice.name() != null
                        && choice.channel() == lane.key()
                        && (choice.source().equals(lane.source())
                            || choice.source().equals(lane.device())));
  }

  private static double bytes(LaneRow row) {
    Lane.Format format = row.lane().format();
    return format == null ? 0 : row.lane().seconds() * format.rateHz() * format.bits() / 8;
  }

  private static long files(List<LaneRow> written) {
    return written.stream().map(row -> row.lane().file()).distinct().count();
  }

  private void decide(LaneChoices next, String words) {
    edits.change(edits.wishesProperty().get().withLanes(next), words);
  }

  private LaneChoices choices() {
    return edits.wishesProperty().get().lanes();
  }

  /** Calls a lane something else; blank text changes nothing. */
  public void rename(LaneRow row, String name) {
    String plain = name.strip();
    if (!plain.isEmpty() && !plain.equals(row.lane().name())) {
      apply(LaneChoices.Channel::named, row, row.lane().source(), plain, "edit.lane.name");
    }
  }

  /** Says what a lane is; blank text and the words of the guess change nothing. */
  public void setRole(LaneRow row, String role) {
    String plain = role.strip();
    if (plain.equals(row.roleWords())) {
      return;
    }
    // The word that was guessed, given by a person, is no guess any more.
    if (!plain.isEmpty() && (row.lane().roleGuessed() || !plain.equals(row.lane().role()))) {
      apply(LaneChoices.Channel::role, row, row.lane().source(), plain, "edit.lane.role");
    }
  }

  /** Says that a lane is what it was guessed to be; nothing happens if a person said it already. */
  public void confirmRole(LaneRow row) {
    if (row.lane().roleGuessed()) {
      String role = row.lane().role();
      apply(LaneChoices.Channel::role, row, row.lane().source(), role, "edit.lane.role");
    }
  }

  /** Gives name and role of a lane to the same channel of all clips of its device. */
  public void useForDevice(LaneRow row) {
    LaneList.Row lane = row.lane();
    LaneChoices next =
        new LaneChoices(
            choices().channels().stream()
                .filter(choice -> choice.channel() != lane.key() || !isOfDevice(choice, lane))
                .toList(),
            choices().pairs());
    for (LaneChoices.Channel older : choices().channels()) {
      if (older.channel() == lane.key() && isOfDevice(older, lane) && older.written() != null) {
        next = next.with(LaneChoices.Channel.written(older.source(), lane.key(), older.written()));
      }
    }
    next =
        next.with(
            new LaneChoices.Channel(lane.device(), lane.key(), lane.name(), lane.role(), null));
    decide(next, Texts.of("edit.lane.device", lane.name(), lane.device()));
  }

  private boolean isOfDevice(LaneChoices.Channel choice, LaneList.Row lane) {
    return choice.source().equals(lane.device())
        || rows.get().stream()
            .anyMatch(
                row ->
                    row.lane().device().equals(lane.device())
                        && row.lane().source().equals(choice.source()));
  }

  /** Makes a decision out of a text. */
  private interface Decision {
    LaneChoices.Channel of(String source, int channel, String text);
  }

  private void apply(Decision decision, LaneRow row, String source, String text, String words) {
    try {
      decide(choices().with(decision.of(source, row.lane().key(), text)), Texts.of(words, text));
    } catch (IllegalArgumentException e) {
      // Longer than any name; the field shows what holds.
      renew();
    }
  }

  /** Has a lane written or not. */
  public void setWritten(LaneRow row, boolean written) {
    if (written != row.lane().isWritten()) {
      LaneList.Row lane = row.lane();
      decide(
          choices().with(LaneChoices.Channel.written(lane.source(), lane.key(), written)),
          Texts.of(written ? "edit.lane.write" : "edit.lane.leave", lane.name()));
    }
  }

  /** Has a signal that came on both sides written once or twice. */
  public void setMerged(LaneRow row, boolean merged) {
    LaneList.Row lane = row.lane();
    boolean now = lane.pair() == LaneOffer.Twin.MERGED;
    if (lane.pair() != LaneOffer.Twin.NONE && now != merged) {
      decide(
          choices().with(new LaneChoices.Pair(lane.source(), merged)),
          Texts.of(merged ? "edit.pair.one" : "edit.pair.both", lane.source()));
    }
  }

  /** How the lanes go into files. */
  public Wishes.Files files() {
    return edits.wishesProperty().get().files();
  }

  private void setFiles(Arrangement arrangement, DriftCorrection correction, String words) {
    edits.change(
        edits.wishesProperty().get().withFiles(new Wishes.Files(arrangement, correction)), words);
  }

  /** Which sound goes into which file. */
  public void setLayout(Layout layout) {
    setFiles(
        files().arrangement().withLayout(layout), files().correction(), Texts.of("edit.layout"));
  }

  /** Whether lanes side by side share a file. */
  public void setPoly(boolean poly) {
    setFiles(files().arrangement().withPoly(poly), files().correction(), Texts.of("edit.poly"));
  }

  /** Which samples the files hold. */
  public void setSamples(SampleChoice samples) {
    setFiles(
        files().arrangement().withSamples(samples), files().correction(), Texts.of("edit.samples"));
  }

  /** When clocks are corrected. */
  public void setCorrection(DriftCorrection correction) {
    setFiles(files().arrangement(), correction, Texts.of("edit.drift"));
  }

  /** How files are named; a template with something wrong in it changes nothing. */
  public void setNames(String template) {
    if (problem(template).isEmpty()) {
      setFiles(
          files().arrangement().withNames(NameTemplate.parse(template.strip())),
          files().correction(),
          Texts.of("edit.names"));
    }
  }

  /** What is wrong with a template, a sentence; empty if nothing is. */
  public String problem(String template) {
    try {
      NameTemplate.parse(template.strip());
      return "";
    } catch (IllegalArgumentException e) {
      return String.valueOf(e.getMessage());
    }
  }

  /** Takes the last decision back. */
  public void undo() {
    edits.undo();
  }

  /**
   * Has something done before what is decided is handed over or left.
   *
   * @param take takes what is typed and not decided yet
   */
  public void beforeLeaving(Runnable take) {
    takers.add(take);
  }

  /** Decides what is still only typed. */
  void takeTyped() {
    takers.forEach(Runnable::run);
  }

  /**
   * What a template would call the chosen lane's file, or the first one's; empty if there is
   * something wrong with it.
   */
  public String preview(String template) {
    ShownShoot shown = shoot.get();
    if (shown == null || !problem(template).isEmpty()) {
      return "";
    }
    Wishes.Files tried =
        new Wishes.Files(
            files().arrangement().withNames(NameTemplate.parse(template.strip())),
            files().correction());
    LaneRow wanted = chosen.get();
    String first = null;
    for (LaneList.Row lane :
        LaneList.of(shown.shoot(), edits.wishesProperty().get().withFiles(tried))) {
      if (lane.file() != null
          && (first == null || LaneRow.of(lane, 1, true, LaneDamage.NONE).isSame(wanted))) {
        first = lane.file();
      }
    }
    return first == null ? Texts.of("names.none") : Texts.of("names.preview", first);
  }
}
