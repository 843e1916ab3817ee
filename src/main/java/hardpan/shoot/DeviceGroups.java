package hardpan.shoot;

import hardpan.media.Maker;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;

/**
 * Groups sources by device, from the folders' guess and from what the files say. Two models or two
 * serial numbers in one folder are two devices; one serial number in two folders is one device.
 * Where files say nothing, those in one folder are told apart only if both the names before the
 * number and the formats differ. What the person says wins over everything.
 */
final class DeviceGroups {
  /** Shorter ones are placeholders rather than serial numbers. */
  private static final int SHORTEST_SERIAL = 4;

  private final Map<String, String> deviceOf = new HashMap<>();
  private final Map<String, String> reasons = new LinkedHashMap<>();
  private final Map<String, String> deviceBySerial = new HashMap<>();

  private DeviceGroups() {}

  /**
   * Gives every source its device and the number of its run there.
   *
   * @param shoot its sources carry the folders' guess
   */
  static Shoot assign(Shoot shoot) {
    DeviceGroups groups = new DeviceGroups();
    Map<String, List<ShootSource>> byGuess = new LinkedHashMap<>();
    for (ShootSource source : shoot.sources()) {
      Optional<String> said = shoot.intake().rules().deviceOf(source.path());
      if (said.isPresent()) {
        groups.put(source, said.get(), "It was set by hand.");
      } else {
        byGuess.computeIfAbsent(source.device(), key -> new ArrayList<>()).add(source);
      }
    }
    byGuess.forEach(groups::addGuess);
    Map<String, Integer> runs = new HashMap<>();
    List<ShootSource> sources = new ArrayList<>();
    for (ShootSource source : shoot.sources()) {
      String device = groups.deviceOf.getOrDefault(source.path(), source.device());
      sources.add(source.from(device, runs.merge(device, 1, Integer::sum)));
    }
    Intake intake = shoot.intake();
    return new Shoot(
        shoot.name(),
        sources,
        shoot.leftOut(),
        shoot.referencePath(),
        new Intake(intake.rules(), intake.namedPaths(), groups.reasons));
  }

  private void put(ShootSource source, String device, String reason) {
    deviceOf.put(source.path(), device);
    reasons.putIfAbsent(device, reason);
  }

  private void addGuess(String guess, List<ShootSource> sources) {
    List<List<ShootSource>> parts = parts(sources);
    String place =
        sources.get(0).path().indexOf('/') < 0 ? "named alike" : "in the folder " + folder(sources);
    Set<String> labels = new HashSet<>();
    for (List<ShootSource> part : parts) {
      Maker maker = maker(part);
      String serial = serial(part);
      String earlier = serial.isEmpty() ? null : deviceBySerial.get(serial);
      if (earlier != null) {
        reasons.put(
            earlier,
            "Its files lie in several folders but carry one serial number, "
                + maker.serial()
                + ".");
        part.forEach(source -> deviceOf.put(source.path(), earlier));
        continue;
      }
      String name = guess;
      String reason = "Its files are " + place + said(maker) + ".";
      if (parts.size() > 1) {
        name = guess + "-" + label(part, labels);
        reason =
            said(maker).isEmpty()
                ? "Its files are "
                    + place
                    + ", but differ from the others there in name and format."
                : "Its files are " + place + said(maker) + "; others there do not.";
      }
      String unique = name;
      // A name from the folders alone may be one that was set by hand: the same device then.
      for (int number = 2; parts.size() > 1 && reasons.containsKey(unique); number++) {
        unique = name + "-" + number;
      }
      for (ShootSource source : part) {
        put(source, unique, reason);
      }
      if (!serial.isEmpty()) {
        deviceBySerial.put(serial, unique);
      }
    }
  }

  /** The folder around all sources of a folder's guess. */
  private static String folder(List<ShootSource> sources) {
    String common = parent(sources.get(0).path());
    for (ShootSource source : sources) {
      while (!(parent(source.path()) + "/").startsWith(common + "/") && !common.isEmpty()) {
        common = parent(common);
      }
    }
    return common;
  }

  private static String parent(String path) {
    return path.substring(0, Math.max(0, path.lastIndexOf('/')));
  }

  private static String said(Maker maker) {
    if (maker.name().isEmpty() && maker.serial().isEmpty()) {
      return "";
    }
    return " and name "
        + (maker.name().isEmpty() ? "the device" : maker.name())
        + (maker.serial().isEmpty() ? "" : ", serial number " + maker.serial());
  }

  private static String label(List<ShootSource> part, Set<String> labels) {
    Maker maker = maker(part);
    String path = part.get(0).path();
    String label = maker.model().isEmpty() ? Devices.prefix(path) : maker.model();
    label = label.isEmpty() ? Devices.ending(path) : label;
    if (!labels.add(label) && !maker.serial().isEmpty()) {
      label = label + "-" + maker.serial();
      labels.add(label);
    }
    return label;
  }

  /** The sources of one folder by device, in the order of their first sources. */
  private static List<List<ShootSource>> parts(List<ShootSource> sources) {
    Map<String, List<ShootSource>> known = new LinkedHashMap<>();
    List<ShootSource> unknown = new ArrayList<>();
    Map<String, Set<String>> serialsByModel = new HashMap<>();
    for (ShootSource source : sources) {
      Maker maker = maker(source);
      if (!serial(source).isEmpty()) {
        serialsByModel.computeIfAbsent(kind(maker), key -> new TreeSet<>()).add(serial(source));
      }
    }
    for (ShootSource source : sources) {
      String model = kind(maker(source));
      String serial = serial(source);
      Set<String> serials = serialsByModel.getOrDefault(model, Set.of());
      if (serial.isEmpty() && serials.size() == 1) {
        serial = serials.iterator().next();
      }
      if (serial.isEmpty() && model.isEmpty()) {
        unknown.add(source);
      } else {
        known
            .computeIfAbsent(serial.isEmpty() ? "model " + model : serial, key -> new ArrayList<>())
            .add(source);
      }
    }
    List<List<ShootSource>> parts = new ArrayList<>(known.values());
    List<List<ShootSource>> nameless = new ArrayList<>();
    for (ShootSource source : unknown) {
      List<List<ShootSource>> fitting =
          parts.stream().filter(part -> part.stream().anyMatch(o -> alike(o, source))).toList();
      if (fitting.size() == 1) {
        fitting.get(0).add(source);
      } else {
        join(nameless, source);
      }
    }
    parts.addAll(nameless);
    return withUnreadable(parts);
  }

  /** Adds a source to the parts that have something like it, making one of them. */
  private static void join(List<List<ShootSource>> parts, ShootSource source) {
    List<ShootSource> joined = new ArrayList<>();
    parts.removeIf(
        part -> {
          boolean fits = part.stream().anyMatch(other -> alike(other, source));
          if (fits) {
            joined.addAll(part);
          }
          return fits;
        });
    joined.add(source);
    parts.add(joined);
  }

  /** What cannot be read says nothing, so it never makes a device of its own. */
  private static List<List<ShootSource>> withUnreadable(List<List<ShootSource>> parts) {
    List<List<ShootSource>> readable =
        new ArrayList<>(
            parts.stream()
                .filter(part -> part.stream().anyMatch(ShootSource::isReadable))
                .toList());
    if (readable.isEmpty()) {
      return List.of(parts.stream().flatMap(List::stream).toList());
    }
    for (List<ShootSource> part : parts) {
      if (part.stream().noneMatch(ShootSource::isReadable)) {
        readable.get(0).addAll(part);
      }
    }
    return readable;
  }

  /**
   * Make and model, or what wrote the file; empty if it says neither. What the FFmpeg libraries
   * write about themselves says nothing of a device.
   */
  private static String kind(Maker maker) {
    boolean library = maker.software().startsWith("Lav");
    return maker.name().isEmpty() && !library ? maker.software() : maker.name();
  }

  private static boolean alike(ShootSource a, ShootSource b) {
    return Devices.ending(a.path()).equals(Devices.ending(b.path()))
        || Devices.prefix(a.path()).equalsIgnoreCase(Devices.prefix(b.path()));
  }

  private static Maker maker(ShootSource source) {
    Analysis analysis = source.analysis();
    return analysis == null ? Maker.UNKNOWN : analysis.facts().origin().maker();
  }

  /** What the files of a part say, the first that says anything first. */
  static Maker maker(List<ShootSource> part) {
    Maker best = Maker.UNKNOWN;
    for (ShootSource source : part) {
      Maker maker = maker(source);
      if (best.name().isEmpty() || (best.serial().isEmpty() && !maker.serial().isEmpty())) {
        best = maker.name().isEmpty() && maker.serial().isEmpty() ? best : maker;
      }
    }
    return best;
  }

  private static String serial(List<ShootSource> part) {
    return part.stream()
        .map(DeviceGroups::serial)
        .filter(text -> !text.isEmpty())
        .findFirst()
        .orElse("");
  }

  /** Serial number with the model, as two makers may count alike; empty if there is none. */
  private static String serial(ShootSource source) {
    Maker maker = maker(source);
    boolean real = maker.serial().length() >= SHORTEST_SERIAL && !maker.serial().matches("(.)\\1*");
    return real ? maker.name() + " " + maker.serial() : "";
  }
}
