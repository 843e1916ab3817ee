package hardpan.media;

import hardpan.base.MediaException;
import hardpan.base.Span;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/**
 * Several sound streams as one source: their channels in order, later beginnings and earlier ends
 * filled up with silence. The source is as long as its longest part.
 */
final class SoundParts implements AutoCloseable {
  private final List<? extends SoundPart> parts;
  private final long[] leadFrames;
  private final int channelCount;
  private boolean closed;

  /**
   * Takes the parts over.
   *
   * @param leadFrames one number a part: the silence before its first frame, at least 0
   */
  SoundParts(List<? extends SoundPart> parts, long[] leadFrames) {
    this.parts = List.copyOf(parts);
    this.leadFrames = leadFrames.clone();
    this.channelCount = parts.stream().mapToInt(SoundPart::channelCount).sum();
  }

  int channelCount() {
    return channelCount;
  }

  int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    check(startFrame, planar.length, frameCount);
    return read(
        startFrame,
        frameCount,
        (part, from, channel, at, count) -> part.readFloats(from, planar, channel, at, count),
        (channel, from, to) -> Arrays.fill(planar[channel], from, to, 0f));
  }

  int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    check(startFrame, planar.length, frameCount);
    return read(
        startFrame,
        frameCount,
        (part, from, channel, at, count) -> part.readIntegers(from, planar, channel, at, count),
        (channel, from, to) -> Arrays.fill(planar[channel], from, to, 0));
  }

  private interface PartRead {
    int read(SoundPart part, long from, int firstChannel, int at, int count) throws MediaException;
  }

  private interface Silence {
    void fill(int channel, int from, int to);
  }

  private int read(long startFrame, int frameCount, PartRead reading, Silence silence)
      throws MediaException {
    int[] got = new int[parts.size()];
    int delivered = 0;
    int channel = 0;
    for (int i = 0; i < got.length; i++) {
      SoundPart part = parts.get(i);
      int silent = (int) Math.max(0, Math.min(frameCount, leadFrames[i] - startFrame));
      for (int c = 0; c < part.channelCount(); c++) {
        silence.fill(channel + c, 0, silent);
      }
      got[i] = silent;
      if (silent < frameCount) {
        long from = startFrame + silent - leadFrames[i];
        got[i] += reading.read(part, from, channel, silent, frameCount - silent);
      }
      delivered = Math.max(delivered, got[i]);
      channel += part.channelCount();
    }
    channel = 0;
    for (int i = 0; i < got.length; i++) {
      for (int c = 0; c < parts.get(i).channelCount(); c++, channel++) {
        silence.fill(channel, got[i], delivered);
      }
    }
    return delivered;
  }

  private void check(long startFrame, int arrays, int frameCount) {
    if (closed) {
      throw new IllegalStateException("closed");
    }
    if (startFrame < 0 || frameCount < 1 || arrays < channelCount) {
      throw new IllegalArgumentException(startFrame + ", " + frameCount + ", " + arrays);
    }
  }

  /** The most any part has concealed. */
  long concealedFrames() {
    return parts.stream().mapToLong(SoundPart::concealedFrames).max().orElse(0);
  }

  /** Where any part is silent because its sound is missing; in order, overlaps joined. */
  List<Span> missingSpans() {
    List<Span> all = new ArrayList<>();
    for (int i = 0; i < parts.size(); i++) {
      for (Span span : parts.get(i).missingSpans()) {
        all.add(new Span(span.startFrame() + leadFrames[i], span.endFrame() + leadFrames[i]));
      }
    }
    all.sort(Comparator.comparingLong(Span::startFrame));
    List<Span> joined = new ArrayList<>();
    for (Span span : all) {
      Span last = joined.isEmpty() ? null : joined.get(joined.size() - 1);
      if (last != null && span.startFrame() <= last.endFrame()) {
        long end = Math.max(last.endFrame(), span.endFrame());
        joined.set(joined.size() - 1, new Span(last.startFrame(), end));
      } else {
        joined.add(span);
      }
    }
    return joined;
  }

  /** What is odd about the parts; where there are several, each sentence says which. */
  List<String> oddities() {
    List<String> all = new ArrayList<>();
    for (int i = 0; i < parts.size(); i++) {
      String which = parts.size() == 1 ? "" : "Sound stream " + (i + 1) + ": ";
      parts.get(i).oddities().forEach(sentence -> all.add(which + sentence));
    }
    return all;
  }

  @Override
  public void close() {
    if (!closed) {
      closed = true;
      parts.forEach(SoundPart::close);
    }
  }
}
