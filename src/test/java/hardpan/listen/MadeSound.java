package hardpan.listen;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaException;
import hardpan.media.SourceFacts;
import hardpan.media.SourceOpening;
import hardpan.media.SourceReader;
import java.util.List;
import java.util.concurrent.atomic.AtomicInteger;

/** A source whose samples are computed. */
final class MadeSound implements SourceOpening {
  final AtomicInteger opened = new AtomicInteger();
  final AtomicInteger closed = new AtomicInteger();
  private final int rateHz;
  private final long frames;
  private final List<Wave> channels;
  private final long brokenFrom;

  /** A channel's sample at a frame. */
  interface Wave {
    double at(long frame);
  }

  MadeSound(int rateHz, long frames, Wave... channels) {
    this(rateHz, frames, Long.MAX_VALUE, List.of(channels));
  }

  private MadeSound(int rateHz, long frames, long brokenFrom, List<Wave> channels) {
    this.rateHz = rateHz;
    this.frames = frames;
    this.brokenFrom = brokenFrom;
    this.channels = channels;
  }

  /** The same, but reading fails from a frame on. */
  MadeSound brokenFrom(long frame) {
    return new MadeSound(rateHz, frames, frame, channels);
  }

  @Override
  public SourceReader open() {
    opened.incrementAndGet();
    return new Reader();
  }

  private final class Reader implements SourceReader {
    @Override
    public SourceFacts facts() {
      return new SourceFacts(
          SourceFacts.Kind.CLIP,
          "mov",
          "aac",
          SourceFacts.SampleForm.LOSSY,
          rateHz,
          null,
          channels.size(),
          frames,
          null,
          null,
          channels.stream().map(channel -> "").toList(),
          SourceFacts.ReadBy.NATIVE);
    }

    @Override
    public int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
      if (startFrame + frameCount > brokenFrom) {
        throw new MalformedMediaException("The clip is damaged.");
      }
      int got = (int) Math.max(0, Math.min(frameCount, frames - startFrame));
      for (int c = 0; c < channels.size(); c++) {
        for (int i = 0; i < got; i++) {
          planar[c][i] = (float) channels.get(c).at(startFrame + i);
        }
      }
      return got;
    }

    @Override
    public int readIntegersAt(long startFrame, int[][] planar, int frameCount) {
      throw new UnsupportedOperationException();
    }

    @Override
    public void close() {
      closed.incrementAndGet();
    }
  }
}
