package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.signal.BandEnergies;
import hardpan.signal.Fft;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;

/**
 * Finds the few places where a source may sit on the reference, by correlating band-energy maps
 * band by band. Good to a few hundredths of a second; proves nothing.
 *
 * <p>Maps have their own mean over one second taken away, so that level, automatic gain and
 * equalisation drop out. The reference is worked through in blocks, so memory does not grow with
 * its length.
 */
final class CoarseSearch {
  private static final int BANDS = BandEnergies.BANDS;
  private static final double FRAME_SECONDS = 1.0 / BandEnergies.FRAMES_PER_SECOND;
  private static final int HALF_MEAN_FRAMES = 50;
  private static final float LARGEST_STEP = 40;
  private static final int LONGEST_PROBE = 12_000;
  private static final int MOST_IN_CHANNEL = 5;

  /** For all channels together; each channel has at least one nevertheless. */
  private static final int MOST_PROBES = 6;

  private static final int PEAKS_KEPT = 6;
  private static final int PEAK_DISTANCE = 30;
  private static final double SAME_PLACE_SECONDS = 0.25;
  private static final double LEAST_DEVIATIONS = 3;

  private CoarseSearch() {}

  /**
   * A place worth proving.
   *
   * @param offsetSeconds place of the source's first frame on the reference
   * @param score how much speaks for it; only good for sorting
   */
  record Place(double offsetSeconds, double score) {}

  /** A stretch of one channel of the source, as spectra of its bands. */
  private static final class Probe {
    final long startFrame;
    final int frames;
    final float[][] spectra;

    // Running statistics of the scores over the whole reference, and the best places so far.
    final List<Place> best = new ArrayList<>();
    double sum;
    double sumOfSquares;
    long count;

    Probe(long startFrame, int frames, float[][] spectra) {
      this.startFrame = startFrame;
      this.frames = frames;
      this.spectra = spectra;
    }

    void reset() {
      best.clear();
      sum = 0;
      sumOfSquares = 0;
      count = 0;
    }
  }

  /**
   * The most promising places, best first.
   *
   * @param source what is looked for
   * @param reference where
   * @param most how many places at most
   */
  static List<Place> places(Candidate source, Candidate reference, int most, Monitor monitor)
      throws MediaException {
    if (source.durationSeconds() <= reference.durationSeconds()) {
      return gathered(found(source, reference, monitor), most);
    }
    // Stretches of the longer one might all lie outside the shorter one.
    List<Place> turned = new ArrayList<>();
    for (Place place : found(reference, source, monitor)) {
      turned.add(new Place(-place.offsetSeconds(), place.score()));
    }
    return gathered(turned, most);
  }

  /** Places of the shorter one on the longer one. */
  private static List<Place> found(Candidate source, Candidate reference, Monitor monitor)
      throws MediaException {
    long frames = source.maps().get(0).frames();
    int probeFrames = (int) Math.min(frames, LONGEST_PROBE);
    int size = Fft.sizeFor(Math.max(1 << 15, 2L * probeFrames));
    List<Probe> probes = new ArrayList<>();
    List<Integer> channels = source.channels();
    int inChannel = (int) Math.min(MOST_IN_CHANNEL, (frames + LONGEST_PROBE - 1) / LONGEST_PROBE);
    inChannel = Math.max(1, Math.min(inChannel, MOST_PROBES / channels.size()));
    int number = inChannel * channels.size();
    for (int i = 0; i < number; i++) {
      // Neighbours come from different channels, so that few probes see many stretches.
      int channel = channels.get(i % channels.size());
      long start = (frames - probeFrames) * i / Math.max(1, number - 1);
      float[][] spectra = bands(source.maps().get(channel), start, probeFrames, size);
      for (float[] band : spectra) {
        Fft.ofSize(size).forward(band);
      }
      probes.add(new Probe(start, probeFrames, spectra));
    }
    List<Place> found = new ArrayList<>();
    for (int channel : reference.channels()) {
      probes.forEach(Probe::reset);
      scan(reference.maps().get(channel), probes, size, probeFrames, monitor);
      for (Probe probe : probes) {
        found.addAll(standardised(probe));
      }
    }
    return found;
  }

  private static void scan(
      BandMap map, List<Probe> probes, int size, int probeFrames, Monitor monitor)
      throws MediaException {
    int leastOverlap = Math.max(1, Math.min(probeFrames / 2, 500));
    long firstLag = (long) leastOverlap - probeFrames;
    long lastLag = map.frames() - leastOverlap;
    int hop = size - probeFrames;
    for (long lag = firstLag; lag <= lastLag; lag += hop) {
      monitor.checkCancelled();
      float[][] block = bands(map, lag, size, size);
      for (float[] band : block) {
        Fft.ofSize(size).forward(band);
      }
      int lags = (int) Math.min(hop, lastLag - lag + 1);
      for (Probe probe : probes) {
        float[] score = new float[size];
        for (int band = 0; band < BANDS; band++) {
          Fft.addCrossSpectrum(block[band], probe.spectra[band], score);
        }
        Fft.ofSize(size).inverse(score);
        keepPeaks(probe, score, lag, lags, map.frames());
      }
    }
  }

  private static void keepPeaks(
      Probe probe, float[] score, long firstLag, int lags, long mapFrames) {
    double[] fair = new double[lags];
    for (int i = 0; i < lags; i++) {
      long from = Math.max(0, firstLag + i);
      long to = Math.min(mapFrames, firstLag + i + probe.frames);
      fair[i] = score[i] / Math.sqrt((double) (to - from) * BANDS);
      probe.sum += fair[i];
      probe.sumOfSquares += fair[i] * fair[i];
      probe.count++;
    }
    for (int round = 0; round < PEAKS_KEPT; round++) {
      int best = 0;
      for (int i = 1; i < lags; i++) {
        if (fair[i] > fair[best]) {
          best = i;
        }
      }
      if (fair[best] <= 0) {
        break;
      }
      probe.best.add(new Place(firstLag + best, fair[best]));
      int to = Math.min(lags - 1, best + PEAK_DISTANCE);
      for (int i = Math.max(0, best - PEAK_DISTANCE); i <= to; i++) {
        fair[i] = 0;
      }
    }
    probe.best.sort(Comparator.comparingDouble(Place::score).reversed());
    while (probe.best.size() > PEAKS_KEPT) {
      probe.best.remove(probe.best.size() - 1);
    }
  }

  /** The probe's places as source offsets, scored in standard deviations. */
  private static List<Place> standardised(Probe probe) {
    List<Place> places = new ArrayList<>();
    if (probe.count < 2) {
      return places;
    }
    double mean = probe.sum / probe.count;
    double variance = probe.sumOfSquares / probe.count - mean * mean;
    double deviation = Math.sqrt(Math.max(variance, 1e-12));
    for (Place place : probe.best) {
      double offset = (place.offsetSeconds() - probe.startFrame) * FRAME_SECONDS;
      places.add(new Place(offset, (place.score() - mean) / deviation));
    }
    return places;
  }

  /** Places that lie together become one; what speaks for them adds up. */
  private static List<Place> gathered(List<Place> found, int most) {
    List<Place> sorted = new ArrayList<>(found);
    sorted.sort(Comparator.comparingDouble(Place::score).reversed());
    List<Place> gathered = new ArrayList<>();
    for (Place place : sorted) {
      double extra = Math.max(0, place.score() - LEAST_DEVIATIONS);
      boolean joined = false;
      for (int i = 0; i < gathered.size() && !joined; i++) {
        Place other = gathered.get(i);
        if (Math.abs(other.offsetSeconds() - place.offsetSeconds()) <= SAME_PLACE_SECONDS) {
          gathered.set(i, new Place(other.offsetSeconds(), other.score() + extra));
          joined = true;
        }
      }
      if (!joined) {
        gathered.add(new Place(place.offsetSeconds(), extra));
      }
    }
    gathered.sort(Comparator.comparingDouble(Place::score).reversed());
    return gathered.size() > most ? List.copyOf(gathered.subList(0, most)) : gathered;
  }

  /** Bands of a stretch, levelled to unit power, padded with zeros to {@code size}. */
  private static float[][] bands(BandMap map, long startFrame, int frames, int size)
      throws MediaException {
    int margin = HALF_MEAN_FRAMES;
    byte[] values = map.read(startFrame - margin, frames + 2 * margin);
    int firstInside = (int) Math.max(0, Math.min(frames, -startFrame));
    int endInside = (int) Math.max(0, Math.min(frames, map.frames() - startFrame));
    float[][] bands = new float[BANDS][size];
    for (int band = 0; band < BANDS; band++) {
      int window = 2 * margin + 1;
      int running = 0;
      for (int i = 0; i < window - 1; i++) {
        running += values[i * BANDS + band];
      }
      double power = 0;
      for (int frame = 0; frame < frames; frame++) {
        running += values[(frame + window - 1) * BANDS + band];
        float x = values[(frame + margin) * BANDS + band] - (float) running / window;
        running -= values[frame * BANDS + band];
        if (frame >= firstInside && frame < endInside) {
          x = Math.max(-LARGEST_STEP, Math.min(LARGEST_STEP, x));
          bands[band][frame] = x;
          power += x * x;
        }
      }
      int inside = endInside - firstInside;
      if (power > 0 && inside > 0) {
        float scale = (float) (1 / Math.sqrt(power / inside));
        for (int frame = firstInside; frame < endInside; frame++) {
          bands[band][frame] *= scale;
        }
      }
    }
    return bands;
  }
}
