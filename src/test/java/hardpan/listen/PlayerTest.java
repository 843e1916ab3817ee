package hardpan.listen;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.signal.LoudnessMeter;
import hardpan.signal.TruePeakMeter;
import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Random;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.TimeUnit;
import org.junit.jupiter.api.Test;

/** What would be heard is measured at a device that only keeps it. */
class PlayerTest {
  private static final int RATE_HZ = 48_000;
  private static final double TO_END = Double.POSITIVE_INFINITY;

  private static MadeSound.Wave tone(double hz, double level, int rateHz) {
    return frame -> level * Math.sin(2 * Math.PI * hz * frame / rateHz);
  }

  private static Listening of(MadeSound sound, Ears ears, double gainDb, double start) {
    return new Listening(List.of(new HeardSource(sound, 0, 0, ears, gainDb)), start, TO_END);
  }

  private static double rms(float[] sound, int from, int to) {
    double sum = 0;
    for (int i = from; i < to; i++) {
      sum += (double) sound[i] * sound[i];
    }
    return Math.sqrt(sum / (to - from));
  }

  @Test
  void leftComesOnTheLeftAndRightOnTheRight() throws Exception {
    MadeSound pair = new MadeSound(RATE_HZ, RATE_HZ, tone(500, 0.1, RATE_HZ), frame -> 0.02);
    FakeSound heard = FakeSound.hear(RATE_HZ, of(pair, Ears.apart(0, 1), 0, 0));
    assertEquals(0.1 / Math.sqrt(2), rms(heard.left(), 9600, 38_400), 1e-4);
    assertEquals(0.02, heard.right()[20_000], 1e-4);
    assertEquals(1, pair.closed.get());
  }

  @Test
  void aCopyUpsideDownVanishesInTheSumAndStaysInTheDifference() throws Exception {
    MadeSound.Wave up = tone(500, 0.1, RATE_HZ);
    MadeSound pair = new MadeSound(RATE_HZ, RATE_HZ, up, frame -> -up.at(frame));
    FakeSound sum = FakeSound.hear(RATE_HZ, of(pair, Ears.sum(2), 0, 0));
    FakeSound difference = FakeSound.hear(RATE_HZ, of(pair, Ears.difference(0, 1), 0, 0));
    assertEquals(0, rms(sum.left(), 9600, 38_400), 1e-9);
    assertEquals(0.1 / Math.sqrt(2), rms(difference.right(), 9600, 38_400), 1e-4);
  }

  @Test
  void oneChannelAloneIsInBothEars() throws Exception {
    MadeSound pair = new MadeSound(RATE_HZ, RATE_HZ, frame -> 0.01, frame -> 0.02);
    FakeSound heard = FakeSound.hear(RATE_HZ, of(pair, Ears.alone(1), 0, 0));
    assertEquals(0.02, heard.left()[20_000], 1e-5);
    assertEquals(0.02, heard.right()[20_000], 1e-5);
  }

  /** The formula of docs/report-format.md: reference = offset + source x (1 + drift). */
  @Test
  void aSourceIsHeardAtItsPlaceByItsOwnClock() throws Exception {
    double offset = 12.25;
    double driftPpm = 400;
    int rate = 44_100;
    MadeSound slow = new MadeSound(rate, 60L * rate, tone(300, 0.1, rate));
    Listening listening =
        new Listening(
            List.of(new HeardSource(slow, offset, driftPpm, Ears.alone(0), 0)), 52, TO_END);
    float[] heard = FakeSound.hear(RATE_HZ, listening).left();
    for (int i = 12_000; i < 300_000; i += 997) {
      double source = (52 + i / 48_000.0 - offset) / (1 + driftPpm * 1e-6);
      assertEquals(0.1 * Math.sin(2 * Math.PI * 300 * source), heard[i], 3e-6, "frame " + i);
    }
  }

  @Test
  void twoSourcesOfDifferentRatesMeetOnOneClock() throws Exception {
    MadeSound clip = new MadeSound(96_000, 96_000, tone(700, 0.05, 96_000));
    MadeSound reference = new MadeSound(44_100, 5 * 44_100, tone(700, 0.05, 44_100));
    Listening together =
        new Listening(
            List.of(
                new HeardSource(clip, 3, 0, Ears.leftOnly(0), 0),
                new HeardSource(reference, 0, 0, Ears.rightOnly(0), 0)),
            3,
            0.9);
    FakeSound heard = FakeSound.hear(RATE_HZ, together);
    for (int i = 9600; i < 38_000; i += 101) {
      // 700 x 3 is a whole number, so both waves stand alike.
      assertEquals(heard.right()[i], heard.left()[i], 5e-6, "frame " + i);
    }
    assertTrue(heard.left().length < 48_000 + 2048, heard.left().length + " frames");
  }

  @Test
  void beforeItsStartASourceIsSilent() throws Exception {
    MadeSound late = new MadeSound(RATE_HZ, RATE_HZ, frame -> 0.1);
    Listening listening =
        new Listening(List.of(new HeardSource(late, 2, 0, Ears.alone(0), 0)), 1.5, TO_END);
    float[] heard = FakeSound.hear(RATE_HZ, listening).left();
    assertEquals(0, rms(heard, 0, 23_900), 1e-9);
    assertEquals(0.1, heard[30_000], 1e-3);
    assertTrue(Math.abs(heard.length - 1.5 * RATE_HZ) < 2048, heard.length + " frames");
  }

  /** The sound's slope tells how fast it came up: nothing may be louder than the line allows. */
  @Test
  void soundComesUpOverATenthOfASecond() throws Exception {
    MadeSound sound = new MadeSound(RATE_HZ, RATE_HZ, frame -> 0.2);
    float[] heard = FakeSound.hear(RATE_HZ, of(sound, Ears.alone(0), 0, 0)).left();
    for (int i = 0; i < 4800; i++) {
      assertTrue(heard[i] <= 0.2 * (i + 1) / 4800 + 1e-6, "frame " + i + ": " + heard[i]);
    }
    assertEquals(0.2, heard[5000], 1e-4);
  }

  @Test
  void changesOfVolumeAndTheEndTakeATwentiethOfASecond() throws Exception {
    MadeSound sound = new MadeSound(RATE_HZ, 60L * RATE_HZ, frame -> 0.1);
    FakeSound device = new FakeSound(RATE_HZ);
    try (Player player = new Player(device, device::watch)) {
      device.onWrite(
          frames -> {
            if (frames > RATE_HZ) {
              player.stop();
            } else if (frames > RATE_HZ / 2) {
              player.setVolumeDb(-20);
            }
          });
      player.play(of(sound, Ears.alone(0), 0, 0));
      assertEquals(PlayerState.SILENT, device.end.get(30, TimeUnit.SECONDS));
    }
    float[] heard = device.left();
    assertEquals(0.01, heard[40_000], 1e-4);
    assertTrue(heard.length < 1.2 * RATE_HZ, heard.length + " frames");
    assertEquals(0, heard[heard.length - 1], 1e-6);
    double steepest = 0.1 / 2400 * 1.01;
    for (int i = 5000; i < heard.length; i++) {
      assertTrue(Math.abs(heard[i] - heard[i - 1]) <= steepest, "frame " + i);
    }
  }

  /** ITU-R BS.1770 by our meter, which is checked against EBU Tech 3341 elsewhere. */
  @Test
  void loudAndQuietSoundComeAtTheSameModerateLevel() throws Exception {
    for (double level : new double[] {0.9, 0.05, 0.01}) {
      long seed = 31;
      float[] noise = new float[10 * RATE_HZ];
      Random random = new Random(seed);
      for (int i = 0; i < noise.length; i++) {
        noise[i] = (float) (level * (2 * random.nextDouble() - 1));
      }
      LoudnessMeter before = LoudnessMeter.mono(RATE_HZ);
      before.add(noise, 0, noise.length);
      double gain = SafeLevel.gainDb(Collections.singletonList(before.integratedLufs()));
      MadeSound sound = new MadeSound(RATE_HZ, noise.length, frame -> noise[(int) frame]);
      FakeSound heard = FakeSound.hear(RATE_HZ, of(sound, Ears.alone(0), gain, 0));
      LoudnessMeter after = LoudnessMeter.ofChannels(RATE_HZ, 1, 1);
      after.add(new float[][] {heard.left(), heard.right()}, 0, heard.left().length);
      Double lufs = after.integratedLufs();
      assertTrue(lufs != null && Math.abs(lufs + 26) < 0.2, level + " came at " + lufs);
    }
  }

  @Test
  void soundWithoutMeasureIsTakenToBeLoudAndNothingIsRaisedWithoutLimit() {
    List<Double> none = new ArrayList<>();
    none.add(null);
    none.add(Double.NaN);
    assertEquals(-29, SafeLevel.gainDb(none), 1e-9);
    assertEquals(-29, SafeLevel.gainDb(List.of()), 1e-9);
    assertEquals(24, SafeLevel.gainDb(List.of(-90.0)), 1e-9);
    assertEquals(-24, SafeLevel.gainDb(List.of(-60.0, -5.0)), 1e-9);
    assertEquals(2.0, SafeLevel.volumeFactor(500), 0.01);
    assertEquals(0.01, SafeLevel.volumeFactor(Double.NaN), 1e-9);
  }

  @Test
  void aHostileSourceStaysBelowTheCeilingAtFullVolume() throws Exception {
    Random random = new Random(77);
    MadeSound sound =
        new MadeSound(
            44_100,
            5 * 44_100,
            frame -> frame % 1000 == 0 ? Double.NaN : 1e6 * random.nextGaussian());
    FakeSound device = new FakeSound(RATE_HZ);
    try (Player player = new Player(device, device::watch)) {
      player.setVolumeDb(1000);
      player.play(of(sound, Ears.alone(0), SafeLevel.MOST_GAIN_DB, 0));
      device.end.get(30, TimeUnit.SECONDS);
    }
    TruePeakMeter meter = new TruePeakMeter(RATE_HZ);
    meter.add(device.left(), 0, device.left().length);
    Double peak = meter.truePeakDbtp();
    assertTrue(peak != null && peak <= -6, peak + " dBTP");
  }

  @Test
  void withoutADeviceThereIsASentence() throws Exception {
    CompletableFuture<PlayerState> end = new CompletableFuture<>();
    SoundDevice none =
        () -> {
          throw new NoSoundException("There is no sound device.", null);
        };
    MadeSound sound = new MadeSound(RATE_HZ, RATE_HZ, frame -> 0.1);
    try (Player player =
        new Player(
            none,
            state -> {
              if (state.kind() == PlayerState.Kind.FAILED) {
                end.complete(state);
              }
            })) {
      player.play(of(sound, Ears.alone(0), 0, 0));
      assertEquals("There is no sound device.", end.get(30, TimeUnit.SECONDS).sentence());
      assertTrue(Double.isNaN(player.heardSeconds()));
    }
    assertEquals(0, sound.opened.get());
  }

  @Test
  void aSourceThatBreaksOnTheWaySaysSoAndIsClosed() throws Exception {
    MadeSound broken = new MadeSound(RATE_HZ, 9L * RATE_HZ, frame -> 0.1).brokenFrom(2 * RATE_HZ);
    FakeSound heard = FakeSound.hear(RATE_HZ, of(broken, Ears.alone(0), 0, 0));
    PlayerState end = heard.end.get();
    assertEquals(PlayerState.Kind.FAILED, end.kind());
    assertEquals("The clip is damaged.", end.sentence());
    assertEquals(1, broken.closed.get());
  }

  @Test
  void theNextListeningTakesOverFromTheOneBefore() throws Exception {
    MadeSound first = new MadeSound(RATE_HZ, 3600L * RATE_HZ, frame -> 0.01);
    MadeSound second = new MadeSound(RATE_HZ, RATE_HZ, frame -> 0.02);
    FakeSound device = new FakeSound(RATE_HZ);
    List<PlayerState.Kind> states = Collections.synchronizedList(new ArrayList<>());
    try (Player player =
        new Player(
            device,
            state -> {
              states.add(state.kind());
              device.watch(state);
            })) {
      CompletableFuture<Boolean> switched = new CompletableFuture<>();
      device.onWrite(
          frames -> {
            if (frames > RATE_HZ && switched.complete(true)) {
              player.play(of(second, Ears.alone(0), 0, 0));
            }
          });
      player.play(of(first, Ears.alone(0), 0, 100));
      assertEquals(PlayerState.SILENT, device.end.get(30, TimeUnit.SECONDS));
    }
    assertEquals(1, first.closed.get());
    assertEquals(
        List.of(
            PlayerState.Kind.FINDING,
            PlayerState.Kind.PLAYING,
            PlayerState.Kind.FINDING,
            PlayerState.Kind.PLAYING,
            PlayerState.Kind.SILENT),
        states);
  }

  @Test
  void theHeardInstantFollowsTheDevice() throws Exception {
    MadeSound sound = new MadeSound(RATE_HZ, 60L * RATE_HZ, frame -> 0.1);
    FakeSound device = new FakeSound(RATE_HZ);
    List<Double> instants = new ArrayList<>();
    try (Player player = new Player(device, device::watch)) {
      device.onWrite(frames -> instants.add(player.heardSeconds()));
      player.play(new Listening(List.of(new HeardSource(sound, 0, 0, Ears.alone(0), 0)), 40, 0.5));
      device.end.get(30, TimeUnit.SECONDS);
      assertTrue(Double.isNaN(player.heardSeconds()));
    }
    assertEquals(40, instants.get(0), 0.03);
    assertEquals(40.5, instants.get(instants.size() - 1), 0.06);
  }

  /** On a build machine there is no sound device; on another one this opens and closes it. */
  @Test
  void theMachinesOwnSoundOpensOrSaysWhyNot() {
    try (SoundOut out = new MachineSound().open()) {
      assertTrue(out.rateHz() >= 44_100);
    } catch (NoSoundException e) {
      assertTrue(e.sentence().endsWith("."), e.sentence());
    }
  }
}
