package hardpan.lineup;

import hardpan.base.MediaException;
import hardpan.base.Monitor;
import hardpan.signal.BandEnergies;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/**
 * Finds the few places where a source may sit on the reference, by correlating band-energy maps
 * band by band. Good to a few hundredths of a second; proves nothing.
 *
 * <p>The longer one is worked through in the blocks of its {@link MapSpectra}, so memory does not
 * grow with its length.
 */
final class CoarseSearch {
  private static final int BANDS = MapSpectra.BANDS;
  private static final int SIZE = MapSpectra.SIZE;
  private static final int LONGEST_PROBE = MapSpectra.LONGEST_PROBE;
  private static final double FRAME_SECONDS =
      (double) MapSpectra.MAP_FRAMES / BandEnergies.FRAMES_PER_SECOND;
  private static final int MOST_IN_CHANNEL = 5;

  /** For all channels together; each channel has at least one nevertheless. */
  private static final int MOST_PROBES = 6;

  private static final int PEAKS_KEPT = 12;
  private static final int PEAK_DISTANCE = 8;
  private static final double SAME_PLACE_SECONDS = 0.25;
  private static final double LEAST_DEVIATIONS = 3;

  /** A place stands alone if this much speaks for it and for no other more than a share of it. */
  private static final double LEAST_ALONE = 8;

  /** Channels that are alike agree on chance too: so much for each pair of channels. */
  private static final double LEAST_ALONE_IN_PAIR = 3;

  private static final double OTHERS_SHARE = 0.5;

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

  /**
   * Whether the first of these places leaves all others far behind. What is alike in two events,
   * such as a beat, fits in many places.
   *
   * @param places best first
   * @param pairs channels of the source times channels of the reference, whose scores are added
   */
  static boolean standsAlone(List<Place> places, int pairs) {
    return !places.isEmpty()
        && places.get(0).score() >= Math.max(LEAST_ALONE, LEAST_ALONE_IN_PAIR * pairs)
        && (places.size() == 1 || places.get(1).score() <= OTHERS_SHARE * places.get(0).score());
  }

  /** Places of the shorter one on the longer one. */
  private static List<Place> found(Candidate source, Candidate reference, Monitor monitor)
      throws MediaException {
    long frames = MapSpectra.frames(source.maps().get(0));
    int probeFrames = (int) Math.min(frames, LONGEST_PROBE);
    List<Probe> probes = new ArrayList<>();
    List<Integer> channels = source.channels();
    int inChannel = (int) Math.min(MOST_IN_CHANNEL, (frames + LONGEST_PROBE - 1) / LONGEST_PROBE);
    inChannel = Math.max(1, Math.min(inChannel, MOST_PROBES / channels.size()));
    int number = inChannel * channels.size();
    for (int i = 0; i < number; i++) {
      // Neighbours come from different channels, so that few probes see many stretches.
      int channel = channels.get(i % channels.size());
      long start = (frames - probeFrames) * i / Math.max(1, number - 1);
      float[][] spectra = MapSpectra.bands(source.maps().get(channel), start, probeFrames, SIZE);
      for (int band = 0; band < spectra.length; band++) {
        spectra[band] = MapSpectra.spectrum(spectra[band]);
      }
      probes.add(new Probe(start, probeFrames, spectra));
    }
    List<Place> found = new ArrayList<>();
    for (int channel : reference.channels()) {
      probes.forEach(Probe::reset);
      scan(reference.maps().get(channel).spectra(), probes, probeFrames, monitor);
      for (Probe probe : probes) {
        found.addAll(standardised(probe));
      }
    }
    return found;
  }

  private static void scan(MapSpectra map, List<Probe> probes, int probeFrames, Monitor monitor)
      throws MediaException {
    int leastOverlap = Math.max(1, Math.min(probeFrames / 2, 125));
    long firstLag = (long) leastOverlap - probeFrames;
    long endLag = map.frames() - leastOverlap + 1;
    float[][] block = new float[BANDS][SIZE];
    float[] sum = new float[SIZE];
    float[] score = new float[SIZE];
    try (MapSpectra.Blocks blocks = new MapSpectra.Blocks(map)) {
      for (long number = 0; number < map.blocks(); number++) {
        long start = MapSpectra.firstFrame(number);
        int from = (int) Math.max(0, firstLag - start);
        int to = (int) Math.min(MapSpectra.HOP, endLag - start);
        if (from >= to) {
          continue;
        }
        monitor.checkCancelled();
        blocks.read(number, block);
        for (Probe probe : probes) {
          Arrays.fill(sum, 0);
          for (int band = 0; band < BANDS; band++) {
            MapSpectra.addCross(block[band], probe.spectra[band], sum);
          }
          MapSpectra.inverse(sum, score);
          keepPeaks(probe, score, start, from, to, map.frames());
        }
      }
    }
  }

  private static void keepPeaks(
      Probe probe, float[] score, long start, int firstLag, int endLag, long mapFrames) {
    double[] fair = fair(probe, score, start, firstLag, endLag, mapFrames);
    double sum = 0;
    double sumOfSquares = 0;
    for (double value : fair) {
      sum += value;
      sumOfSquares += value * value;
    }
    probe.sum += sum;
    probe.sumOfSquares += sumOfSquares;
    probe.count += fair.length;
    for (int round = 0; round < PEAKS_KEPT; round++) {
      boolean isFull = probe.best.size() >= PEAKS_KEPT;
      double most = isFull ? probe.best.get(PEAKS_KEPT - 1).score() : 0;
      int best = -1;
      for (int i = 0; i < fair.length; i++) {
        if (fair[i] > most) {
          most = fair[i];
          best = i;
        }
      }
      if (best < 0) {
        break;
      }
      probe.best.add(new Place(start + firstLag + best, fair[best]));
      probe.best.sort(Comparator.comparingDouble(Place::score).reversed());
      if (probe.best.size() > PEAKS_KEPT) {
        probe.best.remove(PEAKS_KEPT);
      }
      int to = Math.min(fair.length - 1, best + PEAK_DISTANCE);
      for (int i = Math.max(0, best - PEAK_DISTANCE); i <= to; i++) {
        fair[i] = 0;
      }
    }
  }

  /** Scores of places, fair to those where the probe reaches over one of the map's ends. */
  private static double[] fair(
      Probe probe, float[] score, long start, int firstLag, int endLag, long mapFrames) {
    double[] fair = new double[endLag - firstLag];
    int firstInside = (int) Math.max(firstLag, Math.min(endLag, -start));
    int endInside =
        (int) Math.max(firstInside, Math.min(endLag, mapFrames - probe.frames - start + 1));
    double whole = 1 / Math.sqrt((double) probe.frames * BANDS);
    for (int lag = firstInside; lag < endInside; lag++) {
      fair[lag - firstLag] = score[lag] * whole;
    }
    for (int lag = firstLag; lag < endLag; lag++) {
      if (lag < firstInside || lag >= endInside) {
        long from = Math.max(0, start + lag);
        long to = Math.min(mapFrames, start + lag + probe.frames);
        fair[lag - firstLag] = score[lag] / Math.sqrt((double) (to - from) * BANDS);
      }
    }
    return fair;
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
}
