package hardpan.lineup;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertNotNull;
import static org.junit.jupiter.api.Assertions.assertNull;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.base.Monitor;
import hardpan.lineup.Placement.State;
import hardpan.media.SourceReader;
import hardpan.signal.Decibels;
import hardpan.signal.SincInterpolator;
import hardpan.signal.TestSounds;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import java.util.function.DoubleUnaryOperator;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Long clips whose clocks leave every straight line; the course is the formula's. */
class ClockCourseTest {
  private static final int RATE = 8_000;
  private static final double OFFSET = 20.5;
  private static final double NOISE = 2e-3;
  private static final long SEED = 85;

  private static Scene scene;
  private static float[] evening;
  private static Candidate recorder;

  @BeforeAll
  static void record(@TempDir Path folder) throws Exception {
    scene = new Scene(folder);
    evening = TestSounds.talk(SEED, 1000, RATE);
    recorder = scene.source("REC", RATE, evening);
  }

  /** What a clock takes of the evening; {@code beside} is what it strays by from 30 ppm. */
  private static float[] heard(double seconds, DoubleUnaryOperator beside) {
    SincInterpolator between = SincInterpolator.brief(1);
    Random noise = new Random(SEED + 1);
    float[] sound = new float[(int) (seconds * RATE)];
    for (int i = 0; i < sound.length; i++) {
      double at = truth((double) i / RATE, beside);
      sound[i] = (float) (0.7 * between.at(evening, at * RATE) + NOISE * noise.nextGaussian());
    }
    return sound;
  }

  private static double truth(double sourceSeconds, DoubleUnaryOperator beside) {
    return OFFSET + sourceSeconds * (1 + 30e-6) + beside.applyAsDouble(sourceSeconds);
  }

  private static Placement place(float[] sound) throws Exception {
    return Scene.place(scene.source("CAM", RATE, sound), recorder);
  }

  private static void assertFollowed(
      Placement placement, double seconds, DoubleUnaryOperator beside, double allowedSeconds) {
    assertEquals(State.PLACED, placement.state(), placement.why());
    ClockBend bend = placement.notes().bend();
    Double offset = placement.offsetSeconds();
    Double drift = placement.driftPpm();
    assertNotNull(bend, placement.why());
    assertNotNull(offset);
    assertNotNull(drift);
    assertTrue(placement.why().contains("of one bent line"), placement.why());
    for (double at = 0; at <= seconds; at += 5) {
      double found = offset + at * (1 + drift * 1e-6) + bend.besideSeconds(at);
      assertEquals(truth(at, beside), found, allowedSeconds, "at " + at + " s, seed " + SEED);
    }
    long counted = placement.windows().stream().filter(Placement.Window::counted).count();
    assertTrue(counted >= 0.9 * placement.windows().size(), placement.why());
  }

  @ParameterizedTest
  @CsvSource({"5", "10", "20", "-20"})
  void aKneeFarBesideTheLineIsFollowed(double ppm) throws Exception {
    DoubleUnaryOperator beside = s -> ppm * 1e-6 * Math.min(s, 650 - s);
    assertFollowed(place(heard(650, beside)), 650, beside, 20e-6);
  }

  @ParameterizedTest
  @CsvSource({"0.5, 30", "1, 30", "3, 50"})
  void aWarmingCrystalIsFollowed(double byMs, double allowedMicros) throws Exception {
    DoubleUnaryOperator beside = s -> 1e-3 * byMs * (1 - Math.exp(-s / 250));
    assertFollowed(place(heard(900, beside)), 900, beside, 1e-6 * allowedMicros);
  }

  /** No straight line holds for as many as four windows in ten. */
  @Test
  void aCourseWithoutAnyLongLineIsFollowed() throws Exception {
    DoubleUnaryOperator beside = s -> 20e-6 * Math.min(s, Math.abs(s - 640));
    assertFollowed(place(heard(960, beside)), 960, beside, 20e-6);
  }

  @ParameterizedTest
  @CsvSource({"0.3", "3", "12", "40"})
  void aJumpIsNoBend(double byMs) throws Exception {
    Placement placement = place(heard(700, s -> s < 300 ? 0 : 1e-3 * byMs));
    assertNull(placement.notes().bend(), placement.why());
  }

  /** Half a minute each of places far apart: sections agree, but not on one clock's course. */
  @Test
  void piecesOfTheEveningInAnotherOrderAreRefused() throws Exception {
    float[] mixed = heard(700, s -> 0.2 * (7 * Math.floor(s / 35) % 5));
    Placement placement = place(mixed);
    assertEquals(State.UNPLACED, placement.state(), placement.why());
  }

  /**
   * Somewhere else half of the clip is on a straight line, believed but not beyond doubt. Where
   * that half is drowned in noise, a course of clear sound is no less certain for it.
   */
  @ParameterizedTest
  @CsvSource({"8, false", "-10, true"})
  void aLineElsewhereIsARivalIfItAgreesAsWell(double noiseDb, boolean isRival) throws Exception {
    DoubleUnaryOperator beside = s -> 25e-6 * (280 - Math.abs(280 - s % 560));
    float[] clip = heard(960, beside);
    double noise = Decibels.toAmplitude(TestSounds.level(clip) + noiseDb);
    float[] both = Arrays.copyOf(evening, 2300 * RATE);
    float[] loud = TestSounds.noise(SEED + 4, clip.length, noise);
    for (int i = 0; i < clip.length; i++) {
      boolean again = i < 0.55 * clip.length;
      both[1200 * RATE + i] = loud[i] + (again ? clip[i] : 0);
    }
    Candidate recorder = scene.source("REC", RATE, both);
    Candidate source = scene.source("CAM", RATE, clip);
    try (SourceReader reader = recorder.sound().open()) {
      ReferenceWindows windows = new ReferenceWindows(reader, recorder, RATE);
      FineSearch fine = new FineSearch(source, windows, recorder.channels(), Monitor.SILENT);
      Proof line = fine.prove(1200, false);
      assertNotNull(line);
      assertFalse(line.isSure(), "sure: " + line.line());
      assertNull(fine.prove(OFFSET, false));
    }
    Placement placement = Scene.place(source, recorder);
    if (isRival) {
      assertEquals(State.AMBIGUOUS, placement.state(), placement.why());
      assertEquals(1200, placement.otherPlaces().get(0).offsetSeconds(), 0.01);
    } else {
      assertFollowed(placement, 960, beside, 500e-6);
    }
  }

  /**
   * The evening's sound is played again later, there with a voice over three tenths of it, so that
   * a straight line is proved at the one place and a course at the other. None is preferred.
   */
  @Test
  void aCourseAndALineElsewhereAreAmbiguous() throws Exception {
    float[] twice = new float[2300 * RATE];
    float[] voice = TestSounds.noise(SEED + 3, evening.length, 0.3);
    for (int i = 0; i < evening.length; i++) {
      double seconds = (double) i / RATE;
      twice[50 * RATE + i] += evening[i];
      twice[1200 * RATE + i] += evening[i] + (seconds > 350 && seconds < 650 ? voice[i] : 0);
    }
    Candidate recorder = scene.source("REC", RATE, twice);
    DoubleUnaryOperator beside = s -> 20e-6 * Math.min(s, 960 - s);
    Placement placement = Scene.place(scene.source("CAM", RATE, heard(960, beside)), recorder);
    assertEquals(State.AMBIGUOUS, placement.state(), placement.why());
    Double offset = placement.offsetSeconds();
    assertNotNull(offset);
    assertEquals(1, placement.otherPlaces().size());
    double other = placement.otherPlaces().get(0).offsetSeconds();
    assertEquals(50 + OFFSET, Math.min(offset, other), 0.05);
    assertEquals(1200 + OFFSET, Math.max(offset, other), 0.05);
    assertNull(placement.notes().bend());
  }

  @Test
  void aLongStrangerIsRefused() throws Exception {
    Placement placement = place(TestSounds.talk(SEED + 2, 700, RATE));
    assertEquals(State.UNPLACED, placement.state(), placement.why());
  }

  /** Nothing is looked for where the straight line says all, nor in short sources. */
  @Test
  void aStraightClockIsNotLookedAtTwice() throws Exception {
    Placement placement = place(heard(650, s -> 0));
    assertNull(placement.notes().bend(), placement.why());
    assertEquals(20, placement.windows().size());
    Placement brief = place(heard(590, s -> 20e-6 * Math.min(s, 590 - s)));
    assertNull(brief.notes().bend(), brief.why());
    assertTrue(brief.windows().size() <= 20, brief.why());
  }

  /** Pieces of clocks in order of time. */
  @Test
  void windowsComeInOrder() throws Exception {
    List<Placement.Window> windows = place(heard(650, s -> 10e-6 * Math.min(s, 650 - s))).windows();
    double[] seconds = windows.stream().mapToDouble(Placement.Window::sourceSeconds).toArray();
    double[] sorted = seconds.clone();
    Arrays.sort(sorted);
    assertEquals(Arrays.toString(sorted), Arrays.toString(seconds));
    assertTrue(windows.size() >= 50, windows.size() + " windows");
  }
}
