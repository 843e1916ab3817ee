package hardpan.media;

import java.util.ArrayList;
import java.util.List;
import org.bytedeco.ffmpeg.avformat.AVStream;
import org.bytedeco.ffmpeg.avutil.AVChannelLayout;
import org.bytedeco.ffmpeg.global.avutil;

/** What a sound stream's own texts and its loudspeaker layout say of its channels' names. */
final class FfmpegStreamNames {
  /** The loudspeaker places of a surround codec, by the libraries' numbers. */
  private static final List<String> PLACES =
      List.of(
          "front left",
          "front right",
          "centre",
          "LFE",
          "back left",
          "back right",
          "left of centre",
          "right of centre",
          "back centre",
          "side left",
          "side right");

  private FfmpegStreamNames() {}

  /**
   * Reads them.
   *
   * @param surround whether the codec carries a loudspeaker layout that can be believed; linear
   *     sound of several microphones is given one by guessing
   */
  static ChannelNaming.Stream of(AVStream stream, int channelCount, boolean surround) {
    List<String> places = new ArrayList<>();
    AVChannelLayout channels = stream.codecpar().ch_layout();
    for (int c = 0; c < channelCount; c++) {
      int place = avutil.av_channel_layout_channel_from_index(channels, c);
      boolean known = surround && place >= 0 && place < PLACES.size();
      places.add(known ? PLACES.get(place) : "");
    }
    String title = FfmpegInput.text(stream.metadata(), "title");
    String handler = FfmpegInput.text(stream.metadata(), "handler_name");
    String language = FfmpegInput.text(stream.metadata(), "language");
    return new ChannelNaming.Stream(
        title != null ? title : handler != null ? handler : "",
        language == null ? "" : language,
        places);
  }
}
