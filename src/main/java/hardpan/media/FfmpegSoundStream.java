package hardpan.media;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Arrays;
import org.bytedeco.ffmpeg.avcodec.AVCodec;
import org.bytedeco.ffmpeg.avcodec.AVCodecContext;
import org.bytedeco.ffmpeg.avcodec.AVCodecDescriptor;
import org.bytedeco.ffmpeg.avcodec.AVCodecParameters;
import org.bytedeco.ffmpeg.avcodec.AVPacket;
import org.bytedeco.ffmpeg.avformat.AVStream;
import org.bytedeco.ffmpeg.avutil.AVDictionary;
import org.bytedeco.ffmpeg.avutil.AVFrame;
import org.bytedeco.ffmpeg.avutil.AVRational;
import org.bytedeco.ffmpeg.global.avcodec;
import org.bytedeco.ffmpeg.global.avformat;
import org.bytedeco.ffmpeg.global.avutil;
import org.jspecify.annotations.Nullable;

/**
 * One sound stream of a file, decoded in order, with every sample at its place.
 *
 * <p>Each stream has the file open for itself, so that files whose streams lie far apart need no
 * buffering. Frame 0 is the first frame the decoder delivers, after edit lists and the encoder
 * delay that the file declares. From there on the time stamps of the decoded frames count: a hole
 * of more than {@value #HOLE_MILLISECONDS} ms becomes silence of the same length.
 */
final class FfmpegSoundStream implements SoundPart {
  /** Above the rounding of time stamps to whole milliseconds, below the shortest packet. */
  static final int HOLE_MILLISECONDS = 3;

  /** A longer jump is a clock that was set anew, not sound that is missing. */
  private static final int MAX_HOLE_SECONDS = 3600;

  /** So many damaged packets in a row end a stream. */
  private static final int MAX_READ_FAILURES = 10_000;

  private static final int MAX_RATE_HZ = 3_072_000;
  private static final int MAX_CHANNELS = 256;

  private final Path file;
  private final int index;
  private final @Nullable IsoMovie movie;
  private final FfmpegSampleLayout layout = new FfmpegSampleLayout();
  private final AVFrame frame = avutil.av_frame_alloc();
  private final AVPacket packet = avcodec.av_packet_alloc();

  private FfmpegInput input;
  private AVStream stream;
  private AVCodecContext decoder;
  private long timeBaseNumerator;
  private long timeBaseDenominator;

  // What holds for the whole stream, known after the first decoded frame.
  private int rateHz;
  private int channelCount;
  private boolean integer;
  private long firstPtsFrames;
  private long endFrame = Long.MAX_VALUE;

  // Where the decoding stands.
  private long position;
  private long silenceLeft;
  private int[][] integers = new int[0][];
  private float[][] floats = new float[0][];
  private int heldFrom;
  private int heldTo;
  private boolean draining;
  private boolean ended;
  private boolean anyTimeStamp;
  private long expectedPtsFrames;
  private long failedTailFrames;
  private long toDropFrames;
  private boolean anyHole;
  private long concealedFrames;

  private FfmpegSoundStream(Path file, int index, @Nullable IsoMovie movie, FfmpegInput input) {
    this.file = file;
    this.movie = movie;
    this.index = index;
    this.input = input;
    this.stream = input.only(index);
    this.decoder = avcodec.avcodec_alloc_context3(null);
  }

  /**
   * Opens one stream and decodes its first frame.
   *
   * @param movie the index of a MOV or MP4 file, which tells where the sound ends; else null
   * @throws UnsupportedMediaException if the libraries do not know the codec
   * @throws MalformedMediaException if nothing at all can be decoded
   */
  static FfmpegSoundStream open(Path file, int index, @Nullable IsoMovie movie)
      throws MediaException {
    FfmpegSoundStream sound = new FfmpegSoundStream(file, index, movie, FfmpegInput.open(file));
    boolean done = false;
    try {
      sound.startDecoder();
      sound.readFirst();
      done = true;
    } finally {
      if (!done) {
        sound.close();
      }
    }
    return sound;
  }

  private void startDecoder() throws MediaException {
    AVCodecParameters parameters = stream.codecpar();
    AVCodec codec = avcodec.avcodec_find_decoder(parameters.codec_id());
    if (codec == null || codec.isNull()) {
      throw new UnsupportedMediaException(
          "The sound of "
              + file.getFileName()
              + " has a codec that cannot be read ("
              + codecName()
              + ").");
    }
    AVRational timeBase = stream.time_base();
    timeBaseNumerator = timeBase.num();
    timeBaseDenominator = Math.max(1, timeBase.den());
    int code = avcodec.avcodec_parameters_to_context(decoder, parameters);
    if (code >= 0) {
      decoder.pkt_timebase(timeBase);
      decoder.thread_count(1);
      code = avcodec.avcodec_open2(decoder, codec, (AVDictionary) null);
    }
    if (code == avutil.AVERROR_PATCHWELCOME) {
      throw new UnsupportedMediaException(
          "The sound of "
              + file.getFileName()
              + " uses a form of "
              + codecName()
              + " that cannot be read.");
    }
    if (code < 0) {
      throw new MalformedMediaException(
          "The sound track of " + file.getFileName() + " is damaged: its decoder cannot start.");
    }
  }

  private void readFirst() throws MediaException {
    if (!pull()) {
      throw new MalformedMediaException(
          "Nothing in the sound track of "
              + file.getFileName()
              + " can be decoded: copy the file again from the card.");
    }
    endFrame = declaredEnd();
  }

  /**
   * Where the sound of a MOV or MP4 file ends: a lossy codec delivers whole packets, the time table
   * and the edit list say how much of the last one counts. Where they make no sense together with
   * the number of packets, everything is delivered.
   */
  private long declaredEnd() {
    IsoMovie.Track track = movie == null ? null : movie.soundTrack(stream.id());
    if (track == null || sampleForm() != SourceFacts.SampleForm.LOSSY) {
      return Long.MAX_VALUE;
    }
    // The first frame may be cut by the edit list, and some decoders state no frame size.
    long packetFrames = Math.max(decoder.frame_size(), heldTo);
    long all = track.table().sampleCount() * packetFrames;
    long media = IsoEdits.rescaled(track.declaredUnits(), rateHz, track.timeScale());
    if (media > all || media <= all - packetFrames) {
      return Long.MAX_VALUE;
    }
    IsoEdits edits =
        IsoEdits.read(track.editList(), track.movieScale(), track.timeScale(), rateHz, media);
    return edits.parts().size() == 1 ? edits.frameCount() : Long.MAX_VALUE;
  }

  // ---- facts -------------------------------------------------------------------------------

  int rateHz() {
    return rateHz;
  }

  @Override
  public int channelCount() {
    return channelCount;
  }

  /** The first frame's time stamp in frames of this stream's rate; 0 where the file has none. */
  long firstPtsFrames() {
    return anyTimeStamp ? firstPtsFrames : 0;
  }

  String codecName() {
    return avcodec.avcodec_get_name(stream.codecpar().codec_id()).getString(StandardCharsets.UTF_8);
  }

  SourceFacts.SampleForm sampleForm() {
    AVCodecDescriptor descriptor = avcodec.avcodec_descriptor_get(stream.codecpar().codec_id());
    int properties = descriptor == null || descriptor.isNull() ? 0 : descriptor.props();
    boolean lossless =
        (properties & avcodec.AV_CODEC_PROP_LOSSLESS) != 0
            && (properties & avcodec.AV_CODEC_PROP_LOSSY) == 0;
    if (!lossless) {
      return SourceFacts.SampleForm.LOSSY;
    }
    return FfmpegSampleLayout.isInteger(decoder.sample_fmt())
        ? SourceFacts.SampleForm.INTEGER
        : SourceFacts.SampleForm.FLOAT;
  }

  /** Valid bits of a sample; 0 for a lossy codec. */
  int bitsPerSample() {
    if (sampleForm() == SourceFacts.SampleForm.LOSSY) {
      return 0;
    }
    int exact = avcodec.av_get_exact_bits_per_sample(stream.codecpar().codec_id());
    if (exact > 0) {
      return exact;
    }
    int raw = decoder.bits_per_raw_sample();
    return raw > 0 && raw <= 64 ? raw : 8 * avutil.av_get_bytes_per_sample(decoder.sample_fmt());
  }

  /** Expected length in frames; -1 if only decoding can tell. */
  long expectedFrames() {
    if (endFrame != Long.MAX_VALUE) {
      return endFrame;
    }
    boolean tells =
        switch (input.container()) {
          case "wav", "w64", "aiff", "caf", "flac" -> true;
          case "mov", "mp4" -> integer || sampleForm() == SourceFacts.SampleForm.FLOAT;
          default -> false;
        };
    long declared = stream.duration();
    return tells && declared != avutil.AV_NOPTS_VALUE && declared >= 0 ? frames(declared) : -1;
  }

  @Override
  public long concealedFrames() {
    return concealedFrames;
  }

  private long frames(long timeStamp) {
    if (timeStamp == avutil.AV_NOPTS_VALUE) {
      return -1;
    }
    return avutil.av_rescale(
        timeStamp, timeBaseNumerator * decoder.sample_rate(), timeBaseDenominator);
  }

  // ---- reading -----------------------------------------------------------------------------

  @Override
  public int readFloats(long start, float[][] planar, int firstChannel, int at, int count)
      throws MediaException {
    goTo(start);
    int done = 0;
    while (done < count && ready()) {
      int step = step(count - done);
      for (int c = 0; c < channelCount; c++) {
        float[] out = planar[firstChannel + c];
        if (silenceLeft > 0) {
          Arrays.fill(out, at + done, at + done + step, 0f);
        } else if (integer) {
          int[] in = integers[c];
          for (int i = 0; i < step; i++) {
            out[at + done + i] = in[heldFrom + i] * 0x1p-31f;
          }
        } else {
          System.arraycopy(floats[c], heldFrom, out, at + done, step);
        }
      }
      advance(step);
      done += step;
    }
    return done;
  }

  @Override
  public int readIntegers(long start, int[][] planar, int firstChannel, int at, int count)
      throws MediaException {
    if (!integer) {
      throw new UnsupportedOperationException("not whole numbers");
    }
    goTo(start);
    int done = 0;
    while (done < count && ready()) {
      int step = step(count - done);
      for (int c = 0; c < channelCount; c++) {
        int[] out = planar[firstChannel + c];
        if (silenceLeft > 0) {
          Arrays.fill(out, at + done, at + done + step, 0);
        } else {
          System.arraycopy(integers[c], heldFrom, out, at + done, step);
        }
      }
      advance(step);
      done += step;
    }
    return done;
  }

  private void goTo(long start) throws MediaException {
    if (start < position || start - position > rateHz) {
      seek(start);
    }
    if (start < position) {
      restart();
    }
    while (position < start && ready()) {
      advance(step(start - position));
    }
  }

  /** Whether there is something to deliver at the present position. */
  private boolean ready() throws MediaException {
    if (position >= endFrame) {
      return false;
    }
    return silenceLeft > 0 || heldFrom < heldTo || pull();
  }

  private int step(long wanted) {
    long there = silenceLeft > 0 ? silenceLeft : heldTo - heldFrom;
    return (int) Math.min(Math.min(wanted, there), endFrame - position);
  }

  private void advance(int step) {
    if (silenceLeft > 0) {
      silenceLeft -= step;
      concealedFrames += step;
    } else {
      heldFrom += step;
    }
    position += step;
  }

  private void restart() throws MediaException {
    avcodec.avcodec_free_context(decoder);
    input.close();
    input = FfmpegInput.open(file);
    if (index >= input.context().nb_streams()) {
      throw new MediaAccessException(file.getFileName() + " changed while it was being read.");
    }
    stream = input.only(index);
    decoder = avcodec.avcodec_alloc_context3(null);
    startDecoder();
    position = 0;
    concealedFrames = 0;
    forget();
    anyTimeStamp = false;
    pull();
  }

  private void forget() {
    silenceLeft = 0;
    heldFrom = 0;
    heldTo = 0;
    draining = false;
    ended = false;
    failedTailFrames = 0;
    toDropFrames = 0;
  }

  /**
   * Jumps within uncompressed sound, where each packet's time stamp is exact: the container counts
   * in frames of this rate and no hole was met. Everything else is reached by decoding.
   */
  private void seek(long start) throws MediaException {
    boolean exact =
        sampleForm() != SourceFacts.SampleForm.LOSSY
            && codecName().startsWith("pcm_")
            && timeBaseNumerator == 1
            && timeBaseDenominator == rateHz
            && !anyHole
            && (input.container().equals("mov") || input.container().equals("mp4"));
    if (!exact) {
      return;
    }
    int code =
        avformat.av_seek_frame(
            input.context(), index, firstPtsFrames + start, avformat.AVSEEK_FLAG_BACKWARD);
    if (code < 0) {
      return;
    }
    avcodec.avcodec_flush_buffers(decoder);
    forget();
    anyTimeStamp = false;
    long origin = firstPtsFrames;
    boolean there = pull();
    long landed = firstPtsFrames;
    firstPtsFrames = origin;
    if (there && anyTimeStamp && landed >= origin && landed - origin <= start) {
      position = landed - origin;
    } else {
      restart();
    }
  }

  /** Decodes until there is silence or sound to deliver; false at the end. */
  private boolean pull() throws MediaException {
    heldFrom = 0;
    heldTo = 0;
    while (!ended) {
      int code = avcodec.avcodec_receive_frame(decoder, frame);
      if (code >= 0) {
        boolean got = accept();
        avutil.av_frame_unref(frame);
        if (got) {
          return true;
        }
      } else if (code == avutil.AVERROR_EOF) {
        ended = true;
        silenceLeft = failedTailFrames;
        failedTailFrames = 0;
        return silenceLeft > 0;
      } else if (code == avutil.AVERROR_EAGAIN()) {
        feed();
      } else {
        failed(packetFrames());
      }
      if (silenceLeft > 0) {
        return true;
      }
    }
    return false;
  }

  private void feed() throws MediaException {
    if (draining) {
      // A decoder that asks for more after its end has nothing left.
      ended = true;
      return;
    }
    int failures = 0;
    while (true) {
      avcodec.av_packet_unref(packet);
      int code = avformat.av_read_frame(input.context(), packet);
      if (code == avutil.AVERROR_EIO()) {
        throw new MediaAccessException(
            "The disk failed while " + file.getFileName() + " was being read.");
      }
      if (code == avutil.AVERROR_EOF || (code < 0 && ++failures > MAX_READ_FAILURES)) {
        draining = true;
        avcodec.avcodec_send_packet(decoder, null);
        return;
      }
      if (code >= 0 && packet.stream_index() == index) {
        break;
      }
    }
    int code = avcodec.avcodec_send_packet(decoder, packet);
    if (code < 0 && code != avutil.AVERROR_EAGAIN()) {
      failed(packetFrames());
    }
  }

  private long packetFrames() {
    long fromPacket = packet.duration() > 0 ? frames(packet.duration()) : 0;
    long length = fromPacket > 0 ? fromPacket : Math.max(0, decoder.frame_size());
    return Math.min(length, 10L * Math.max(1, rateHz));
  }

  /** Keeps count of a packet that did not decode; its place is filled when it is known. */
  private void failed(long length) {
    if (rateHz == 0) {
      // Nothing decoded yet: the first frame that does is frame 0.
      return;
    }
    if (anyTimeStamp) {
      failedTailFrames += length;
    } else {
      silenceLeft += length;
    }
  }

  /** Takes over a decoded frame; false if it holds nothing. */
  private boolean accept() throws MediaException {
    int count = frame.nb_samples();
    int channels = frame.ch_layout().nb_channels();
    if (count <= 0 || channels < 1) {
      return false;
    }
    if (rateHz == 0) {
      if (frame.sample_rate() < 1 || frame.sample_rate() > MAX_RATE_HZ || channels > MAX_CHANNELS) {
        throw new UnsupportedMediaException(
            "The sound of "
                + file.getFileName()
                + " has a sample rate or a number of channels that"
                + " cannot be read.");
      }
      rateHz = frame.sample_rate();
      channelCount = channels;
      integer =
          FfmpegSampleLayout.isInteger(frame.format())
              && sampleForm() == SourceFacts.SampleForm.INTEGER;
    }
    long pts = frame.pts() == avutil.AV_NOPTS_VALUE ? frame.best_effort_timestamp() : frame.pts();
    if (pts != avutil.AV_NOPTS_VALUE) {
      place(avutil.av_rescale(pts, timeBaseNumerator * rateHz, timeBaseDenominator));
    } else if (failedTailFrames > 0) {
      silenceLeft += failedTailFrames;
    }
    failedTailFrames = 0;
    expectedPtsFrames += count;
    hold(count);
    int drop = (int) Math.min(toDropFrames, count);
    toDropFrames -= drop;
    heldFrom = drop;
    return heldFrom < heldTo;
  }

  private void place(long ptsFrames) {
    if (!anyTimeStamp) {
      anyTimeStamp = true;
      firstPtsFrames = ptsFrames;
      if (position == 0 && ptsFrames < 0) {
        toDropFrames = beforeZero(-ptsFrames);
        firstPtsFrames = 0;
      }
    } else {
      long hole = ptsFrames - expectedPtsFrames;
      if (hole * 1000 > (long) HOLE_MILLISECONDS * rateHz
          && hole <= (long) MAX_HOLE_SECONDS * rateHz) {
        silenceLeft += hole;
        anyHole = true;
      }
    }
    expectedPtsFrames = ptsFrames;
  }

  /**
   * Time before zero is the encoder's delay and not played. Where time stamps are rounded to
   * milliseconds, the delay the file declares is the exact figure.
   */
  private long beforeZero(long frames) {
    long declared = stream.codecpar().initial_padding();
    return Math.abs(declared - frames) * 500 < rateHz ? declared : frames;
  }

  private void hold(int count) {
    heldTo = count;
    if (integer) {
      if (integers.length != channelCount || integers[0].length < count) {
        integers = new int[channelCount][count];
      }
      layout.toIntegers(frame, integers, 0);
    } else {
      if (floats.length != channelCount || floats[0].length < count) {
        floats = new float[channelCount][count];
      }
      layout.toFloats(frame, floats, 0);
    }
  }

  @Override
  public void close() {
    avcodec.av_packet_free(packet);
    avutil.av_frame_free(frame);
    avcodec.avcodec_free_context(decoder);
    input.close();
  }
}
