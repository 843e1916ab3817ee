package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotEquals;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.MalformedMediaException;
import hardpan.base.Monitor;
import hardpan.desk.model.PlaceByHand.Step;
import hardpan.lineup.Placement;
import hardpan.listen.NoSoundException;
import hardpan.listen.PlayerState;
import hardpan.listen.SoundOut;
import hardpan.shoot.CloseLook;
import hardpan.shoot.ReportMaker;
import hardpan.shoot.Run;
import hardpan.shoot.SavedShoots;
import hardpan.shoot.Shoot;
import hardpan.shoot.ShootSamples;
import hardpan.shoot.ShootSource;
import hardpan.shoot.Wishes;
import hardpan.wave.WaveFormat;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Queue;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.UnaryOperator;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Listening, pictures and the place by hand, without the toolkit and without a sound device. */
@NullUnmarked
class CloseModelsTest {
  private static final int RATE = ShootSamples.RATE;
  private static final double CLIP_START = 9;

  @TempDir static Path folder;

  private static ShootWork.Outcome read;

  private final BlockingQueue<Runnable> ui = new LinkedBlockingQueue<>();
  private final Queue<Runnable> started = new ArrayDeque<>();
  private final DeskModel desk =
      new DeskModel(
          new StandInWork(read), (name, work) -> work.run(), Runnable::run, new FakeDialogs());
  private final PlaceByHand place =
      new PlaceByHand(desk, (name, work) -> work.run(), Runnable::run);

  /** A recording of 30 s and a clip of 12 s of it, the right side upside down. */
  @BeforeAll
  static void record() throws Exception {
    Path root = folder.resolve("harvest");
    float[] sound = ShootSamples.speech(71, RATE, 30);
    ShootSamples.wave(
        root.resolve("REC/hall.wav"), WaveFormat.integer(24, RATE, 1), new float[][] {sound});
    float[] left = ShootSamples.heard(sound, RATE, CLIP_START, 12, 72);
    float[] right = new float[left.length];
    for (int i = 0; i < left.length; i++) {
      right[i] = -left[i];
    }
    ShootSamples.clip(root.resolve("CAM-A/one.mov"), "mov", "pcm_s16le", RATE, left, right);
    read = read(root);
  }

  /** The same with recording and clip cut in two, each a run of two files. */
  private static ShootWork.Outcome inParts() throws Exception {
    Path root = folder.resolve("parts");
    float[] sound = ShootSamples.speech(71, RATE, 30);
    float[] left = ShootSamples.heard(sound, RATE, CLIP_START, 12, 72);
    int half = 15 * RATE;
    for (int i = 0; i < 2; i++) {
      ShootSamples.wave(
          root.resolve("REC/day_" + (i + 1) + ".wav"),
          WaveFormat.integer(24, RATE, 1),
          new float[][] {Arrays.copyOfRange(sound, i * half, (i + 1) * half)});
      float[] part = Arrays.copyOfRange(left, i * 7 * RATE, i == 0 ? 7 * RATE : 12 * RATE);
      ShootSamples.clip(
          root.resolve("CAM-A/part_" + (i + 1) + ".mov"), "mov", "pcm_s16le", RATE, part, part);
    }
    ShootWork.Outcome outcome = read(root);
    Shoot shoot = outcome.shoot();
    List<Run.Join> cut = List.of(new Run.Join(true, false, "Cut for the test"));
    Run camera =
        new Run(
            "CAM-A",
            1,
            List.of(
                new Run.Part(List.of("CAM-A/part_1.mov"), 0, 7 * RATE),
                new Run.Part(List.of("CAM-A/part_2.mov"), 7 * RATE, 5 * RATE)),
            cut);
    Run recorder =
        new Run(
            "REC",
            1,
            List.of(
                new Run.Part(List.of("REC/day_1.wav"), 0, half),
                new Run.Part(List.of("REC/day_2.wav"), half, half)),
            cut);
    List<ShootSource> sources = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      boolean first = source.path().endsWith("part_1.mov");
      boolean second = source.path().endsWith("part_2.mov");
      double start = first ? CLIP_START : CLIP_START + 7;
      sources.add(first || second ? withPlacement(source, placed(start)) : source);
    }
    Shoot joined =
        new Shoot(
            shoot.name(),
            sources,
            shoot.leftOut(),
            "REC/day_1.wav",
            shoot.intake(),
            List.of(camera, recorder));
    return new ShootWork.Outcome(
        joined,
        ReportMaker.report(joined, List.of(), OffsetDateTime.parse("2026-05-16T22:10:00Z")),
        null);
  }

  private static Placement placed(double offsetSeconds) {
    return new Placement(
        Placement.State.PLACED,
        offsetSeconds,
        0.0,
        false,
        0.9,
        0.01,
        5.0,
        0,
        0,
        "Made up.",
        List.of());
  }

  private static ShootSource withPlacement(ShootSource source, Placement placement) {
    return new ShootSource(
        source.file(),
        source.path(),
        source.kind(),
        source.device(),
        source.runNumber(),
        null,
        source.analysis(),
        placement);
  }

  @Test
  void filesOfOneRunMoveTogetherAndAreHeardThroughTheirCuts() throws Exception {
    FixedShoot window = new FixedShoot(inParts());
    window.choose("part_1.mov");
    Ear across = window.heard(Hearing.Kind.ACROSS);
    assertEquals(7.0 * RATE, across.left.length, 4096);
    assertTrue(agreement(across) > 0.98, "first part " + agreement(across));
    Ear lane = window.heard(Hearing.Kind.LANE);
    assertEquals(12.0 * RATE, lane.left.length, 4096);
    window.choose("part_2.mov");
    assertTrue(window.place.shownProperty().get().runWords().contains("2 files"));
    Ear second = window.heard(Hearing.Kind.ACROSS);
    assertTrue(agreement(second) > 0.98, "second part " + agreement(second));
    window.place.nudge(Step.MILLISECOND, 3);
    Wishes.Pin pin = window.desk.edits().wishesProperty().get().pins().get(0);
    assertEquals("CAM-A/part_1.mov", pin.source());
    assertEquals(CLIP_START + 0.003, pin.offsetSeconds(), 1e-3);
    window.place.leaveOut();
    window.choose("part_1.mov");
    assertTrue(window.place.shownProperty().get().isLeftOut());
    window.place.takeIn();
    assertEquals(List.of(), window.desk.edits().wishesProperty().get().excluded());
    window.choose("day_2.wav");
    assertFalse(window.place.shownProperty().get().isPossible());
  }

  private static ShootWork.Outcome read(Path root) throws Exception {
    return read(root, Wishes.NONE);
  }

  private static ShootWork.Outcome read(Path root, Wishes wishes) throws Exception {
    ShootWork.Session session =
        new ShootJob(new SavedShoots(folder.resolve("data"))).open(List.of(root));
    try {
      return session.read(wishes, Monitor.SILENT);
    } finally {
      session.close();
    }
  }

  private static ShownShoot shown(UnaryOperator<Placement> change) {
    Shoot shoot = read.shoot();
    List<ShootSource> sources = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      Placement placement = source.placement();
      sources.add(placement == null ? source : withPlacement(source, change.apply(placement)));
    }
    Shoot changed =
        new Shoot(
            shoot.name(),
            sources,
            shoot.leftOut(),
            shoot.referencePath(),
            shoot.intake(),
            shoot.runs());
    return new ShownShoot(changed, read.report());
  }

  private void open() {
    desk.open(List.of(folder.resolve("harvest")));
    choose("one.mov");
  }

  private void choose(String name) {
    choose(desk, name);
  }

  private static void choose(DeskModel desk, String name) {
    ShownShoot now = desk.shootProperty().get();
    desk.chosenProperty()
        .set(
            now.rows().stream().filter(row -> row.path().endsWith(name)).findFirst().orElseThrow());
  }

  private double pinned() {
    List<Wishes.Pin> pins = desk.edits().wishesProperty().get().pins();
    assertEquals(1, pins.size());
    assertEquals("CAM-A/one.mov", pins.get(0).source());
    return pins.get(0).offsetSeconds();
  }

  private PlaceShown now() {
    return place.shownProperty().get();
  }

  private double offset() {
    Double offset = now().offsetSeconds();
    assertNotNull(offset);
    return offset;
  }

  @Test
  void aPlaceIsMovedByPictureMillisecondAndSampleAndTakenBack() {
    open();
    double found = offset();
    assertEquals(CLIP_START, found, 1e-4);
    assertEquals("This is where its sound puts it.", now().changeWords());
    place.nudge(Step.SAMPLE, 1);
    assertEquals(found + 1.0 / RATE, pinned(), 1e-9);
    place.nudge(Step.MILLISECOND, -1);
    assertEquals(found + 1.0 / RATE - 0.001, pinned(), 2e-9);
    place.nudge(Step.PICTURE, 2);
    assertEquals(found + 1.0 / RATE + 0.079, pinned(), 3e-9);
    assertTrue(now().isPinned() && now().isMoved());
    assertTrue(
        now().changeWords().startsWith("Moved by hand: +79.021 ms, +1.98 film frames"),
        now().changeWords());
    assertEquals("Move one.mov to +9.079 s", desk.edits().undoWordsProperty().get());
    // Steps of one clip, one after the other, are one decision.
    desk.edits().undo();
    assertEquals(found, offset(), 1e-9);
    assertFalse(now().isPinned());
    desk.edits().redo();
    assertEquals(found + 1.0 / RATE + 0.079, offset(), 3e-9);
  }

  /** 9 s at 25 pictures a second are 225 pictures: 00:00:09:00 (SMPTE ST 12-1). */
  @Test
  void thePlaceIsSaidInSecondsFramesAndTimecode() {
    open();
    place.take(9);
    assertEquals(
        "Starts at +9.000000 s on the reference\n+225.00 film frames; 00:00:09:00 in"
            + " hours:minutes:seconds:frames from the reference's start",
        now().offsetWords());
    assertTrue(place.takeTyped(" 1:02.5"));
    assertEquals(62.5, pinned(), 1e-9);
    assertTrue(place.takeTyped("\u22120.5"));
    assertEquals(-0.5, pinned(), 1e-9);
    assertFalse(place.takeTyped("soon"));
    assertEquals(-0.5, pinned(), 1e-9);
    desk.cursor().secondsProperty().set(4.25);
    place.takeCursor();
    assertEquals(4.25, pinned(), 1e-9);
    place.take(Double.NaN);
    assertEquals(4.25, pinned(), 1e-9);
    place.take(-1.04);
    assertTrue(now().offsetWords().contains("\u221200:00:01:01"), now().offsetWords());
    assertTrue(now().rateWords().contains("no picture rate"), now().rateWords());
  }

  @Test
  void pinningLeavingOutAndTakingInAreDecisionsThatCanBeTakenBack() {
    open();
    double found = offset();
    place.pinHere();
    assertEquals(found, pinned(), 1e-9);
    place.unpin();
    assertTrue(desk.edits().wishesProperty().get().pins().isEmpty());
    place.leaveOut();
    assertTrue(now().isLeftOut());
    assertNull(now().offsetSeconds());
    assertTrue(desk.edits().wishesProperty().get().excludes("CAM-A/one.mov"));
    assertFalse(desk.edits().wishesProperty().get().excludes("REC/hall.wav"));
    place.takeIn();
    assertEquals(Wishes.NONE, desk.edits().wishesProperty().get());
    desk.edits().undo();
    assertEquals("Leave out one.mov", desk.edits().undoWordsProperty().get());
    assertTrue(now().isLeftOut());
  }

  @Test
  void aRefusedPlaceGivesWayToTheNextOneOrToNone() {
    open();
    place.refuse();
    assertTrue(now().isLeftOut());
    desk.edits().undo();
    assertFalse(desk.edits().wishesProperty().get().excludes("CAM-A/one.mov"));
  }

  @Test
  void anAmbiguousPlaceOffersBothAndAPinKeepsWhatTheSoundSaid() {
    ShownShoot twice =
        shown(
            one ->
                new Placement(
                        Placement.State.AMBIGUOUS,
                        one.offsetSeconds(),
                        one.driftPpm(),
                        false,
                        0.5,
                        one.residualMs(),
                        one.overlapSeconds(),
                        0,
                        0,
                        "Two places fit.",
                        one.windows(),
                        List.of())
                    .with(
                        new Placement.Notes(
                            List.of(new Placement.Other(14.5, 0, false, 0.5)),
                            List.of(),
                            false,
                            null,
                            null)));
    FixedShoot fixed = new FixedShoot(new ShootWork.Outcome(twice.shoot(), read.report(), null));
    PlaceByHand twicePlace = fixed.place;
    fixed.choose("one.mov");
    List<PlaceShown.Candidate> candidates = twicePlace.shownProperty().get().candidates();
    assertEquals(2, candidates.size());
    assertTrue(candidates.get(0).isHere());
    assertEquals(14.5, candidates.get(1).offsetSeconds());
    twicePlace.refuse();
    assertEquals(
        14.5, fixed.desk.edits().wishesProperty().get().pins().get(0).offsetSeconds(), 1e-9);
    twicePlace.take(candidates.get(0).offsetSeconds());
    assertEquals(
        CLIP_START, fixed.desk.edits().wishesProperty().get().pins().get(0).offsetSeconds(), 1e-3);
  }

  /** A window on a shoot that was made up. */
  private static final class FixedShoot {
    final DeskModel desk;
    final PlaceByHand place;

    FixedShoot(ShootWork.Outcome outcome) {
      desk =
          new DeskModel(
              new StandInWork(outcome), (name, run) -> run.run(), Runnable::run, new FakeDialogs());
      desk.open(List.of(Path.of("harvest")));
      place = new PlaceByHand(desk, (name, run) -> {}, Runnable::run);
    }

    void choose(String name) {
      CloseModelsTest.choose(desk, name);
    }

    Ear heard(Hearing.Kind kind) throws Exception {
      return CloseModelsTest.heard(desk, place, kind, false);
    }
  }

  @Test
  void theReferenceCannotBeMoved() {
    open();
    choose("hall.wav");
    assertFalse(now().isPossible());
    place.nudge(Step.MILLISECOND, 1);
    place.pinHere();
    place.leaveOut();
    assertEquals(Wishes.NONE, desk.edits().wishesProperty().get());
  }

  // Listening

  /** Keeps what is heard. */
  private static class Ear implements SoundOut {
    float[] left = new float[0];
    float[] right = new float[0];

    @Override
    public int rateHz() {
      return RATE;
    }

    @Override
    public void write(float[] l, float[] r, int frames) {
      int before = left.length;
      left = Arrays.copyOf(left, before + frames);
      right = Arrays.copyOf(right, before + frames);
      System.arraycopy(l, 0, left, before, frames);
      System.arraycopy(r, 0, right, before, frames);
    }

    @Override
    public long heardFrames() {
      return left.length;
    }

    @Override
    public void drain() {}

    @Override
    public void close() {}
  }

  /** Takes nothing before the window has heard of it, and has heard more at every look. */
  private static final class WaitingEar extends Ear {
    final CountDownLatch told = new CountDownLatch(1);
    private final AtomicLong looks = new AtomicLong();

    @Override
    public void write(float[] l, float[] r, int frames) {
      try {
        assertTrue(told.await(30, TimeUnit.SECONDS), "the window was not told");
      } catch (InterruptedException e) {
        throw new IllegalStateException(e);
      }
      super.write(l, r, frames);
    }

    @Override
    public long heardFrames() {
      return looks.incrementAndGet() * RATE / 50;
    }
  }

  /** Plays the window's thread until nothing is heard any more. */
  private static void hear(Listen listen, BlockingQueue<Runnable> ui) throws Exception {
    do {
      Runnable next = ui.poll(30, TimeUnit.SECONDS);
      assertNotNull(next, "nothing was heard to its end");
      next.run();
    } while (listen.isOn());
  }

  /** Correlation of both ears, -1 to 1, after the rise. */
  private static double agreement(Ear ear) {
    double both = 0;
    double l = 0;
    double r = 0;
    for (int i = RATE; i < Math.min(ear.left.length, 6 * RATE); i++) {
      both += ear.left[i] * ear.right[i];
      l += ear.left[i] * ear.left[i];
      r += ear.right[i] * ear.right[i];
    }
    return both / Math.sqrt(l * r);
  }

  private Ear heard(Hearing.Kind kind, boolean asFound) throws Exception {
    return heard(desk, place, kind, asFound);
  }

  private static Ear heard(DeskModel desk, PlaceByHand place, Hearing.Kind kind, boolean asFound)
      throws Exception {
    BlockingQueue<Runnable> ui = new LinkedBlockingQueue<>();
    Ear ear = new Ear();
    try (Listen listen = new Listen(desk, place, () -> ear, ui::add)) {
      listen.asFoundProperty().set(asFound);
      listen.start(kind);
      Hearing way = listen.wayProperty().get();
      assertTrue(way != null && way.kind() == kind, "no way to hear " + kind);
      hear(listen, ui);
    }
    return ear;
  }

  @Test
  void clipAndReferenceAreHeardAtOnceBeforeAndAfterANudge() throws Exception {
    open();
    Ear before = heard(Hearing.Kind.ACROSS, false);
    assertTrue(agreement(before) > 0.98, "in place " + agreement(before));
    assertEquals(12.0 * RATE, before.left.length, 4096);
    place.nudge(Step.MILLISECOND, 7);
    double nudged = agreement(heard(Hearing.Kind.ACROSS, false));
    assertTrue(nudged < 0.4, "nudged " + nudged);
    double asFound = agreement(heard(Hearing.Kind.ACROSS, true));
    assertTrue(asFound > 0.98, "as found " + asFound);
  }

  /** The recorder hears somebody else on its first channel, the clip's sound on its second. */
  @Test
  void aClipThatWasPinnedOnAnotherDayIsHeardAgainstItsOwnChannel() throws Exception {
    Path root = folder.resolve("second");
    float[] sound = ShootSamples.speech(71, RATE, 30);
    float[] other = ShootSamples.speech(75, RATE, 30);
    for (int i = 0; i < other.length; i++) {
      other[i] *= 0.25f;
    }
    ShootSamples.wave(root.resolve("REC/hall.wav"), WaveFormat.integer(24, RATE, 2), other, sound);
    float[] clip = ShootSamples.heard(sound, RATE, CLIP_START, 12, 72);
    ShootSamples.clip(root.resolve("CAM-A/one.mov"), "mov", "pcm_s16le", RATE, clip, clip);
    ShootWork.Outcome pinned =
        read(root, Wishes.NONE.withPin(new Wishes.Pin("CAM-A/one.mov", CLIP_START)));
    Placement placement = pinned.shoot().sources().get(0).placement();
    assertTrue(placement.isPinned() && placement.isHeardHere(), placement.why());
    assertEquals(1, placement.referenceChannel());
    FixedShoot window = new FixedShoot(pinned);
    window.choose("one.mov");
    double agreement = agreement(window.heard(Hearing.Kind.ACROSS));
    assertTrue(agreement > 0.98, "with the kept channel " + agreement);

    // Kept by an earlier version, or never found by its sound: the loudest channel there is.
    Shoot shoot = pinned.shoot();
    Placement without =
        new Placement(
            Placement.State.PLACED,
            CLIP_START,
            0.0,
            false,
            1,
            null,
            12.0,
            null,
            null,
            placement.why(),
            List.of());
    List<ShootSource> sources = new ArrayList<>(shoot.sources());
    sources.set(0, withPlacement(sources.get(0), without));
    Shoot older =
        new Shoot(
            shoot.name(),
            sources,
            shoot.leftOut(),
            shoot.referencePath(),
            shoot.intake(),
            shoot.runs());
    FixedShoot old = new FixedShoot(new ShootWork.Outcome(older, pinned.report(), null));
    old.choose("one.mov");
    old.place.take(CLIP_START);
    double loudest = agreement(old.heard(Hearing.Kind.ACROSS));
    assertTrue(loudest > 0.98, "with the loudest channel " + loudest);
  }

  @Test
  void theTwoChannelsComeApartAndTheirSumIsSilentForAnInvertedPair() throws Exception {
    open();
    assertTrue(agreement(heard(Hearing.Kind.APART, false)) < -0.999);
    Ear sum = heard(Hearing.Kind.SUM, false);
    double loudest = 0;
    for (float sample : sum.left) {
      loudest = Math.max(loudest, Math.abs(sample));
    }
    assertTrue(loudest < 1e-3, "the sum has " + loudest);
  }

  @Test
  void listeningBeginsAtTheCursorAndTheCursorFollows() throws Exception {
    open();
    WaitingEar ear = new WaitingEar();
    List<Double> followed = new ArrayList<>();
    desk.cursor()
        .heardSecondsProperty()
        .addListener((property, before, now) -> followed.add(now.doubleValue()));
    try (Listen listen = new Listen(desk, place, () -> ear, ui::add)) {
      assertEquals("Listening begins at 0:09.000 (clock of the reference)", listen.words());
      listen.pointAt(10.5);
      assertEquals(19.5, desk.cursor().secondsProperty().get(), 1e-3);
      assertEquals("Listening begins at 0:19.500 (clock of the reference)", listen.words());
      desk.cursor().secondsProperty().set(500);
      assertEquals("Listening begins at 0:09.000 (clock of the reference)", listen.words());
      listen.pointAt(10.5);
      listen
          .stateProperty()
          .addListener(
              (property, before, now) -> {
                if (now.kind() == PlayerState.Kind.PLAYING) {
                  sameInWordsAndCursor(listen);
                  ear.told.countDown();
                }
              });
      listen.start();
      hear(listen, ui);
    }
    assertEquals(1.5 * RATE, ear.left.length, 4096);
    assertFalse(followed.isEmpty());
    assertTrue(followed.stream().allMatch(at -> at.isNaN() || (at > 19.4 && at < 21.2)));
    assertTrue(Double.isNaN(desk.cursor().heardSecondsProperty().get()));
  }

  /** However much later one looks at the one than at the other. */
  private void sameInWordsAndCursor(Listen listen) {
    String words = listen.words();
    assertEquals(words, listen.words());
    for (int i = 0; i < 3; i++) {
      listen.pulse();
      double heard = desk.cursor().heardSecondsProperty().get();
      String later = Texts.of("listen.at", Times.clock(heard, 3));
      assertEquals(later, listen.words());
      assertNotEquals(words, later);
      words = later;
    }
  }

  @Test
  void withoutADeviceTheWindowSaysSo() throws Exception {
    open();
    try (Listen listen =
        new Listen(
            desk,
            place,
            () -> {
              throw new NoSoundException("There is no sound device.", null);
            },
            ui::add)) {
      listen.start();
      while (listen.stateProperty().get().kind() != PlayerState.Kind.FAILED) {
        Runnable next = ui.poll(30, TimeUnit.SECONDS);
        assertNotNull(next);
        next.run();
      }
      assertEquals("There is no sound device.", listen.words());
      assertFalse(listen.isOn());
    }
  }

  @Test
  void whereTheDriveWasPulledListeningSaysToPlugItInAgain() throws Exception {
    Path card = Path.of("/media/card");
    List<Path> away = new ArrayList<>();
    DeskModel window =
        new DeskModel(
            new StandInWork(read) {
              @Override
              public List<Path> away() {
                return List.copyOf(away);
              }
            },
            (name, run) -> run.run(),
            Runnable::run,
            new FakeDialogs());
    window.open(List.of(Path.of("harvest")));
    PlaceByHand there = new PlaceByHand(window, (name, run) -> {}, Runnable::run);
    choose(window, "one.mov");
    try (Listen listen =
        new Listen(
            window,
            there,
            () -> {
              throw new NoSoundException("Nothing can be read.", null);
            },
            ui::add)) {
      away.add(card);
      listen.start();
      while (listen.stateProperty().get().kind() != PlayerState.Kind.FAILED) {
        Runnable next = ui.poll(30, TimeUnit.SECONDS);
        assertNotNull(next);
        next.run();
      }
      assertEquals(Texts.of("changes.away", card), listen.words());
      assertEquals(Texts.of("changes.away", card), window.noticeProperty().get().text());
      away.clear();
      window.lookAtSources();
      assertEquals(PlayerState.Kind.SILENT, listen.stateProperty().get().kind());
      assertNull(window.noticeProperty().get());
    }
  }

  @Test
  void theWaysToListenFitTheSource() {
    open();
    try (Listen listen = new Listen(desk, place, Ear::new, ui::add)) {
      assertEquals(
          List.of(
              Hearing.Kind.DIFFERENCE,
              Hearing.Kind.APART,
              Hearing.Kind.ALONE,
              Hearing.Kind.ALONE,
              Hearing.Kind.SUM,
              Hearing.Kind.ACROSS,
              Hearing.Kind.TOGETHER),
          listen.waysProperty().get().stream().map(Hearing::kind).toList());
      // Its sides cancel; the difference is what its lane holds.
      assertEquals(
          "As its lane will sound: left minus right", listen.waysProperty().get().get(0).words());
      assertTrue(listen.waysProperty().get().get(4).words().contains("cancel"));
      place.leaveOut();
      assertTrue(listen.waysProperty().get().stream().noneMatch(one -> one.kind().withReference()));
      listen.start(Hearing.Kind.ACROSS);
      assertFalse(listen.isOn());
      place.take(3);
      assertTrue(listen.waysProperty().get().stream().anyMatch(one -> one.kind().withReference()));
      choose("hall.wav");
      assertEquals(
          List.of(Hearing.Kind.ALONE),
          listen.waysProperty().get().stream().map(Hearing::kind).toList());
      desk.chosenProperty().set(null);
      assertTrue(listen.waysProperty().get().isEmpty());
      listen.start();
      assertFalse(listen.isOn());
    }
  }

  // Pictures

  private Pictures pictures(Pictures.Look look) {
    return new Pictures(desk, (name, work) -> started.add(work), Runnable::run, look);
  }

  private void work() {
    while (!started.isEmpty()) {
      started.remove().run();
    }
  }

  @Test
  void picturesAreMeasuredWhenWantedAndKept() {
    open();
    Pictures pictures = pictures(CloseLook::of);
    assertTrue(started.isEmpty());
    pictures.wantedProperty().set(true);
    assertTrue(pictures.shownProperty().get().words().startsWith("Reading the source"));
    work();
    List<Plot> plots = pictures.shownProperty().get().plots();
    assertEquals(
        List.of(
            "Left against right",
            "Which levels occur, left",
            "Which levels occur, right",
            "Spectrum, left",
            "Spectrum, right",
            "How well its place fits"),
        plots.stream().map(Plot::title).toList());
    assertTrue(
        plots.get(0).words().startsWith("Left and right are one signal with opposite polarity"),
        plots.get(0).words());
    assertTrue(plots.get(0).cells().stream().allMatch(cell -> cell.fromX() * cell.fromY() < 0.01));
    choose("hall.wav");
    work();
    assertEquals(2, pictures.shownProperty().get().plots().size());
    choose("one.mov");
    assertTrue(started.isEmpty());
    assertEquals(plots.size(), pictures.shownProperty().get().plots().size());
  }

  @Test
  void whatIsNoLongerWantedIsCancelled() {
    open();
    List<Boolean> cancelled = new ArrayList<>();
    Pictures pictures =
        pictures(
            (source, monitor) -> {
              cancelled.add(monitor.isCancelled());
              monitor.checkCancelled();
              return CloseLook.of(source, monitor);
            });
    pictures.wantedProperty().set(true);
    choose("hall.wav");
    work();
    assertEquals(List.of(true, false), cancelled);
    assertEquals("Which levels occur, mono", pictures.shownProperty().get().plots().get(0).title());
  }

  @Test
  void aFileThatIsGoneIsSaidInWords() {
    open();
    Pictures pictures =
        pictures(
            (source, monitor) -> {
              throw new MalformedMediaException("The file is gone.");
            });
    pictures.wantedProperty().set(true);
    work();
    assertEquals("The file is gone.", pictures.shownProperty().get().words());
    assertTrue(pictures.shownProperty().get().plots().isEmpty());
  }
}
