package hardpan.wave;

import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.UUID;
import org.jspecify.annotations.Nullable;

/**
 * A unique material identifier: 64 bytes as the {@code bext} chunk holds them, of which a basic one
 * uses the first 32 (SMPTE ST 330; EBU Tech 3285 v2, section 2.3). Immutable.
 */
public final class Umid {
  /** Bytes of the field. */
  public static final int SIZE = 64;

  /**
   * Label of a basic identifier, then the length of what follows. Bytes 1 to 13 as the FFmpeg
   * libraries' MXF writer puts them; the last label byte 0 claims no generation method.
   */
  private static final byte[] BASIC_LABEL = HexFormat.of().parseHex("060a2b340101010501010d0013");

  private final byte[] bytes;

  private Umid(byte[] bytes) {
    this.bytes = bytes;
  }

  /**
   * A basic identifier of new material (instance number 0).
   *
   * @param material the material number; the caller makes it unique
   */
  public static Umid basic(UUID material) {
    ByteBuffer out = ByteBuffer.allocate(SIZE);
    out.put(BASIC_LABEL).put(new byte[3]);
    out.putLong(material.getMostSignificantBits()).putLong(material.getLeastSignificantBits());
    return new Umid(out.array());
  }

  /**
   * From the field's bytes.
   *
   * @param field 64 bytes; copied
   * @return the identifier, or null if all bytes are zero, which means that there is none
   */
  public static @Nullable Umid of(byte[] field) {
    if (field.length != SIZE) {
      throw new IllegalArgumentException(field.length + " bytes");
    }
    byte[] copy = field.clone();
    return Arrays.equals(copy, new byte[SIZE]) ? null : new Umid(copy);
  }

  /** A copy of the 64 bytes. */
  public byte[] bytes() {
    return bytes.clone();
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof Umid umid && Arrays.equals(bytes, umid.bytes);
  }

  @Override
  public int hashCode() {
    return Arrays.hashCode(bytes);
  }

  /** Lower-case hexadecimal, 128 digits. */
  @Override
  public String toString() {
    return HexFormat.of().formatHex(bytes);
  }
}
