package hardpan.wave;

import java.util.Arrays;
import java.util.HexFormat;
import org.jspecify.annotations.Nullable;

/** A chunk that means nothing to us and is passed on as it is (EBU Tech 3285, section 2.1). */
public final class RawChunk {
  private final String id;
  private final byte[] payload;

  /**
   * A chunk.
   *
   * @param id four printable ASCII characters
   * @param payload its content without header and pad byte; copied
   */
  public RawChunk(String id, byte[] payload) {
    if (id.length() != 4 || !id.chars().allMatch(c -> c >= 0x20 && c <= 0x7E)) {
      throw new IllegalArgumentException("chunk id '" + id + "'");
    }
    this.id = id;
    this.payload = payload.clone();
  }

  /** The four characters. */
  public String id() {
    return id;
  }

  /** A copy of the content. */
  public byte[] payload() {
    return payload.clone();
  }

  @Override
  public boolean equals(@Nullable Object other) {
    return other instanceof RawChunk chunk
        && chunk.id.equals(id)
        && Arrays.equals(chunk.payload, payload);
  }

  @Override
  public int hashCode() {
    return 31 * id.hashCode() + Arrays.hashCode(payload);
  }

  /** The id and the content in hexadecimal. */
  @Override
  public String toString() {
    return id + ":" + HexFormat.of().formatHex(payload);
  }
}
