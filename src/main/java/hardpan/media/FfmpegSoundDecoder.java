package hardpan.media;

import hardpan.base.MalformedMediaException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import org.bytedeco.ffmpeg.avcodec.AVCodec;
import org.bytedeco.ffmpeg.avcodec.AVCodecContext;
import org.bytedeco.ffmpeg.avcodec.AVCodecDescriptor;
import org.bytedeco.ffmpeg.avcodec.AVCodecParameters;
import org.bytedeco.ffmpeg.avcodec.AVPacket;
import org.bytedeco.ffmpeg.avformat.AVStream;
import org.bytedeco.ffmpeg.avutil.AVDictionary;
import org.bytedeco.ffmpeg.avutil.AVFrame;
import org.bytedeco.ffmpeg.global.avcodec;
import org.bytedeco.ffmpeg.global.avutil;
import org.bytedeco.javacpp.BytePointer;
import org.jspecify.annotations.Nullable;

/** The decoder of one stream, and what is known of its codec. */
final class FfmpegSoundDecoder implements AutoCloseable {
  /** The main data of an MP3 packet reaches back 511 bytes, nine packets at the lowest rate. */
  private static final int MP3_WARM_UP_PACKETS = 16;

  private static final int AAC_LOW_COMPLEXITY = 1;

  private final AVCodecContext context;

  private FfmpegSoundDecoder(AVCodecContext context) {
    this.context = context;
  }

  /**
   * Starts a decoder.
   *
   * @throws UnsupportedMediaException if the libraries do not know the codec or this form of it
   * @throws MalformedMediaException if the decoder refuses the stream's parameters
   */
  static FfmpegSoundDecoder start(Path file, AVStream stream) throws MediaException {
    AVCodecParameters parameters = stream.codecpar();
    AVCodec codec = decoderFor(parameters.codec_id());
    if (codec == null || codec.isNull()) {
      throw new UnsupportedMediaException(
          "The sound of "
              + file.getFileName()
              + " has a codec that cannot be read ("
              + codecName(parameters)
              + ").");
    }
    FfmpegSoundDecoder decoder = new FfmpegSoundDecoder(avcodec.avcodec_alloc_context3(null));
    int code = avcodec.avcodec_parameters_to_context(decoder.context, parameters);
    if (code >= 0) {
      decoder.context.pkt_timebase(stream.time_base());
      decoder.context.thread_count(1);
      code = avcodec.avcodec_open2(decoder.context, codec, (AVDictionary) null);
    }
    if (code >= 0) {
      return decoder;
    }
    decoder.close();
    if (code == avutil.AVERROR_PATCHWELCOME) {
      throw new UnsupportedMediaException(
          "The sound of "
              + file.getFileName()
              + " uses a form of "
              + codecName(parameters)
              + " that cannot be read.");
    }
    throw new MalformedMediaException(
        "The sound track of " + file.getFileName() + " is damaged: its decoder cannot start.");
  }

  /** The libraries' own choice, but for MP2, where that is one that rounds to 16 bits. */
  private static @Nullable AVCodec decoderFor(int codecId) {
    if (codecId == avcodec.AV_CODEC_ID_MP2) {
      try (BytePointer name = new BytePointer("mp2float", StandardCharsets.UTF_8)) {
        AVCodec floats = avcodec.avcodec_find_decoder_by_name(name);
        if (floats != null && !floats.isNull()) {
          return floats;
        }
      }
    }
    return avcodec.avcodec_find_decoder(codecId);
  }

  static String codecName(AVCodecParameters parameters) {
    return avcodec.avcodec_get_name(parameters.codec_id()).getString(StandardCharsets.UTF_8);
  }

  /**
   * How many packets a fresh decoder needs before its output is that of one that decoded all along,
   * except for the random noise that fills bands (perceptual noise substitution of ISO/IEC 14496-3,
   * section 4.6.13; dither of ATSC A/52, section 7.3.4). AAC-LC and AC-3 overlap with the packet
   * before (one, and one more for the window's shape), MP2 has the memory of its filter bank.
   *
   * @return -1 if a fresh start is not known to give the same
   */
  static int warmUpPackets(AVCodecParameters parameters) {
    String name = codecName(parameters);
    if (name.startsWith("pcm_")) {
      return 0;
    }
    return switch (name) {
      case "aac" -> parameters.profile() == AAC_LOW_COMPLEXITY ? 2 : -1;
      case "ac3", "mp2" -> 2;
      case "mp3" -> MP3_WARM_UP_PACKETS;
      case "alac", "flac", "s302m" -> 0;
      default -> -1;
    };
  }

  /** Hands over a packet; null says that there are no more. */
  int send(@Nullable AVPacket packet) {
    return avcodec.avcodec_send_packet(context, packet);
  }

  int receive(AVFrame frame) {
    return avcodec.avcodec_receive_frame(context, frame);
  }

  /** Forgets what it was fed. */
  void flush() {
    avcodec.avcodec_flush_buffers(context);
  }

  /** Frames a packet; 0 if they vary or the decoder does not say. */
  int packetFrames() {
    return Math.max(0, context.frame_size());
  }

  int rateHz() {
    return context.sample_rate();
  }

  SourceFacts.SampleForm sampleForm() {
    AVCodecDescriptor descriptor = avcodec.avcodec_descriptor_get(context.codec_id());
    int properties = descriptor == null || descriptor.isNull() ? 0 : descriptor.props();
    boolean lossless =
        (properties & avcodec.AV_CODEC_PROP_LOSSLESS) != 0
            && (properties & avcodec.AV_CODEC_PROP_LOSSY) == 0;
    if (!lossless) {
      return SourceFacts.SampleForm.LOSSY;
    }
    return FfmpegSampleLayout.isInteger(context.sample_fmt())
        ? SourceFacts.SampleForm.INTEGER
        : SourceFacts.SampleForm.FLOAT;
  }

  /** Valid bits of a sample; 0 for a lossy codec. */
  int bitsPerSample() {
    if (sampleForm() == SourceFacts.SampleForm.LOSSY) {
      return 0;
    }
    int exact = avcodec.av_get_exact_bits_per_sample(context.codec_id());
    if (exact > 0) {
      return exact;
    }
    int raw = context.bits_per_raw_sample();
    return raw > 0 && raw <= 64 ? raw : 8 * avutil.av_get_bytes_per_sample(context.sample_fmt());
  }

  @Override
  public void close() {
    avcodec.avcodec_free_context(context);
  }
}
