package hardpan.wave;

import org.jspecify.annotations.Nullable;

/** Builds the text of an iXML chunk. Elements without a value are left out, as advised there. */
final class IxmlWriter {
  private final StringBuilder xml = new StringBuilder(2048);
  private int depth;

  private IxmlWriter() {}

  static String write(IxmlDocument document) {
    IxmlWriter writer = new IxmlWriter();
    writer.xml.append("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    writer.document(document);
    return writer.xml.toString();
  }

  private void document(IxmlDocument document) {
    open("BWFXML");
    element("IXML_VERSION", IxmlDocument.VERSION);
    element("PROJECT", document.project());
    element("SCENE", document.scene());
    element("TAKE", document.take());
    element("TAPE", document.tape());
    element("FILE_UID", document.fileUid());
    element("NOTE", document.note());
    IxmlDocument.Speed speed = document.speed();
    if (speed != null) {
      speed(speed);
    }
    IxmlDocument.History history = document.history();
    if (history != null) {
      open("HISTORY");
      element("ORIGINAL_FILENAME", history.originalFileName());
      element("PARENT_FILENAME", history.parentFileName());
      element("PARENT_UID", history.parentUid());
      close("HISTORY");
    }
    IxmlDocument.FileSet set = document.fileSet();
    if (set != null) {
      open("FILE_SET");
      element("TOTAL_FILES", set.totalFiles());
      element("FAMILY_UID", set.familyUid());
      element("FAMILY_NAME", set.familyName());
      element("FILE_SET_INDEX", set.index());
      close("FILE_SET");
    }
    tracks(document);
    close("BWFXML");
  }

  private void speed(IxmlDocument.Speed speed) {
    open("SPEED");
    if (!speed.timecodeRate().isEmpty()) {
      element("MASTER_SPEED", speed.timecodeRate());
      element("CURRENT_SPEED", speed.timecodeRate());
      element("TIMECODE_RATE", speed.timecodeRate());
      element("TIMECODE_FLAG", speed.dropFrame() ? "DF" : "NDF");
    }
    element("FILE_SAMPLE_RATE", speed.fileRateHz());
    element("AUDIO_BIT_DEPTH", speed.bitDepth());
    element("DIGITIZER_SAMPLE_RATE", speed.digitizerRateHz());
    Long samples = speed.timestampSamples();
    if (samples != null) {
      element("TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_HI", samples >>> 32);
      element("TIMESTAMP_SAMPLES_SINCE_MIDNIGHT_LO", samples & 0xFFFF_FFFFL);
      element("TIMESTAMP_SAMPLE_RATE", speed.timestampRateHz());
    }
    close("SPEED");
  }

  private void tracks(IxmlDocument document) {
    if (document.tracks().isEmpty()) {
      return;
    }
    open("TRACK_LIST");
    element("TRACK_COUNT", document.tracks().size());
    for (IxmlDocument.Track track : document.tracks()) {
      open("TRACK");
      element("CHANNEL_INDEX", track.channelIndex());
      element("INTERLEAVE_INDEX", track.interleaveIndex());
      element("NAME", track.name());
      element("FUNCTION", track.function());
      close("TRACK");
    }
    close("TRACK_LIST");
  }

  private void open(String name) {
    indent();
    xml.append('<').append(name).append(">\n");
    depth++;
  }

  private void close(String name) {
    depth--;
    indent();
    xml.append("</").append(name).append(">\n");
  }

  private void element(String name, @Nullable Number value) {
    element(name, value == null ? "" : value.toString());
  }

  private void element(String name, String value) {
    String text = escape(value);
    if (!text.isEmpty()) {
      indent();
      xml.append('<').append(name).append('>').append(text).append("</").append(name).append(">\n");
    }
  }

  private void indent() {
    xml.append("  ".repeat(depth));
  }

  /** Escapes, and leaves out what XML 1.0 section 2.2 does not allow, as lone surrogates. */
  private static String escape(String value) {
    StringBuilder text = new StringBuilder(value.length() + 16);
    value
        .codePoints()
        .filter(IxmlWriter::isAllowed)
        .forEach(
            point -> {
              switch (point) {
                case '&' -> text.append("&amp;");
                case '<' -> text.append("&lt;");
                case '>' -> text.append("&gt;");
                case '\r' -> text.append("&#13;");
                default -> text.appendCodePoint(point);
              }
            });
    return text.toString();
  }

  private static boolean isAllowed(int point) {
    return point == '\t'
        || point == '\n'
        || point == '\r'
        || (point >= 0x20 && point <= 0xD7FF)
        || (point >= 0xE000 && point <= 0xFFFD)
        || point >= 0x10000;
  }
}
