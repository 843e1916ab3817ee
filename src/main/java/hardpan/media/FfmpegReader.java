package hardpan.media;

import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Reads any clip or recording through the FFmpeg libraries.
 *
 * <p>All sound streams that share the first one's rate become one source, their channels in the
 * file's order. Streams the libraries cannot decode are left out as long as one can be.
 *
 * <p>Frame 0 is the first decoded frame of sound after edit lists and after the encoder delay the
 * file declares; with several streams, of the stream that begins earliest. Where the picture begins
 * does not matter. What no file declares stays in: a transport stream with AC-3 sound begins with
 * the 256 frames of its encoder's overlap, so that a click written at frame n is found at n + 256
 * (measured with the libraries' own encoder; 256 is the overlap of the 512-sample transform of ATSC
 * A/52); AAC in a transport stream or in a fragmented MP4 without an edit list is 1024 frames late
 * in the same way.
 *
 * <p>Damaged packets and holes in the time stamps become silence of the same length; {@link
 * #concealedFrames} counts it.
 */
public final class FfmpegReader implements SourceReader {
  private static final int MAX_CHANNELS = 256;

  /** A stream that begins so much later than the first is not delayed but on another clock. */
  private static final int MAX_LEAD_SECONDS = 600;

  private final SourceFacts facts;
  private final List<FfmpegSoundStream> streams;
  private final long[] leadFrames;
  private boolean closed;

  private FfmpegReader(SourceFacts facts, List<FfmpegSoundStream> streams, long[] leadFrames) {
    this.facts = facts;
    this.streams = streams;
    this.leadFrames = leadFrames;
  }

  /**
   * Opens a file, read-only.
   *
   * @throws hardpan.base.MediaAccessException missing, a folder, no permission, disk failure
   * @throws hardpan.base.MalformedMediaException empty, damaged, cut short, not media
   * @throws UnsupportedMediaException no sound, unknown codec, or the libraries do not load here
   */
  public static FfmpegReader open(Path file) throws MediaException {
    List<FfmpegSoundStream> streams = new ArrayList<>();
    boolean done = false;
    try (FfmpegInput input = FfmpegInput.open(file)) {
      openStreams(file, input.soundStreams(), streams);
      long origin = streams.stream().mapToLong(FfmpegSoundStream::firstPtsFrames).min().orElse(0);
      long[] lead = new long[streams.size()];
      for (int i = 0; i < lead.length; i++) {
        FfmpegSoundStream stream = streams.get(i);
        long frames = stream.firstPtsFrames() - origin;
        lead[i] = frames > (long) MAX_LEAD_SECONDS * stream.rateHz() ? 0 : frames;
      }
      FfmpegReader reader = new FfmpegReader(facts(file, input, streams, lead), streams, lead);
      done = true;
      return reader;
    } finally {
      if (!done) {
        streams.forEach(FfmpegSoundStream::close);
      }
    }
  }

  private static void openStreams(Path file, List<Integer> indices, List<FfmpegSoundStream> streams)
      throws MediaException {
    MediaException firstFailure = null;
    int channels = 0;
    for (int index : indices) {
      try {
        FfmpegSoundStream stream = FfmpegSoundStream.open(file, index);
        channels += stream.channelCount();
        if (channels > MAX_CHANNELS
            || (!streams.isEmpty() && streams.get(0).rateHz() != stream.rateHz())) {
          channels -= stream.channelCount();
          stream.close();
        } else {
          streams.add(stream);
        }
      } catch (MediaException e) {
        firstFailure = firstFailure == null ? e : firstFailure;
      }
    }
    if (streams.isEmpty()) {
      throw firstFailure != null
          ? firstFailure
          : new UnsupportedMediaException(file.getFileName() + " has no sound.");
    }
  }

  private static SourceFacts facts(
      Path file, FfmpegInput input, List<FfmpegSoundStream> streams, long[] lead) {
    FfmpegSoundStream first = streams.get(0);
    SourceFacts.SampleForm form = first.sampleForm();
    int channels = 0;
    int bits = 0;
    long frames = 0;
    for (int i = 0; i < lead.length; i++) {
      FfmpegSoundStream stream = streams.get(i);
      channels += stream.channelCount();
      bits = Math.max(bits, stream.bitsPerSample());
      if (stream.sampleForm() != form) {
        form = SourceFacts.SampleForm.LOSSY;
      }
      long expected = stream.expectedFrames();
      frames = expected < 0 || frames < 0 ? -1 : Math.max(frames, lead[i] + expected);
    }
    return new SourceFacts(
        MediaNames.kind(file, input.hasPicture()),
        input.container(),
        first.codecName(),
        form,
        first.rateHz(),
        form == SourceFacts.SampleForm.LOSSY ? null : bits,
        channels,
        frames < 0 ? null : frames,
        input.startedAt(),
        timeReference(input),
        Collections.nCopies(channels, ""),
        SourceFacts.ReadBy.NATIVE);
  }

  private static @Nullable Long timeReference(FfmpegInput input) {
    String text = input.tag("time_reference");
    if (text == null) {
      return null;
    }
    try {
      return Long.parseLong(text.strip());
    } catch (NumberFormatException e) {
      return null;
    }
  }

  @Override
  public SourceFacts facts() {
    return facts;
  }

  @Override
  public int readAt(long startFrame, float[][] planar, int frameCount) throws MediaException {
    check(startFrame, planar.length, frameCount);
    return read(
        startFrame,
        frameCount,
        (stream, from, channel, at, count) -> stream.readFloats(from, planar, channel, at, count),
        (channel, from, to) -> Arrays.fill(planar[channel], from, to, 0f));
  }

  @Override
  public int readIntegersAt(long startFrame, int[][] planar, int frameCount) throws MediaException {
    if (facts.sampleForm() != SourceFacts.SampleForm.INTEGER) {
      throw new UnsupportedOperationException("samples are not whole numbers");
    }
    check(startFrame, planar.length, frameCount);
    return read(
        startFrame,
        frameCount,
        (stream, from, channel, at, count) -> stream.readIntegers(from, planar, channel, at, count),
        (channel, from, to) -> Arrays.fill(planar[channel], from, to, 0));
  }

  private interface StreamRead {
    int read(FfmpegSoundStream stream, long from, int firstChannel, int at, int count)
        throws MediaException;
  }

  private interface Silence {
    void fill(int channel, int from, int to);
  }

  /** Each stream's part, later beginnings and earlier ends filled up with silence. */
  private int read(long startFrame, int frameCount, StreamRead part, Silence silence)
      throws MediaException {
    int[] got = new int[streams.size()];
    int delivered = 0;
    int channel = 0;
    for (int i = 0; i < got.length; i++) {
      FfmpegSoundStream stream = streams.get(i);
      int silent = (int) Math.max(0, Math.min(frameCount, leadFrames[i] - startFrame));
      for (int c = 0; c < stream.channelCount(); c++) {
        silence.fill(channel + c, 0, silent);
      }
      got[i] = silent;
      if (silent < frameCount) {
        long from = startFrame + silent - leadFrames[i];
        got[i] += part.read(stream, from, channel, silent, frameCount - silent);
      }
      delivered = Math.max(delivered, got[i]);
      channel += stream.channelCount();
    }
    channel = 0;
    for (int i = 0; i < got.length; i++) {
      for (int c = 0; c < streams.get(i).channelCount(); c++, channel++) {
        silence.fill(channel, got[i], delivered);
      }
    }
    return delivered;
  }

  private void check(long startFrame, int arrays, int frameCount) {
    if (closed) {
      throw new IllegalStateException("closed");
    }
    if (startFrame < 0 || frameCount < 1 || arrays < facts.channelCount()) {
      throw new IllegalArgumentException(startFrame + ", " + frameCount + ", " + arrays);
    }
  }

  @Override
  public long concealedFrames() {
    return streams.stream().mapToLong(FfmpegSoundStream::concealedFrames).max().orElse(0);
  }

  @Override
  public void close() {
    if (!closed) {
      closed = true;
      streams.forEach(FfmpegSoundStream::close);
    }
  }
}
