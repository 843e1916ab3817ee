package hardpan.report;

import java.nio.charset.StandardCharsets;
import java.util.Locale;

/** Paths as relative URLs. */
public final class RelativeUrl {
  /** What a segment may hold unencoded: RFC 3986, section 3.3, without the colon. */
  private static final String PLAIN =
      "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~!$&'()*+,;=@";

  private RelativeUrl() {}

  /**
   * Percent-encodes a path, byte by byte in UTF-8.
   *
   * @param path relative, '/' between its segments
   */
  public static String of(String path) {
    StringBuilder url = new StringBuilder();
    for (byte octet : path.getBytes(StandardCharsets.UTF_8)) {
      if (octet == '/' || (octet > 0 && PLAIN.indexOf(octet) >= 0)) {
        url.append((char) octet);
      } else {
        url.append(String.format(Locale.ROOT, "%%%02X", octet & 0xFF));
      }
    }
    return url.toString();
  }
}
