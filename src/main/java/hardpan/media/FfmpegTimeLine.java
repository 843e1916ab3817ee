package hardpan.media;

import hardpan.base.Span;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.NavigableMap;
import java.util.TreeMap;

/**
 * What the time stamps of one stream say: where sound is missing, where they go back, and whether
 * they run apart from the samples. Everything is in frames of the stream's rate.
 *
 * <p>What was met is kept by its place in the sound, so that a second pass over the same place does
 * not count twice.
 */
final class FfmpegTimeLine {
  /** Above the rounding of time stamps to whole milliseconds, below the shortest packet. */
  static final int TOLERANCE_MILLISECONDS = 3;

  /** A longer jump is a clock that was set anew, not sound that is missing. */
  private static final int MAX_HOLE_SECONDS = 3600;

  /** Time stamps that run apart from the samples by less are not worth a word. */
  private static final int LEAST_DRIFT_MILLISECONDS = 20;

  private static final int MAX_KEPT = 10_000;
  private static final int MAX_SENTENCES = 5;

  private final NavigableMap<Long, Long> missing = new TreeMap<>();
  private final NavigableMap<Long, Long> jumps = new TreeMap<>();
  private long uncountedMissing;
  private boolean started;
  private long firstFrames;
  private long expectedFrames;
  private long driftFrames;
  private long furthestDriftFrames;
  private long furthestFrame;

  /** Whether any decoded frame had a time stamp since the last start. */
  boolean started() {
    return started;
  }

  /** The first time stamp; 0 if there was none. */
  long firstFrames() {
    return firstFrames;
  }

  /** The time stamp that the next frame of sound should have. */
  long expectedFrames() {
    return expectedFrames;
  }

  /** How far the time stamps have run apart from the samples in small steps so far. */
  long driftFrames() {
    return driftFrames;
  }

  boolean anyHole() {
    return !missing.isEmpty();
  }

  /** Begins again: the next time stamp is the first. */
  void restart() {
    started = false;
    firstFrames = 0;
    expectedFrames = 0;
    driftFrames = 0;
  }

  /** Takes the first time stamp. */
  void start(long timeStamp, long first) {
    started = true;
    firstFrames = first;
    expectedFrames = timeStamp;
  }

  /** Goes on from a place that was passed before. */
  void resume(long expected, long drift) {
    started = true;
    expectedFrames = expected;
    driftFrames = drift;
  }

  /**
   * Takes a later time stamp.
   *
   * @param position the frame of the source that is delivered next
   * @param rateHz frames a second
   * @return frames of silence to put in first
   */
  long silenceBefore(long timeStamp, long position, int rateHz) {
    long step = timeStamp - expectedFrames;
    expectedFrames = timeStamp;
    if (Math.abs(step) * 1000 <= (long) TOLERANCE_MILLISECONDS * rateHz) {
      driftFrames += step;
      if (position > furthestFrame) {
        furthestFrame = position;
        furthestDriftFrames = driftFrames;
      }
      return 0;
    }
    if (step > 0 && step <= (long) MAX_HOLE_SECONDS * rateHz) {
      return step;
    }
    if (jumps.size() < MAX_KEPT) {
      jumps.put(position, step);
    }
    return 0;
  }

  /** Counts frames that were delivered. */
  void delivered(long frames) {
    expectedFrames += frames;
  }

  /** Notes silence that stands in for sound. */
  void conceal(long position, long frames) {
    if (missing.size() < MAX_KEPT) {
      missing.put(position, frames);
    } else if (position > missing.lastKey() + missing.lastEntry().getValue()) {
      uncountedMissing += frames;
    }
  }

  /** All silence that stands in for sound, up to an end. */
  long missingFrames(long endFrame) {
    long sum = uncountedMissing;
    for (Span span : missingSpans(endFrame)) {
      sum += span.frames();
    }
    return sum;
  }

  /** Where silence stands in for sound, in order, neighbours joined; the first ten thousand. */
  List<Span> missingSpans(long endFrame) {
    List<Span> spans = new ArrayList<>();
    for (Map.Entry<Long, Long> entry : missing.entrySet()) {
      long start = Math.min(entry.getKey(), endFrame);
      long end = Math.min(entry.getKey() + entry.getValue(), endFrame);
      Span last = spans.isEmpty() ? null : spans.get(spans.size() - 1);
      if (last != null && last.endFrame() >= start) {
        spans.set(spans.size() - 1, new Span(last.startFrame(), Math.max(end, last.endFrame())));
      } else if (end > start) {
        spans.add(new Span(start, end));
      }
    }
    return spans;
  }

  /** What is odd about the time stamps, one sentence each. */
  List<String> sentences(int rateHz) {
    List<String> sentences = new ArrayList<>();
    for (Map.Entry<Long, Long> jump : jumps.entrySet()) {
      if (sentences.size() == MAX_SENTENCES) {
        sentences.add(
            "The time stamps jump at " + (jumps.size() - MAX_SENTENCES) + " more places.");
        break;
      }
      double at = (double) jump.getKey() / rateHz;
      double by = (double) Math.abs(jump.getValue()) / rateHz;
      sentences.add(
          jump.getValue() < 0
              ? String.format(
                  Locale.ROOT,
                  "At %.3f s the time stamps of the sound go back by %.3f s; the sound is played on"
                      + " without a break and nothing is left out.",
                  at,
                  by)
              : String.format(
                  Locale.ROOT,
                  "At %.3f s the time stamps of the sound jump ahead by %.0f s, more than can be"
                      + " missing; the sound is played on without a break.",
                  at,
                  by));
    }
    if (Math.abs(furthestDriftFrames) * 1000 > (long) LEAST_DRIFT_MILLISECONDS * rateHz) {
      sentences.add(
          String.format(
              Locale.ROOT,
              "By %.1f s the time stamps have run %.3f s %s the samples, little by little: the"
                  + " picture may run apart from the sound by as much.",
              (double) furthestFrame / rateHz,
              (double) Math.abs(furthestDriftFrames) / rateHz,
              furthestDriftFrames > 0 ? "ahead of" : "behind"));
    }
    return sentences;
  }
}
