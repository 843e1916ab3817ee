package hardpan.desk.model;

import hardpan.listen.Ears;
import hardpan.listen.HeardSource;
import hardpan.listen.Listening;
import hardpan.listen.Player;
import hardpan.listen.PlayerState;
import hardpan.listen.SafeLevel;
import hardpan.listen.SoundDevice;
import hardpan.shoot.Analysis;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSource;
import hardpan.shoot.SourceSound;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Executor;
import javafx.beans.property.BooleanProperty;
import javafx.beans.property.DoubleProperty;
import javafx.beans.property.ObjectProperty;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.ReadOnlyObjectWrapper;
import javafx.beans.property.SimpleBooleanProperty;
import javafx.beans.property.SimpleDoubleProperty;
import javafx.beans.property.SimpleObjectProperty;
import org.jspecify.annotations.Nullable;

/**
 * Listening to the chosen source: what of it, from where, how loud. Belongs to the window's thread;
 * the sound itself is made on a thread of its own.
 */
public final class Listen implements AutoCloseable {
  private final DeskModel desk;
  private final PlaceByHand place;
  private final Player player;
  private final ReadOnlyObjectWrapper<List<Hearing>> ways = new ReadOnlyObjectWrapper<>(List.of());
  private final ObjectProperty<@Nullable Hearing> way = new SimpleObjectProperty<>();
  private final BooleanProperty asFound = new SimpleBooleanProperty();
  private final DoubleProperty volumeDb = new SimpleDoubleProperty();
  private final ReadOnlyObjectWrapper<PlayerState> state =
      new ReadOnlyObjectWrapper<>(PlayerState.SILENT);

  /** Second of the chosen source to begin with if it has no place; not kept for the next one. */
  private double ownSeconds;

  private boolean onReference;

  /** What was played last. */
  private @Nullable ShootSource heardSource;

  private OnClock heardClock = new OnClock(0, 0, 0, false);

  /** Where it was to begin. */
  private double wantedSeconds;

  /** The instant that is heard, as it was at the last pulse; NaN while nothing plays. */
  private double heardSeconds = Double.NaN;

  /**
   * For one window.
   *
   * @param device where sound goes
   * @param ui runs things on the window's thread
   */
  public Listen(DeskModel desk, PlaceByHand place, SoundDevice device, Executor ui) {
    this.desk = desk;
    this.place = place;
    this.player = new Player(device, now -> ui.execute(() -> heard(now)));
    desk.chosenProperty().addListener((property, before, now) -> renew(before, now));
    desk.shootProperty().addListener((property, before, now) -> renewShoot(now));
    desk.goneProperty().addListener((property, before, now) -> renewReach(now));
    place.shownProperty().addListener((property, before, now) -> follow());
    volumeDb.addListener((property, before, now) -> player.setVolumeDb(now.doubleValue()));
    way.addListener((property, before, now) -> again());
    asFound.addListener((property, before, now) -> again());
    renew(null, desk.chosenProperty().get());
  }

  /** The ways to listen to the chosen source; empty if there are none. */
  public ReadOnlyObjectProperty<List<Hearing>> waysProperty() {
    return ways.getReadOnlyProperty();
  }

  /** The chosen way; null if there is none. */
  public ObjectProperty<@Nullable Hearing> wayProperty() {
    return way;
  }

  /** Whether the clip is heard at the place that was found, not where it is now. */
  public BooleanProperty asFoundProperty() {
    return asFound;
  }

  /** The person's volume in dB above or below the safe level. */
  public DoubleProperty volumeDbProperty() {
    return volumeDb;
  }

  /** What is heard. */
  public ReadOnlyObjectProperty<PlayerState> stateProperty() {
    return state.getReadOnlyProperty();
  }

  /** Whether something is heard or about to be. */
  public boolean isOn() {
    PlayerState.Kind kind = state.get().kind();
    return kind == PlayerState.Kind.PLAYING || kind == PlayerState.Kind.FINDING;
  }

  /** Listens, or stops. */
  public void toggle() {
    if (isOn()) {
      stop();
    } else {
      start();
    }
  }

  /** Stops; nothing happens if nothing is heard. */
  public void stop() {
    player.stop();
  }

  /** Listens from the instant that is pointed at, or else from the beginning of the source. */
  public void start() {
    Task task = task();
    if (task != null) {
      play(task, startSeconds(task));
    }
  }

  /** Listens the given way; nothing happens if there is none. */
  public void start(Hearing.Kind kind) {
    ways.get().stream()
        .filter(one -> one.kind() == kind)
        .findFirst()
        .ifPresent(
            one -> {
              way.set(one);
              start();
            });
  }

  /** Points at a second of the chosen source: listening begins there, or goes on from there. */
  public void pointAt(double sourceSeconds) {
    Task task = task();
    if (task != null) {
      ownSeconds = sourceSeconds;
      if (task.clock().placed()) {
        desk.cursor().secondsProperty().set(task.clock().at(sourceSeconds));
      }
      if (isOn()) {
        start();
      }
    }
  }

  /**
   * Told at every pulse of the window: words and cursor take the instant that is heard from one
   * look, so that all who follow the sound move together.
   */
  public void pulse() {
    look(state.get());
    moveCursor();
  }

  private void moveCursor() {
    desk.cursor().heardSecondsProperty().set(onReference ? heardSeconds : Double.NaN);
  }

  private void look(PlayerState now) {
    heardSeconds = now.kind() == PlayerState.Kind.PLAYING ? player.heardSeconds() : Double.NaN;
  }

  /** A volume in words, {@code -6 dB} or {@code safe level}. */
  public static String volumeWords(double db) {
    return Math.abs(db) < 0.5
        ? Texts.of("listen.volume.safe")
        : Texts.of("listen.volume.db", Numbers.signed(db, 0));
  }

  /** What is heard, in words, as it was at the last pulse. */
  public String words() {
    return switch (state.get().kind()) {
      case FAILED -> state.get().sentence();
      case FINDING -> Texts.of("listen.finding");
      case PLAYING ->
          Double.isNaN(heardSeconds)
              ? Texts.of("listen.finding")
              : Texts.of(onReference ? "listen.at" : "listen.at-own", Times.clock(heardSeconds, 3));
      case SILENT -> {
        Task task = task();
        yield task == null
            ? Texts.of("listen.nothing")
            : Texts.of(
                task.clock().placed() ? "listen.from" : "listen.from-own",
                Times.clock(startSeconds(task), 3));
      }
    };
  }

  @Override
  public void close() {
    player.close();
  }

  /** Where the sources have gone out of reach, that is why nothing is heard. */
  private PlayerState explained(PlayerState now) {
    return now.kind() == PlayerState.Kind.FAILED
        ? new PlayerState(now.kind(), desk.away().orElse(now.sentence()))
        : now;
  }

  /** Sources went out of reach, or are back. */
  private void renewReach(boolean gone) {
    if (state.get().kind() == PlayerState.Kind.FAILED) {
      state.set(gone ? explained(state.get()) : PlayerState.SILENT);
    }
  }

  private void heard(PlayerState now) {
    if (now.kind() == PlayerState.Kind.FAILED) {
      // A drive that was pulled is the likeliest reason.
      desk.lookAtSources();
    }
    PlayerState next = explained(now);
    // Who is told of the state says the instant with it.
    look(next);
    state.set(next);
    moveCursor();
  }

  /**
   * The source to listen to, with what is needed of it.
   *
   * @param first second at which the source itself begins on that clock
   */
  private record Task(
      Shoot shoot,
      ShootSource source,
      int channelCount,
      OnClock clock,
      double first,
      Hearing way) {}

  private @Nullable Task task() {
    ShownShoot shown = desk.shootProperty().get();
    SourceRow row = desk.chosenProperty().get();
    Hearing chosen = way.get();
    if (shown == null || row == null || chosen == null) {
      return null;
    }
    ShootSource source = shown.source(row).orElse(null);
    Analysis analysis = source == null ? null : source.analysis();
    OnClock own = place.clock(asFound.get() && chosen.kind().withReference());
    if (source == null || analysis == null || own == null) {
      return null;
    }
    OnClock clock = chosen.kind() == Hearing.Kind.LANE ? place.runClock(own) : own;
    return new Task(
        shown.shoot(), source, analysis.facts().channelCount(), clock, own.startSeconds(), chosen);
  }

  private double startSeconds(Task task) {
    double pointed = desk.cursor().secondsProperty().get();
    OnClock clock = task.clock();
    if (!clock.placed()) {
      return Math.min(ownSeconds, Math.max(0, clock.durationSeconds() - 1));
    }
    return Math.max(leastSeconds(task), clock.holds(pointed) ? pointed : task.first());
  }

  private void play(Task task, double startSeconds) {
    List<HeardSource> sources = new ArrayList<>();
    Hearing.Kind kind = task.way().kind();
    sources.add(own(task, kind, place.comparedOf(task.source())));
    ShootSource reference = task.shoot().reference().orElse(null);
    if (kind.withReference() && reference != null && reference.isReadable()) {
      SourceSound sound = SourceSound.ofRun(task.shoot(), reference);
      int channel =
          orFirst(place.comparedOf(task.source()).reference(), sound.channelLufs().size());
      sources.add(
          new HeardSource(
              sound.opening(),
              0,
              0,
              kind == Hearing.Kind.ACROSS ? Ears.rightOnly(channel) : Ears.alone(channel),
              gainDb(sound, channel)));
    }
    double length = task.clock().endSeconds() - startSeconds;
    onReference = task.clock().placed();
    heardSource = task.source();
    heardClock = task.clock();
    wantedSeconds = startSeconds;
    player.setVolumeDb(volumeDb.get());
    player.play(new Listening(sources, startSeconds, Math.max(0.5, length)));
  }

  private static HeardSource own(Task task, Hearing.Kind kind, PlaceByHand.Compared compared) {
    boolean lane = kind == Hearing.Kind.LANE;
    SourceSound sound =
        lane ? SourceSound.ofRun(task.shoot(), task.source()) : SourceSound.of(task.source());
    int first = lane ? SourceSound.firstChannelInRun(task.shoot(), task.source()) : 0;
    int channel = first + task.way().channel();
    int measured = orFirst(compared.own(), task.channelCount());
    Ears ears =
        switch (kind) {
          case ALONE, LANE -> Ears.alone(channel);
          case APART -> Ears.apart(0, 1);
          case SUM -> Ears.sum(task.channelCount());
          case DIFFERENCE -> Ears.difference(0, 1);
          case ACROSS -> Ears.leftOnly(measured);
          case TOGETHER -> Ears.alone(measured);
        };
    double gainDb =
        switch (kind) {
          case ALONE, LANE -> gainDb(sound, channel);
          // Where channels are compared with each other, all get the same gain.
          case APART, SUM, DIFFERENCE -> SafeLevel.gainDb(sound.channelLufs());
          case ACROSS, TOGETHER -> gainDb(sound, measured);
        };
    OnClock clock = task.clock();
    return new HeardSource(sound.opening(), clock.offsetSeconds(), clock.driftPpm(), ears, gainDb);
  }

  /** For one channel; one that is not there is silent and raised by nothing. */
  private static double gainDb(SourceSound sound, int channel) {
    List<@Nullable Double> all = sound.channelLufs();
    return SafeLevel.gainDb(channel < all.size() ? all.subList(channel, channel + 1) : List.of());
  }

  /** A channel the place was found with; the first where that is not known. */
  private static int orFirst(@Nullable Integer channel, int channels) {
    return channel == null || channel >= channels ? 0 : channel;
  }

  /** A shoot that was only lined up again does not interrupt what is heard. */
  private void renewShoot(@Nullable ShownShoot now) {
    ShootSource source = heardSource;
    boolean still =
        source != null
            && now != null
            && now.shoot().sources().stream().anyMatch(one -> one.file().equals(source.file()));
    if (!still) {
      player.stop();
    }
    renewWays();
  }

  /** Another source: other ways to listen, and silence. */
  private void renew(@Nullable SourceRow before, @Nullable SourceRow now) {
    boolean same = before != null && now != null && before.path().equals(now.path());
    if (!same) {
      player.stop();
      ownSeconds = 0;
      asFound.set(false);
    }
    renewWays();
  }

  private void renewWays() {
    SourceRow row = desk.chosenProperty().get();
    Hearing kept = way.get();
    ShownShoot shown = desk.shootProperty().get();
    List<Hearing> next =
        shown == null || row == null
            ? List.of()
            : Hearings.of(shown, row, place.shownProperty().get());
    if (!next.equals(ways.get())) {
      ways.set(next);
    }
    way.set(
        next.stream()
            .filter(one -> one.equals(kept))
            .findFirst()
            .orElse(next.isEmpty() ? null : next.get(0)));
  }

  /** A clip that is moved while it is heard against the reference is heard in its new place. */
  private void follow() {
    renewWays();
    Task task = task();
    ShootSource heard = heardSource;
    if (isOn()
        && task != null
        && heard != null
        && heard.file().equals(task.source().file())
        && task.way().kind().withReference()
        && task.clock().offsetSeconds() != heardClock.offsetSeconds()) {
      again();
    }
  }

  /** What plays, or is about to, goes on another way from where it is. */
  private void again() {
    Task task = task();
    if (isOn() && task != null) {
      double heard = player.heardSeconds();
      double at = Double.isNaN(heard) ? wantedSeconds : heard;
      OnClock clock = task.clock();
      if (heardClock.placed() && !clock.placed()) {
        at = heardClock.sourceAt(at);
      } else if (!heardClock.placed() && clock.placed()) {
        at = clock.at(at);
      }
      play(task, Math.max(leastSeconds(task), Math.min(at, clock.endSeconds())));
    }
  }

  /** Before the reference begins there is nothing to compare with. */
  private static double leastSeconds(Task task) {
    double start = task.clock().startSeconds();
    return task.clock().placed() && task.way().kind().withReference() ? Math.max(0, start) : start;
  }
}
