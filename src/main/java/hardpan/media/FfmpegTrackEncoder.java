package hardpan.media;

import java.util.Arrays;
import org.bytedeco.ffmpeg.avcodec.AVCodec;
import org.bytedeco.ffmpeg.avcodec.AVCodecContext;
import org.bytedeco.ffmpeg.avcodec.AVPacket;
import org.bytedeco.ffmpeg.avformat.AVFormatContext;
import org.bytedeco.ffmpeg.avformat.AVStream;
import org.bytedeco.ffmpeg.avutil.AVDictionary;
import org.bytedeco.ffmpeg.avutil.AVFrame;
import org.bytedeco.ffmpeg.avutil.AVRational;
import org.bytedeco.ffmpeg.global.avcodec;
import org.bytedeco.ffmpeg.global.avformat;
import org.bytedeco.ffmpeg.global.avutil;
import org.bytedeco.javacpp.BytePointer;
import org.bytedeco.javacpp.IntPointer;
import org.bytedeco.javacpp.PointerPointer;
import org.jspecify.annotations.Nullable;

/**
 * One track of a file being written: an encoder, the frame it is fed with, and the way of its
 * packets into the file. Calls return the libraries' error codes, 0 or above being good.
 */
final class FfmpegTrackEncoder implements AutoCloseable {
  /** The size and speed of the test picture; small on purpose. */
  static final int PICTURE_WIDTH = 64;

  static final int PICTURE_HEIGHT = 36;
  static final int PICTURES_PER_SECOND = 25;

  private final AVFormatContext file;
  private final AVCodecContext encoder;
  private final AVRational timeBase;
  private final AVFrame frame = avutil.av_frame_alloc();
  private final AVPacket packet = avcodec.av_packet_alloc();
  private final FfmpegSampleLayout layout = new FfmpegSampleLayout();
  private final AVStream stream;
  private final int validBits;
  private long nextPts;

  private FfmpegTrackEncoder(
      AVFormatContext file, AVStream stream, AVCodecContext encoder, AVRational base, int bits) {
    this.file = file;
    this.stream = stream;
    this.encoder = encoder;
    this.timeBase = base;
    this.validBits = bits;
  }

  /** Outcome of opening a track: the encoder, or the code of what went wrong. */
  interface OnFailure {
    void failed(int code);
  }

  /**
   * Adds a sound track. Samples are taken in frames of the encoder's own size, or of 1/25 second
   * where it has none.
   *
   * @param wantedBits valid bits of a sample for encoders that can do several; 0 for the encoder's
   *     first choice
   * @return the track, or null after telling {@code onFailure}
   */
  static @Nullable FfmpegTrackEncoder sound(
      AVFormatContext file,
      AVCodec codec,
      String codecName,
      int wantedBits,
      int rateHz,
      int channels,
      int bitRate,
      OnFailure onFailure) {
    AVCodecContext context = avcodec.avcodec_alloc_context3(codec);
    AVRational base = FfmpegLibraries.rational(1, rateHz);
    context.sample_rate(rateHz);
    context.time_base(base);
    avutil.av_channel_layout_default(context.ch_layout(), channels);
    context.sample_fmt(sampleFormat(context, codec, wantedBits));
    if (wantedBits > 0) {
      context.bits_per_raw_sample(wantedBits);
    }
    if (bitRate > 0) {
      context.bit_rate(bitRate);
    }
    int bits =
        wantedBits > 0 ? wantedBits : codecName.contains("24") ? 24 : bitsOf(context.sample_fmt());
    FfmpegTrackEncoder track = open(file, codec, context, base, bits, onFailure);
    if (track == null) {
      return null;
    }
    int count = context.frame_size() > 0 ? context.frame_size() : rateHz / PICTURES_PER_SECOND;
    track.frame.format(context.sample_fmt()).sample_rate(rateHz).nb_samples(Math.max(1, count));
    avutil.av_channel_layout_copy(track.frame.ch_layout(), context.ch_layout());
    return track.withBuffer(onFailure);
  }

  /** Adds the test picture's track; see {@link #sound} for the result. */
  static @Nullable FfmpegTrackEncoder picture(
      AVFormatContext file, AVCodec codec, OnFailure onFailure) {
    AVCodecContext context = avcodec.avcodec_alloc_context3(codec);
    AVRational base = FfmpegLibraries.rational(1, PICTURES_PER_SECOND);
    context.width(PICTURE_WIDTH).height(PICTURE_HEIGHT).pix_fmt(avutil.AV_PIX_FMT_YUV420P);
    context.time_base(base);
    context.gop_size(PICTURES_PER_SECOND / 2).max_b_frames(0).bit_rate(100_000);
    try (AVRational speed = FfmpegLibraries.rational(PICTURES_PER_SECOND, 1)) {
      context.framerate(speed);
    }
    FfmpegTrackEncoder track = open(file, codec, context, base, 8, onFailure);
    if (track == null) {
      return null;
    }
    // Without a speed of its own on the stream, the MXF writer divides by zero.
    try (AVRational speed = FfmpegLibraries.rational(PICTURES_PER_SECOND, 1)) {
      track.stream.avg_frame_rate(speed);
      track.stream.r_frame_rate(speed);
    }
    track.frame.format(context.pix_fmt()).width(PICTURE_WIDTH).height(PICTURE_HEIGHT);
    return track.withBuffer(onFailure);
  }

  private static @Nullable FfmpegTrackEncoder open(
      AVFormatContext file,
      AVCodec codec,
      AVCodecContext context,
      AVRational base,
      int bits,
      OnFailure onFailure) {
    // One thread and the bit-exact flag: the same input gives the same bytes on every machine.
    context.thread_count(1);
    if ((codec.capabilities() & avcodec.AV_CODEC_CAP_EXPERIMENTAL) != 0) {
      context.strict_std_compliance(avcodec.FF_COMPLIANCE_EXPERIMENTAL);
    }
    context.flags(context.flags() | avcodec.AV_CODEC_FLAG_BITEXACT);
    if ((file.oformat().flags() & avformat.AVFMT_GLOBALHEADER) != 0) {
      context.flags(context.flags() | avcodec.AV_CODEC_FLAG_GLOBAL_HEADER);
    }
    AVStream stream = avformat.avformat_new_stream(file, null);
    int code = avcodec.avcodec_open2(context, codec, (AVDictionary) null);
    if (code >= 0) {
      stream.time_base(base);
      code = avcodec.avcodec_parameters_from_context(stream.codecpar(), context);
    }
    FfmpegTrackEncoder track = new FfmpegTrackEncoder(file, stream, context, base, bits);
    if (code < 0) {
      track.close();
      onFailure.failed(code);
      return null;
    }
    return track;
  }

  private @Nullable FfmpegTrackEncoder withBuffer(OnFailure onFailure) {
    int code = avutil.av_frame_get_buffer(frame, 0);
    if (code < 0) {
      close();
      onFailure.failed(code);
      return null;
    }
    return this;
  }

  /** The encoder's first format, or its first with room for exactly so many bits. */
  private static int sampleFormat(AVCodecContext context, AVCodec codec, int wantedBits) {
    try (PointerPointer<IntPointer> list = new PointerPointer<>(1);
        IntPointer count = new IntPointer(1)) {
      int code =
          avcodec.avcodec_get_supported_config(
              context, codec, avcodec.AV_CODEC_CONFIG_SAMPLE_FORMAT, 0, list, count);
      IntPointer formats = list.get(IntPointer.class);
      if (code < 0 || formats == null || count.get() < 1) {
        return avutil.AV_SAMPLE_FMT_FLTP;
      }
      int storedBits = wantedBits > 16 ? 32 : wantedBits;
      for (int i = 0; i < count.get() && wantedBits > 0; i++) {
        int format = formats.get(i);
        if (FfmpegSampleLayout.isInteger(format) && bitsOf(format) == storedBits) {
          return format;
        }
      }
      return formats.get(0);
    }
  }

  private static int bitsOf(int sampleFormat) {
    return Math.min(32, 8 * avutil.av_get_bytes_per_sample(sampleFormat));
  }

  /** How many frames of sound {@link #encodeSound} takes at once (only the last may be shorter). */
  int framesAtOnce() {
    return encoder.frame_size() > 0
        ? encoder.frame_size()
        : Math.max(1, encoder.sample_rate() / PICTURES_PER_SECOND);
  }

  /** Encodes sound from index 0 of the arrays. */
  int encodeSound(float[][] planar, int firstChannel, int count) {
    int code = avutil.av_frame_make_writable(frame);
    if (code < 0) {
      return code;
    }
    frame.nb_samples(count);
    layout.fromFloats(planar, firstChannel, count, validBits, frame);
    frame.pts(nextPts);
    nextPts += count;
    return encode(frame);
  }

  /** How many pictures are encoded so far. */
  long pictures() {
    return nextPts;
  }

  /** Encodes the next test picture: a bright upright bar that moves two columns a picture. */
  int encodePicture() {
    int code = avutil.av_frame_make_writable(frame);
    if (code < 0) {
      return code;
    }
    int bar = (int) ((nextPts * 2) % PICTURE_WIDTH);
    byte[] luma = new byte[PICTURE_WIDTH];
    for (int x = 0; x < PICTURE_WIDTH; x++) {
      luma[x] = (byte) (x >= bar && x < bar + 8 ? 200 : 40);
    }
    byte[] grey = new byte[PICTURE_WIDTH / 2];
    Arrays.fill(grey, (byte) 128);
    for (int y = 0; y < PICTURE_HEIGHT; y++) {
      putRow(0, y, luma);
    }
    for (int y = 0; y < PICTURE_HEIGHT / 2; y++) {
      putRow(1, y, grey);
      putRow(2, y, grey);
    }
    frame.pts(nextPts).duration(1);
    nextPts++;
    return encode(frame);
  }

  private void putRow(int plane, int y, byte[] row) {
    BytePointer data = frame.data(plane);
    data.position((long) y * frame.linesize(plane)).put(row, 0, row.length);
  }

  /** Takes what the encoder still holds. */
  int flush() {
    return encode(null);
  }

  private int encode(@Nullable AVFrame input) {
    int code = avcodec.avcodec_send_frame(encoder, input);
    while (code >= 0) {
      code = avcodec.avcodec_receive_packet(encoder, packet);
      if (code == avutil.AVERROR_EAGAIN() || code == avutil.AVERROR_EOF) {
        return 0;
      }
      if (code >= 0) {
        packet.stream_index(stream.index());
        avcodec.av_packet_rescale_ts(packet, timeBase, stream.time_base());
        code = avformat.av_interleaved_write_frame(file, packet);
      }
    }
    return code;
  }

  @Override
  public void close() {
    avcodec.av_packet_free(packet);
    avutil.av_frame_free(frame);
    avcodec.avcodec_free_context(encoder);
    timeBase.close();
  }
}
