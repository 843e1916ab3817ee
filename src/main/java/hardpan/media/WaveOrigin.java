package hardpan.media;

import hardpan.media.StartClaim.Origin;
import hardpan.wave.BroadcastExtension;
import hardpan.wave.IxmlDocument;
import hardpan.wave.WaveHeader;
import java.time.LocalDate;
import java.time.LocalTime;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/** When and from what device a Wave file says it comes. */
final class WaveOrigin {
  /**
   * A reference after EBU R 99: country, organisation, twelve characters of serial number, the
   * origination time as six digits, nine random digits.
   */
  private static final Pattern USID =
      Pattern.compile("[A-Z]{2}[A-Z0-9]{3}(.{12})([0-9]{6})[0-9]{9}");

  private static final Pattern BWF_ELEMENT =
      Pattern.compile("<BWF_([A-Z_]{1,24})>([^<&]{1,256})</BWF_\\1>");

  private WaveOrigin() {}

  static SourceOrigin of(WaveHeader header) {
    Map<String, String> ixml = ixmlBext(header.ixml());
    BroadcastExtension bext = header.bext();
    Origin origin = Origin.BEXT;
    if (bext == null) {
      // The copy that iXML keeps of the chunk, where the chunk itself was lost.
      origin = Origin.IXML;
      bext =
          BroadcastExtension.of(
              "",
              ixml.getOrDefault("ORIGINATOR", ""),
              ixml.getOrDefault("ORIGINATOR_REFERENCE", ""),
              ixml.getOrDefault("ORIGINATION_DATE", ""),
              ixml.getOrDefault("ORIGINATION_TIME", ""),
              0,
              null,
              "");
    }
    return new SourceOrigin(
        maker(bext, header.info().getOrDefault("ISFT", "")), claims(header, bext, origin));
  }

  /** What a {@code bext} chunk alone says, in a file of another form that carries one. */
  static SourceOrigin of(@Nullable BroadcastExtension bext, int rateHz) {
    return bext == null
        ? SourceOrigin.UNKNOWN
        : new SourceOrigin(maker(bext, ""), claims(bext, rateHz, Origin.BEXT));
  }

  private static List<StartClaim> claims(BroadcastExtension bext, int rateHz, Origin bextOrigin) {
    List<StartClaim> claims = new ArrayList<>();
    LocalDate date = bext.date();
    LocalTime time = bext.time();
    add(
        claims,
        StartClaims.sinceMidnight(
            bext.timeReferenceSamples(), rateHz, date, time, Origin.TIME_REFERENCE));
    if (date != null && time != null) {
      claims.add(StartClaims.bext(date, time, bextOrigin));
    }
    return claims;
  }

  private static List<StartClaim> claims(
      WaveHeader header, BroadcastExtension bext, Origin bextOrigin) {
    int rateHz = header.format().rateHz();
    List<StartClaim> claims = claims(bext, rateHz, bextOrigin);
    LocalDate date = bext.date();
    LocalTime time = bext.time();
    IxmlDocument.Speed speed = header.ixmlDocument().speed();
    Long stamp = speed == null ? null : speed.timestampSamples();
    if (speed != null && stamp != null && stamp != bext.timeReferenceSamples()) {
      Integer stampRateHz = speed.timestampRateHz();
      add(
          claims,
          StartClaims.sinceMidnight(
              stamp, stampRateHz == null ? rateHz : stampRateHz, date, time, Origin.IXML));
    }
    String created = header.info().get("ICRD");
    if (created != null) {
      add(claims, StartClaims.tag(created));
    }
    return claims;
  }

  private static void add(List<StartClaim> claims, @Nullable StartClaim claim) {
    if (claim != null) {
      claims.add(claim);
    }
  }

  private static Maker maker(BroadcastExtension bext, String software) {
    return new Maker(
        "",
        bext.originator().strip(),
        serial(bext.originatorReference(), bext.originationTime()),
        software.strip());
  }

  /** The serial number in a reference after EBU R 99; empty if the reference is of another kind. */
  static String serial(String reference, String originationTime) {
    Matcher match = USID.matcher(reference);
    boolean fits =
        match.matches() && match.group(2).equals(originationTime.replaceAll("[^0-9]", ""));
    return fits ? match.group(1).replaceAll("[-_ .]+$", "").strip() : "";
  }

  /** Plain values of the BEXT object (iXML specification 3.01), by name without the prefix. */
  private static Map<String, String> ixmlBext(@Nullable String xml) {
    if (xml == null) {
      return Map.of();
    }
    Map<String, String> values = new HashMap<>();
    Matcher match = BWF_ELEMENT.matcher(xml);
    while (match.find()) {
      values.putIfAbsent(match.group(1), match.group(2).strip());
    }
    return values;
  }
}
