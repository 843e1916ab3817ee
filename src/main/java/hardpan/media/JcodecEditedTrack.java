package hardpan.media;

import hardpan.base.MediaException;
import hardpan.base.Span;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** A track as its edit list plays it. */
record JcodecEditedTrack(JcodecTrack track, IsoEdits edits) implements SoundPart {
  @Override
  public int channelCount() {
    return track.channelCount();
  }

  @Override
  public int readFloats(long start, float[][] planar, int firstChannel, int at, int count)
      throws MediaException {
    int done = 0;
    while (done < count) {
      IsoEdits.Part part = edits.partAt(start + done);
      int step = step(part, start + done, count - done);
      if (part == null || step <= 0) {
        break;
      }
      if (part.mediaStart() < 0) {
        for (int c = 0; c < channelCount(); c++) {
          Arrays.fill(planar[firstChannel + c], at + done, at + done + step, 0f);
        }
      } else {
        long from = part.mediaStart() + start + done - part.start();
        track.readFloats(from, planar, firstChannel, at + done, step);
      }
      done += step;
    }
    return done;
  }

  @Override
  public int readIntegers(long start, int[][] planar, int firstChannel, int at, int count)
      throws MediaException {
    int done = 0;
    while (done < count) {
      IsoEdits.Part part = edits.partAt(start + done);
      int step = step(part, start + done, count - done);
      if (part == null || step <= 0) {
        break;
      }
      if (part.mediaStart() < 0) {
        for (int c = 0; c < channelCount(); c++) {
          Arrays.fill(planar[firstChannel + c], at + done, at + done + step, 0);
        }
      } else {
        long from = part.mediaStart() + start + done - part.start();
        track.readIntegers(from, planar, firstChannel, at + done, step);
      }
      done += step;
    }
    return done;
  }

  /** Frames of the part from here on, of those wanted; 0 where the file was cut. */
  private int step(IsoEdits.@Nullable Part part, long frame, int wanted) {
    if (part == null) {
      return 0;
    }
    long left = part.start() + part.count() - frame;
    if (part.mediaStart() >= 0) {
      left = Math.min(left, track.availableFrames() - (part.mediaStart() + frame - part.start()));
    }
    return (int) Math.max(0, Math.min(wanted, left));
  }

  @Override
  public long concealedFrames() {
    return track.concealedFrames();
  }

  @Override
  public List<Span> missingSpans() {
    List<Span> spans = new ArrayList<>();
    for (IsoEdits.Part part : edits.parts()) {
      for (Span span : part.mediaStart() < 0 ? List.<Span>of() : track.missingSpans()) {
        long start = Math.max(span.startFrame(), part.mediaStart());
        long end = Math.min(span.endFrame(), part.mediaStart() + part.count());
        if (start < end) {
          long shift = part.start() - part.mediaStart();
          spans.add(new Span(start + shift, end + shift));
        }
      }
    }
    return spans;
  }

  /** Nothing to do: the reader owns the file. */
  @Override
  public void close() {}
}
