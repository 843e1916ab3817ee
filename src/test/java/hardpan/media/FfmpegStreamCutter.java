package hardpan.media;

import static org.junit.jupiter.api.Assertions.assertTrue;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import org.bytedeco.ffmpeg.avcodec.AVPacket;
import org.bytedeco.ffmpeg.avformat.AVFormatContext;
import org.bytedeco.ffmpeg.avformat.AVIOContext;
import org.bytedeco.ffmpeg.avformat.AVStream;
import org.bytedeco.ffmpeg.avutil.AVDictionary;
import org.bytedeco.ffmpeg.global.avcodec;
import org.bytedeco.ffmpeg.global.avformat;
import org.bytedeco.javacpp.BytePointer;
import org.jspecify.annotations.NullUnmarked;

/**
 * Copies some packets of a file's first sound stream into an MP4 file of their own, undecoded, with
 * time stamps from zero and no edit list: as a camera writes the parts of a long take.
 */
@NullUnmarked
public final class FfmpegStreamCutter {
  private FfmpegStreamCutter() {}

  public static Path copy(Path from, int firstPacket, int endPacket, Path to) throws IOException {
    AVFormatContext out = new AVFormatContext(null);
    AVPacket packet = avcodec.av_packet_alloc();
    try (FfmpegInput input = FfmpegInput.open(from);
        BytePointer name = new BytePointer("mp4", StandardCharsets.UTF_8);
        BytePointer url = FfmpegLibraries.url(to)) {
      int index = input.soundStreams().get(0);
      AVStream source = input.only(index);
      avformat.avformat_alloc_output_context2(out, null, name, url);
      AVStream stream = avformat.avformat_new_stream(out, null);
      avcodec.avcodec_parameters_copy(stream.codecpar(), source.codecpar());
      stream.codecpar().codec_tag(0);
      stream.codecpar().initial_padding(0);
      stream.time_base(source.time_base());
      AVIOContext io = new AVIOContext(null);
      assertTrue(avformat.avio_open(io, url, avformat.AVIO_FLAG_WRITE) >= 0);
      out.pb(io);
      AVDictionary options = new AVDictionary(null);
      FfmpegLibraries.put(options, "use_editlist", "0");
      assertTrue(avformat.avformat_write_header(out, options) >= 0);
      long first = Long.MIN_VALUE;
      int number = 0;
      while (avformat.av_read_frame(input.context(), packet) >= 0) {
        if (packet.stream_index() == index && number++ >= firstPacket && number <= endPacket) {
          first = first == Long.MIN_VALUE ? packet.pts() : first;
          packet.pts(packet.pts() - first);
          packet.dts(packet.pts());
          packet.stream_index(0);
          avcodec.av_packet_rescale_ts(packet, source.time_base(), stream.time_base());
          packet.pos(-1);
          avcodec.av_packet_free_side_data(packet);
          assertTrue(avformat.av_interleaved_write_frame(out, packet) >= 0);
        }
        avcodec.av_packet_unref(packet);
      }
      avformat.av_write_trailer(out);
      avformat.avio_closep(io);
      avformat.avformat_free_context(out);
    } finally {
      avcodec.av_packet_free(packet);
    }
    return to;
  }
}
