package hardpan.shoot;

import hardpan.lineup.Placement;
import hardpan.media.Maker;
import hardpan.media.StartClaim;
import hardpan.report.DeviceReport;
import java.time.Duration;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * Says of each device why its sources are taken together and, after a line-up, how far its clock is
 * from the reference's. Clocks are only told about: nothing is moved by them.
 */
final class DeviceReports {
  private static final long HOUR_SECONDS = 3600;

  /** Clocks so close to a whole number of half hours apart are probably set to different zones. */
  private static final long ZONE_TOLERANCE_SECONDS = 180;

  private static final long FURTHEST_ZONES_SECONDS = 26 * HOUR_SECONDS;

  private DeviceReports() {}

  /** One report a device, in the order of their first sources. */
  static List<DeviceReport> of(Shoot shoot) {
    Map<String, List<ShootSource>> devices = new LinkedHashMap<>();
    for (ShootSource source : shoot.sources()) {
      devices.computeIfAbsent(source.device(), key -> new ArrayList<>()).add(source);
    }
    Optional<ShootSource> reference = shoot.reference();
    List<DeviceReport> reports = new ArrayList<>();
    devices.forEach(
        (name, sources) -> {
          Maker maker = DeviceGroups.maker(sources);
          Double seconds = null;
          String says = "";
          if (reference.isPresent() && !reference.get().device().equals(name)) {
            seconds = clockOffsetSeconds(reference.get(), sources);
            says = seconds == null ? "" : says(name, reference.get().device(), seconds);
          }
          reports.add(
              new DeviceReport(
                  name,
                  sources.stream().map(ShootSource::path).toList(),
                  orNull(maker.make()),
                  orNull(maker.model()),
                  orNull(maker.serial()),
                  shoot.intake().deviceReasons().getOrDefault(name, ""),
                  seconds,
                  says));
        });
    return reports;
  }

  private static @Nullable String orNull(String text) {
    return text.isEmpty() ? null : text;
  }

  /** Median over the placed sources; null if there is none with a start time. */
  private static @Nullable Double clockOffsetSeconds(
      ShootSource reference, List<ShootSource> sources) {
    StartClaim began = start(reference);
    if (began == null) {
      return null;
    }
    List<Double> offsets = new ArrayList<>();
    for (ShootSource source : sources) {
      StartClaim own = start(source);
      Placement placement = source.placement();
      Double place =
          placement == null || placement.state() != Placement.State.PLACED
              ? null
              : placement.offsetSeconds();
      if (own != null && place != null) {
        offsets.add(apart(began, own) - place);
      }
    }
    offsets.sort(null);
    return offsets.isEmpty() ? null : offsets.get((offsets.size() - 1) / 2);
  }

  private static @Nullable StartClaim start(ShootSource source) {
    Analysis analysis = source.analysis();
    return analysis == null
        ? null
        : StartClaim.best(analysis.facts().origin().startClaims()).orElse(null);
  }

  /**
   * Seconds from one start to the other: as instants where both offsets from UTC are known, else as
   * the clocks showed them.
   */
  private static double apart(StartClaim from, StartClaim to) {
    LocalDateTime one = from.local();
    LocalDateTime two = to.local();
    if (one == null || two == null) {
      throw new IllegalArgumentException("a start without a day");
    }
    double seconds = Duration.between(one, two).toNanos() / 1e9;
    return from.offset() == null || to.offset() == null
        ? seconds
        : seconds + from.offset().getTotalSeconds() - to.offset().getTotalSeconds();
  }

  /** The sentence; to the second, as most files say no more. */
  static String says(String device, String reference, double offsetSeconds) {
    long seconds = Math.round(Math.abs(offsetSeconds));
    if (seconds == 0) {
      return device + "'s clock agrees with " + reference + "'s to the second.";
    }
    String says =
        device
            + "'s clock is "
            + length(seconds)
            + (offsetSeconds > 0 ? " ahead of " : " behind ")
            + reference
            + "'s";
    long half = Math.round(seconds / (HOUR_SECONDS / 2.0)) * (HOUR_SECONDS / 2);
    boolean zones =
        half > 0
            && seconds <= FURTHEST_ZONES_SECONDS
            && Math.abs(seconds - half) <= ZONE_TOLERANCE_SECONDS;
    return says + (zones ? "; so near to whole or half hours it is mostly the time zone." : ".");
  }

  private static String length(long seconds) {
    long days = seconds / 86_400;
    long hours = seconds / 3600 % 24;
    long minutes = seconds / 60 % 60;
    String text = seconds % 60 + " s";
    if (seconds >= 60) {
      text = minutes + " min " + text;
    }
    if (seconds >= HOUR_SECONDS) {
      text = hours + " h " + text;
    }
    return days == 0 ? text : days + (days == 1 ? " day " : " days ") + text;
  }
}
