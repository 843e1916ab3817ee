package hardpan.shoot;

import hardpan.lanes.Arrangement;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.LaneChoices;
import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * What a person decides about a shoot; it wins over everything that is found.
 *
 * @param pins sources whose place is given
 * @param excluded patterns of sources that are left out of the line-up, as in {@link
 *     DeviceRules.Rule}
 * @param devices which source comes from which device
 * @param reference path of the source to line up to, or the end of it; null for the longest good
 *     recording
 * @param lanes what is decided about single lanes
 * @param files how the window hands over; commands have options for that
 * @param placeBy what is made to coincide; null if nothing is said about it, which means the sound
 */
public record Wishes(
    List<Pin> pins,
    List<String> excluded,
    DeviceRules devices,
    @Nullable String reference,
    LaneChoices lanes,
    Files files,
    @Nullable PlaceBy placeBy) {
  /** Nothing is decided. */
  public static final Wishes NONE = new Wishes(List.of(), List.of(), DeviceRules.NONE);

  /** About the line-up alone. */
  public Wishes(List<Pin> pins, List<String> excluded, DeviceRules devices) {
    this(pins, excluded, devices, null, LaneChoices.NONE, Files.USUAL, null);
  }

  /**
   * How lanes go into files.
   *
   * @param arrangement layout, names and samples
   * @param correction when clocks are corrected
   */
  public record Files(Arrangement arrangement, DriftCorrection correction) {
    /** Mono files by clip, clocks corrected where it matters. */
    public static final Files USUAL = new Files(Arrangement.USUAL, DriftCorrection.AUTO);
  }

  /** Copies the lists. */
  public Wishes {
    pins = List.copyOf(pins);
    excluded = List.copyOf(excluded);
  }

  /**
   * A given place.
   *
   * @param source path of the source in the report, or the end of it
   * @param offsetSeconds where its first frame lies on the reference, finite
   */
  public record Pin(String source, double offsetSeconds) {
    private static final Pattern TIME =
        Pattern.compile("(-?)(?:(?:([0-9]{1,4}):)?([0-5]?[0-9]):)?([0-9]{1,9}(?:\\.[0-9]{1,9})?)");
    private static final int SECONDS_IN_MINUTE = 60;

    /** A source needs a name. */
    public Pin {
      if (source.isBlank() || !Double.isFinite(offsetSeconds)) {
        throw new IllegalArgumentException("a pin needs a source and a place");
      }
    }

    /**
     * A pin as it is typed: {@code SOURCE=OFFSET}, the offset in seconds, or as minutes and seconds
     * or hours, minutes and seconds with colons between them.
     *
     * @throws IllegalArgumentException if it is not of that form
     */
    public static Pin parse(String text) {
      int equals = text.lastIndexOf('=');
      Matcher time = TIME.matcher(equals < 0 ? "" : text.substring(equals + 1).strip());
      if (!time.matches()) {
        throw new IllegalArgumentException("'" + text + "' is not of the form SOURCE=OFFSET");
      }
      double seconds = Double.parseDouble(time.group(4));
      boolean colons = time.group(3) != null;
      if (colons && seconds >= SECONDS_IN_MINUTE) {
        throw new IllegalArgumentException("'" + text + "' has more than 59 seconds");
      }
      seconds += SECONDS_IN_MINUTE * number(time.group(3));
      seconds += SECONDS_IN_MINUTE * SECONDS_IN_MINUTE * number(time.group(2));
      return new Pin(
          text.substring(0, equals).strip().replace('\\', '/').replaceAll("^\\./", ""),
          time.group(1).isEmpty() ? seconds : -seconds);
    }

    private static double number(@Nullable String digits) {
      return digits == null ? 0 : Integer.parseInt(digits);
    }

    /** Whether it names a source. */
    boolean fits(String path) {
      return path.equals(source) || path.endsWith("/" + source);
    }
  }

  /** These, with a given place; an older one of the same source goes. */
  public Wishes withPin(Pin pin) {
    List<Pin> next = new ArrayList<>(withoutPin(pin.source()).pins);
    next.add(pin);
    return withPins(next);
  }

  /** These, without a given place of the source. */
  public Wishes withoutPin(String source) {
    return withPins(pins.stream().filter(pin -> !pin.source().equals(source)).toList());
  }

  private Wishes withPins(List<Pin> next) {
    return new Wishes(next, excluded, devices, reference, lanes, files, placeBy);
  }

  /** These, with a pattern of sources that are left out. */
  public Wishes withExcluded(String pattern) {
    List<String> next = new ArrayList<>(withoutExcluded(pattern).excluded);
    next.add(pattern);
    return withAllExcluded(next);
  }

  /** These, without a pattern of sources that are left out. */
  public Wishes withoutExcluded(String pattern) {
    return withAllExcluded(excluded.stream().filter(one -> !one.equals(pattern)).toList());
  }

  private Wishes withAllExcluded(List<String> next) {
    return new Wishes(pins, next, devices, reference, lanes, files, placeBy);
  }

  /** These, with a source or pattern said to come from a device; what was said of it goes. */
  public Wishes withDevice(DeviceRules.Rule rule) {
    List<DeviceRules.Rule> next = new ArrayList<>(List.of(rule));
    devices.rules().stream()
        .filter(older -> !older.pattern().equals(rule.pattern()))
        .forEach(next::add);
    return new Wishes(pins, excluded, new DeviceRules(next), reference, lanes, files, placeBy);
  }

  /** These, without what was said of the device of a source or pattern. */
  public Wishes withoutDevice(String pattern) {
    List<DeviceRules.Rule> next =
        devices.rules().stream().filter(rule -> !rule.pattern().equals(pattern)).toList();
    return new Wishes(pins, excluded, new DeviceRules(next), reference, lanes, files, placeBy);
  }

  /** These, with another reference; null for the longest good recording. */
  public Wishes withReference(@Nullable String path) {
    return new Wishes(pins, excluded, devices, path, lanes, files, placeBy);
  }

  /** These, with other decisions about lanes. */
  public Wishes withLanes(LaneChoices next) {
    return new Wishes(pins, excluded, devices, reference, next, files, placeBy);
  }

  /** These, with the lanes in other files. */
  public Wishes withFiles(Files next) {
    return new Wishes(pins, excluded, devices, reference, lanes, next, placeBy);
  }

  /** These, with something else made to coincide; null to say nothing about it. */
  public Wishes withPlaceBy(@Nullable PlaceBy next) {
    return new Wishes(pins, excluded, devices, reference, lanes, files, next);
  }

  /** What is made to coincide: what is heard, unless something else is said. */
  public PlaceBy placing() {
    return placeBy == null ? PlaceBy.SOUND : placeBy;
  }

  /** Whether others ask the same of the line-up. */
  public boolean hasSameLineUp(Wishes other) {
    return pins.equals(other.pins)
        && excluded.equals(other.excluded)
        && devices.equals(other.devices)
        && Objects.equals(reference, other.reference)
        && placing() == other.placing();
  }

  /** The given place of a source, if it has one. */
  public Optional<Pin> pinOf(String path) {
    return pins.stream().filter(pin -> pin.fits(path)).findFirst();
  }

  /** These, with a source no longer left out, by whatever pattern it was. */
  public Wishes takenIn(String path) {
    return withAllExcluded(excluded.stream().filter(pattern -> !rule(pattern).fits(path)).toList());
  }

  /** Whether a source is left out. */
  public boolean excludes(String path) {
    return excluded.stream().anyMatch(pattern -> rule(pattern).fits(path));
  }

  private static DeviceRules.Rule rule(String pattern) {
    return new DeviceRules.Rule("excluded", pattern);
  }

  /** Stands for all that the line-up depends on; equal where {@link #hasSameLineUp} says so. */
  String lineUpKey() {
    // By sound it is as it was before there was a choice, so that what was kept then still fits.
    String place = placing() == PlaceBy.SOUND ? "" : "\n" + placing();
    return pins + "\n" + excluded + "\n" + devices.rules() + "\n" + reference + place;
  }

  /** These wishes, and older ones as far as they do not contradict. */
  Wishes over(Wishes older) {
    List<Pin> allPins = new ArrayList<>(pins);
    for (Pin pin : older.pins) {
      if (pins.stream().noneMatch(own -> own.source().equals(pin.source()))) {
        allPins.add(pin);
      }
    }
    Set<String> allExcluded = new LinkedHashSet<>(excluded);
    allExcluded.addAll(older.excluded);
    List<DeviceRules.Rule> rules = new ArrayList<>(devices.rules());
    for (DeviceRules.Rule rule : older.devices.rules()) {
      if (rules.stream().noneMatch(own -> own.pattern().equals(rule.pattern()))) {
        rules.add(rule);
      }
    }
    return new Wishes(
        allPins,
        List.copyOf(allExcluded),
        new DeviceRules(rules),
        reference == null ? older.reference : reference,
        lanes.over(older.lanes),
        files.equals(Files.USUAL) ? older.files : files,
        placeBy == null ? older.placeBy : placeBy);
  }

  /**
   * Looks whether the wishes fit the sources, before any long work.
   *
   * @throws ShootException if a pin names no source or several, or an exclusion or a lane fits
   *     nothing
   */
  public void check(Shoot shoot) throws ShootException {
    for (Pin pin : pins) {
      long fitting = shoot.sources().stream().filter(source -> pin.fits(source.path())).count();
      if (fitting != 1) {
        throw new ShootException(
            ShootException.Reason.REQUEST,
            fitting == 0
                ? "The pinned source " + pin.source() + " is not among the sources."
                : "The pinned source "
                    + pin.source()
                    + " fits "
                    + fitting
                    + " sources; name its folder.");
      }
    }
    for (String pattern : excluded) {
      if (shoot.sources().stream().noneMatch(source -> rule(pattern).fits(source.path()))) {
        throw new ShootException(
            ShootException.Reason.REQUEST, "No source fits the excluded " + pattern + ".");
      }
    }
    Set<String> named = new LinkedHashSet<>();
    lanes.channels().forEach(choice -> named.add(choice.source()));
    lanes.pairs().forEach(choice -> named.add(choice.source()));
    for (String name : named) {
      if (shoot.sources().stream().noneMatch(source -> isNamed(name, source))) {
        throw new ShootException(
            ShootException.Reason.REQUEST,
            "No source or device is called " + name + "; lanes are named after one of them.");
      }
    }
  }

  /** By its path, its device or a run of that device. */
  private static boolean isNamed(String name, ShootSource source) {
    return source.path().equals(name)
        || source.path().endsWith("/" + name)
        || name.replaceFirst("#[0-9]+$", "").equals(source.device());
  }

  /** The wishes that fit some of the sources; kept ones may be about files that are gone. */
  Wishes about(Shoot shoot) {
    List<String> paths = shoot.sources().stream().map(ShootSource::path).toList();
    return new Wishes(
        pins.stream().filter(pin -> paths.stream().filter(pin::fits).count() == 1).toList(),
        excluded.stream().filter(pattern -> paths.stream().anyMatch(rule(pattern)::fits)).toList(),
        new DeviceRules(
            devices.rules().stream().filter(rule -> paths.stream().anyMatch(rule::fits)).toList()),
        reference != null && paths.stream().anyMatch(path -> isEndOf(path, reference))
            ? reference
            : null,
        lanes,
        files,
        placeBy);
  }

  private static boolean isEndOf(String path, String end) {
    return path.equals(end) || path.endsWith("/" + end);
  }
}
