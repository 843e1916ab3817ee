package hardpan.demo;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;
import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertTrue;

import org.junit.jupiter.api.Test;

/** Impulse responses against the quantities they are made for. */
class RoomMakerTest {
  private static final double RATE = 48000;

  /** Reverberation time by backward integration, -5 to -25 dB, times three (ISO 3382-1, T20). */
  @Test
  void tailDecaysInTheReverberationTime() {
    for (long seed = 1; seed <= 4; seed++) {
      float[] taps = RoomMaker.response(new RoomMaker.Way(0.0437, -9, -3, 1.2), seed);
      double[] left = new double[taps.length + 1];
      for (int i = taps.length - 1; i >= 0; i--) {
        left[i] = left[i + 1] + taps[i] * taps[i];
      }
      int from = 0;
      int to = 0;
      for (int i = 0; i < taps.length; i++) {
        double db = 10 * Math.log10(left[i] / left[0]);
        if (db > -5) {
          from = i;
        }
        if (db > -25) {
          to = i;
        }
      }
      double seconds = 3 * (to - from) / RATE;
      assertEquals(1.2, seconds, 0.2, "seed " + seed);
    }
  }

  @Test
  void energyOfDirectOverLateSoundIsAsAsked() {
    for (double wantedDb : new double[] {-3, 0, 15}) {
      double delay = 15 / 343.2;
      float[] taps = RoomMaker.response(new RoomMaker.Way(delay, -9, wantedDb, 1.2), 9);
      int border = (int) Math.ceil(delay * RATE) + 48;
      double direct = 0;
      double late = 0;
      for (int i = 0; i < taps.length; i++) {
        if (i < border) {
          direct += taps[i] * taps[i];
        } else {
          late += taps[i] * taps[i];
        }
      }
      assertEquals(wantedDb, 10 * Math.log10(direct / late), 0.05);
      assertEquals(-9, 10 * Math.log10(direct), 0.05);
    }
  }

  /** A delay is a phase slope: the direct sound's transform at 3 kHz says how late it is. */
  @Test
  void directSoundIsExactlyAsLateAsAsked() {
    double delay = 0.00613;
    float[] taps = RoomMaker.response(new RoomMaker.Way(delay, 0, 300, 1.2), 5);
    double hertz = 3000;
    double re = 0;
    double im = 0;
    for (int i = 0; i < taps.length; i++) {
      double angle = 2 * Math.PI * hertz * (i / RATE - delay);
      re += taps[i] * Math.cos(angle);
      im -= taps[i] * Math.sin(angle);
    }
    assertEquals(0, Math.atan2(im, re) / (2 * Math.PI * hertz), 1e-9);
    assertEquals(1, Math.hypot(re, im), 1e-5);
  }

  /** Cook and others, JASA 27 (1955): in a diffuse field sin(kd)/(kd). */
  @Test
  void pairIsAlikeAtLowFrequenciesOnly() {
    RoomMaker.Way way = new RoomMaker.Way(0.0437, -60, -60, 1.2);
    float[][] pair = RoomMaker.pairResponse(way, way, 0.22, 3);
    double low = likeness(pair, 50, 250);
    double high = likeness(pair, 3000, 6000);
    double expectedLow = 0;
    for (double hertz = 50; hertz < 250; hertz++) {
      double kd = 2 * Math.PI * hertz * 0.22 / 343.2;
      expectedLow += Math.sin(kd) / kd / 200;
    }
    assertEquals(expectedLow, low, 0.12);
    assertEquals(0, high, 0.1);
  }

  /** Real part of the coherence of the tails, 100 ms after the direct sound and later. */
  private static double likeness(float[][] pair, double lowHz, double highHz) {
    int from = 7000;
    int length = 8192;
    double cross = 0;
    double left = 0;
    double right = 0;
    for (double hertz = lowHz; hertz < highHz; hertz += RATE / length) {
      double[] sums = new double[4];
      for (int i = 0; i < length; i++) {
        double c = Math.cos(2 * Math.PI * hertz * i / RATE);
        double s = Math.sin(2 * Math.PI * hertz * i / RATE);
        sums[0] += pair[0][from + i] * c;
        sums[1] += pair[0][from + i] * s;
        sums[2] += pair[1][from + i] * c;
        sums[3] += pair[1][from + i] * s;
      }
      cross += sums[0] * sums[2] + sums[1] * sums[3];
      left += sums[0] * sums[0] + sums[1] * sums[1];
      right += sums[2] * sums[2] + sums[3] * sums[3];
    }
    return cross / Math.sqrt(left * right);
  }

  @Test
  void sameSeedSameRoomOtherSeedOtherRoom() {
    RoomMaker.Way way = new RoomMaker.Way(0.01, 0, 0, 1.2);
    assertArrayEquals(RoomMaker.response(way, 8), RoomMaker.response(way, 8));
    float[] one = RoomMaker.response(way, 8);
    float[] other = RoomMaker.response(way, 9);
    assertTrue(Math.abs(one[20_000] - other[20_000]) > 0);
  }
}
