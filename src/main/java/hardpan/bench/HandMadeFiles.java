package hardpan.bench;

import hardpan.base.MediaException;
import hardpan.media.FfmpegClipWriter;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Map;

/** Files in forms that no encoder or writer of the libraries makes, put together byte by byte. */
final class HandMadeFiles {
  private static final int MOVIE_SCALE = 1000;

  private HandMadeFiles() {}

  /**
   * Writes one file.
   *
   * @param what a codec of {@link FormatCase} with the writer {@code hand}
   */
  static void write(Path file, String what, FormatSound sound, int rateHz)
      throws IOException, MediaException {
    if (what.equals("he-aac")) {
      highEfficiency(file, rateHz);
    } else if (what.equals("bw64-24")) {
      byte[] bytes = written(file, "wav", "pcm_s24le", rateHz, sound, Map.of("rf64", "always"));
      // ITU-R BS.2088: the same file with another name in its first four bytes.
      bytes[0] = 'B';
      bytes[1] = 'W';
      Files.write(file, bytes);
    } else {
      Files.write(file, linearMovie(what, sound, rateHz));
    }
  }

  private static byte[] written(
      Path file,
      String muxer,
      String codec,
      int rateHz,
      FormatSound sound,
      Map<String, String> options)
      throws IOException, MediaException {
    FfmpegClipWriter.Settings settings =
        new FfmpegClipWriter.Settings(
            muxer, codec, rateHz, sound.planar().length, null, false, null);
    try (FfmpegClipWriter writer = FfmpegClipWriter.create(file, settings, 1, options)) {
      writer.write(sound.planar(), sound.frames());
    }
    return Files.readAllBytes(file);
  }

  /**
   * AAC-LC at half the rate whose configuration says that spectral band replication doubles it
   * (ISO/IEC 14496-3, section 1.6.5.2: sync extension 0x2b7, object type 5, a flag, the index of
   * the doubled rate). There is no data for the upper band, so that the decoder only doubles the
   * rate: the filter bank's delay is that of any HE-AAC file, the upper band stays empty.
   */
  private static void highEfficiency(Path file, int rateHz) throws IOException, MediaException {
    FormatSound half = new FormatSound(rateHz / 2, 2, 16);
    byte[] bytes = written(file, "mp4", "aac", rateHz / 2, half, Map.of());
    byte[] without = {0x56, (byte) 0xE5, 0x00};
    int at = 0;
    while (bytes[at] != without[0] || bytes[at + 1] != without[1] || bytes[at + 2] != without[2]) {
      at++;
    }
    // The flag, then index 3 (48000 Hz), then three bits of filling.
    bytes[at + 2] = (byte) 0b1001_1000;
    Files.write(file, bytes);
  }

  /**
   * A QuickTime movie with one sound track and a sound description of version 2 (QuickTime File
   * Format Specification, "Sound Sample Description (V2)"), as newer cameras and Apple's programs
   * write it for linear sound.
   */
  private static byte[] linearMovie(String what, FormatSound sound, int rateHz) {
    String form = what.substring(what.indexOf('-') + 1);
    boolean isFloat = form.startsWith("f");
    boolean big = form.endsWith("be");
    int bits = Integer.parseInt(form.replaceAll("[^0-9]", ""));
    byte[] data = samples(sound.planar(), bits, isFloat, big);
    int channels = sound.planar().length;
    int frames = sound.frames();
    byte[] ftyp = box("ftyp", text("qt  "), number(0x2005_0300), text("qt  "));
    byte[] mdat = box("mdat", data);
    int flags = (isFloat ? 1 : 4) | (big ? 2 : 0) | 8;
    byte[] lpcm =
        box(
            "lpcm",
            new byte[6],
            shorts(1, 2, 0),
            number(0),
            shorts(3, 16, -2, 0),
            number(65_536),
            number(72),
            wide(Double.doubleToLongBits(rateHz)),
            number(channels),
            number(0x7F00_0000),
            number(bits),
            number(flags),
            number(channels * bits / 8),
            number(1));
    byte[] stbl =
        box(
            "stbl",
            box("stsd", number(0), number(1), lpcm),
            box("stts", number(0), number(1), number(frames), number(1)),
            box("stsc", number(0), number(1), number(1), number(frames), number(1)),
            box("stsz", number(0), number(channels * bits / 8), number(frames)),
            box("stco", number(0), number(1), number(ftyp.length + 8)));
    byte[] dref = box("dref", number(0), number(1), box("alis", number(1)));
    byte[] minf = box("minf", box("smhd", number(0), number(0)), box("dinf", dref), stbl);
    byte[] mdhd =
        box("mdhd", number(0), number(0), number(0), number(rateHz), number(frames), number(0));
    byte[] hdlr = box("hdlr", number(0), text("mhlr"), text("soun"), new byte[13]);
    int length = (int) ((long) frames * MOVIE_SCALE / rateHz);
    byte[] tkhd =
        box(
            "tkhd",
            number(0xF),
            number(0),
            number(0),
            number(1),
            number(0),
            number(length),
            new byte[8],
            shorts(0, 0, 0x100, 0),
            matrix(),
            number(0),
            number(0));
    byte[] mvhd =
        box(
            "mvhd",
            number(0),
            number(0),
            number(0),
            number(MOVIE_SCALE),
            number(length),
            number(0x1_0000),
            shorts(0x100, 0),
            new byte[8],
            matrix(),
            new byte[24],
            number(2));
    byte[] moov = box("moov", mvhd, box("trak", tkhd, box("mdia", mdhd, hdlr, minf)));
    return joined(ftyp, mdat, moov);
  }

  private static byte[] samples(float[][] planar, int bits, boolean isFloat, boolean big) {
    int frames = planar[0].length;
    ByteBuffer bytes =
        ByteBuffer.allocate(frames * planar.length * bits / 8)
            .order(big ? ByteOrder.BIG_ENDIAN : ByteOrder.LITTLE_ENDIAN);
    for (int i = 0; i < frames; i++) {
      for (float[] channel : planar) {
        if (isFloat) {
          bytes.putFloat(channel[i]);
        } else {
          long value = Math.round(Math.scalb((double) channel[i], bits - 1));
          for (int b = 0; b < bits; b += 8) {
            bytes.put((byte) (value >> (big ? bits - 8 - b : b)));
          }
        }
      }
    }
    return bytes.array();
  }

  private static byte[] matrix() {
    return joined(
        number(0x1_0000), new byte[12], number(0x1_0000), new byte[12], number(0x4000_0000));
  }

  private static byte[] box(String type, byte[]... parts) {
    byte[] content = joined(parts);
    return joined(number(content.length + 8), text(type), content);
  }

  private static byte[] text(String text) {
    return text.getBytes(StandardCharsets.ISO_8859_1);
  }

  private static byte[] number(int value) {
    return ByteBuffer.allocate(4).putInt(value).array();
  }

  private static byte[] wide(long value) {
    return ByteBuffer.allocate(8).putLong(value).array();
  }

  private static byte[] shorts(int... values) {
    ByteBuffer bytes = ByteBuffer.allocate(2 * values.length);
    for (int value : values) {
      bytes.putShort((short) value);
    }
    return bytes.array();
  }

  private static byte[] joined(byte[]... parts) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    for (byte[] part : parts) {
      out.writeBytes(part);
    }
    return out.toByteArray();
  }
}
