package hardpan.shoot;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.DirectoryIteratorException;
import java.nio.file.DirectoryStream;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.LinkOption;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.DateTimeException;
import java.time.Duration;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Set;
import java.util.regex.Pattern;
import org.jspecify.annotations.Nullable;

/**
 * The person's own folder for saved shoots, and the list of those worked on last. Trouble with the
 * list never stops anything: it is then empty, or does not grow.
 */
public final class SavedShoots {
  private static final int MOST_RECENT = 12;
  private static final int MOST_LISTED = 400;
  private static final int MOST_BYTES = 1 << 20;

  /** What ends the name of a saved shoot. */
  private static final String ENDING = ".hardpan";

  /** Names that {@link #fileFor} makes; nothing else is ever removed. */
  private static final Pattern OWN_NAME = Pattern.compile(".+-[0-9a-f]{16}\\.hardpan");

  /** How much is kept of what nobody opened lately. */
  static final Bounds USUAL =
      new Bounds(Duration.ofDays(30), Duration.ofDays(365), 100, 10_000_000_000L);

  private static final int NAME_LETTERS = 40;
  private static final ObjectMapper MAPPER = AnalysisText.mapper();

  private final Path folder;

  /**
   * In a folder.
   *
   * @param folder made when something is to be kept
   */
  public SavedShoots(Path folder) {
    this.folder = folder;
  }

  /**
   * A shoot that was worked on.
   *
   * @param name what it is called
   * @param roots its folders and files
   * @param when it was last opened
   */
  public record Recent(String name, List<Path> roots, Instant when) {
    /** Copies the list. */
    public Recent {
      roots = List.copyOf(roots);
    }

    /** Whether a folder or file of it is not there. */
    public boolean isMissing() {
      return !roots.stream().allMatch(Files::exists);
    }
  }

  /**
   * How much is kept.
   *
   * @param untouched what was worked on within this time always stays
   * @param missing a shoot whose folders are not there goes when nobody opened it for this time
   * @param mostShoots of more than so many the oldest go
   * @param mostBytes of more than so much in all the oldest go
   */
  record Bounds(Duration untouched, Duration missing, int mostShoots, long mostBytes) {}

  private record Entry(String name, List<String> roots, String when) {}

  /**
   * Where this person's programs keep their data: {@code XDG_DATA_HOME} or {@code ~/.local/share}
   * (XDG Base Directory Specification 0.8), {@code ~/Library/Application Support} (Apple, File
   * System Programming Guide), {@code %APPDATA%} (Microsoft, Known Folder IDs,
   * FOLDERID_RoamingAppData); in it a folder of our own.
   *
   * @param system the operating system's name as Java gives it
   * @param environment the environment
   * @param home the person's home folder
   */
  static Path dataFolder(String system, Map<String, String> environment, Path home) {
    String name = system.toLowerCase(Locale.ROOT);
    if (name.startsWith("windows")) {
      Path roaming = absolute(environment.get("APPDATA"));
      return (roaming == null ? home.resolve("AppData").resolve("Roaming") : roaming)
          .resolve("Hardpan");
    }
    if (name.startsWith("mac")) {
      return home.resolve("Library").resolve("Application Support").resolve("Hardpan");
    }
    Path data = absolute(environment.get("XDG_DATA_HOME"));
    return (data == null ? home.resolve(".local").resolve("share") : data).resolve("hardpan");
  }

  /** The specification has relative paths ignored. */
  private static @Nullable Path absolute(@Nullable String text) {
    if (text == null || text.isBlank()) {
      return null;
    }
    try {
      Path path = Path.of(text);
      return path.isAbsolute() ? path : null;
    } catch (InvalidPathException e) {
      return null;
    }
  }

  /** Those of the person who runs this. */
  public static SavedShoots ofThisPerson() {
    return new SavedShoots(
        dataFolder(
            System.getProperty("os.name", ""),
            System.getenv(),
            Path.of(System.getProperty("user.home", "."))));
  }

  /** The folder. */
  public Path folder() {
    return folder;
  }

  /**
   * Where the shoot of these folders and files is kept; the same for the same ones in any order.
   */
  public Path fileFor(List<Path> roots) {
    List<Path> sorted =
        roots.stream().map(root -> root.toAbsolutePath().normalize()).sorted().toList();
    List<String> paths = sorted.stream().map(Path::toString).toList();
    // By the paths alone: a folder that is not there now has the same file.
    Path first = sorted.isEmpty() ? null : sorted.get(0).getFileName();
    String plain =
        (first == null ? "shoot" : first.toString())
            .replaceAll("[^A-Za-z0-9._-]+", "-")
            .replaceAll("^[.-]+", "");
    String name = plain.substring(0, Math.min(NAME_LETTERS, plain.length()));
    return folder.resolve(
        (name.isEmpty() ? "shoot" : name) + "-" + digest(String.join("\n", paths)) + ".hardpan");
  }

  private static String digest(String text) {
    try {
      byte[] sum =
          MessageDigest.getInstance("SHA-256").digest(text.getBytes(StandardCharsets.UTF_8));
      return HexFormat.of().formatHex(sum, 0, 8);
    } catch (NoSuchAlgorithmException e) {
      throw new IllegalStateException("every Java platform has SHA-256", e);
    }
  }

  /** Whether these are one saved shoot, by the end of its name, and not folders of clips. */
  public static boolean isSavedShoot(List<Path> paths) {
    return paths.size() == 1 && isSavedShoot(paths.get(0));
  }

  /** Whether a path is that of a saved shoot, by the end of its name. */
  public static boolean isSavedShoot(Path path) {
    Path name = path.getFileName();
    return name != null
        && name.toString().toLowerCase(Locale.ROOT).endsWith(ENDING)
        && !Files.isDirectory(path);
  }

  /** A saved shoot in the folder. */
  private record Kept(Path file, Instant when, boolean missing, long bytes) {}

  /**
   * Removes saved shoots that nobody has opened for long: those whose folders are gone, and the
   * oldest of too many. Only files of this class's own naming in the folder itself are removed,
   * with the log that belongs to each; trouble with one leaves it there.
   *
   * @param now the time
   * @param open the shoot that is worked on, which stays
   */
  public void tidy(Instant now, List<Path> open) {
    tidy(now, fileFor(open), USUAL);
  }

  void tidy(Instant now, Path open, Bounds bounds) {
    List<Recent> listed = listed();
    List<Kept> kept = new ArrayList<>();
    try (DirectoryStream<Path> files = Files.newDirectoryStream(folder, "*" + ENDING)) {
      for (Path file : files) {
        if (isOwn(file)) {
          kept.add(kept(file, listed));
        }
      }
    } catch (IOException | DirectoryIteratorException e) {
      return;
    }
    kept.sort(Comparator.comparing(Kept::when).reversed());
    Set<Path> gone = new HashSet<>();
    int count = 0;
    long bytes = 0;
    for (Kept one : kept) {
      count++;
      bytes += one.bytes();
      boolean stays = one.file().equals(open) || one.when().isAfter(now.minus(bounds.untouched()));
      boolean lost = one.missing() && one.when().isBefore(now.minus(bounds.missing()));
      if (!stays && (lost || count > bounds.mostShoots() || bytes > bounds.mostBytes())) {
        if (remove(one.file())) {
          gone.add(one.file());
          count--;
          bytes -= one.bytes();
        }
      }
    }
    if (!gone.isEmpty()) {
      write(listed.stream().filter(one -> !gone.contains(fileFor(one.roots()))).toList());
    }
  }

  private static boolean isOwn(Path file) {
    Path name = file.getFileName();
    return name != null
        && OWN_NAME.matcher(name.toString()).matches()
        && Files.isRegularFile(file, LinkOption.NOFOLLOW_LINKS);
  }

  /** When it was opened last: by the list, or by the file's own time where the list is silent. */
  private Kept kept(Path file, List<Recent> listed) throws IOException {
    Instant when = Files.getLastModifiedTime(file).toInstant();
    boolean missing = false;
    for (Recent one : listed) {
      if (fileFor(one.roots()).equals(file)) {
        missing = one.isMissing();
        when = one.when().isAfter(when) ? one.when() : when;
      }
    }
    Path log = ShootFileOpener.log(file);
    long more = Files.isRegularFile(log) ? Files.size(log) : 0;
    return new Kept(file, when, missing, Files.size(file) + more);
  }

  private static boolean remove(Path file) {
    try {
      Files.delete(file);
      // The log means nothing without its file; first it would, for whoever stops in between.
      Files.deleteIfExists(ShootFileOpener.log(file));
      return true;
    } catch (IOException e) {
      return false;
    }
  }

  private Path list() {
    return folder.resolve("recent.json");
  }

  /** The shoots worked on last, the latest first. */
  public List<Recent> recent() {
    List<Recent> all = listed();
    return List.copyOf(all.subList(0, Math.min(MOST_RECENT, all.size())));
  }

  /** All of which it is known when they were opened, the latest first. */
  private List<Recent> listed() {
    List<Recent> recent = new ArrayList<>();
    try {
      if (!Files.isRegularFile(list()) || Files.size(list()) > MOST_BYTES) {
        return recent;
      }
      for (Entry entry :
          MAPPER.readValue(Files.readString(list(), StandardCharsets.UTF_8), Entry[].class)) {
        recent.add(
            new Recent(
                entry.name(),
                entry.roots().stream().map(Path::of).toList(),
                Instant.parse(entry.when())));
      }
    } catch (IOException | DateTimeException | InvalidPathException e) {
      // Cut short or written by another hand; the shoots themselves are not touched.
      return List.of();
    }
    recent.sort(Comparator.comparing(Recent::when).reversed());
    return recent;
  }

  /** Notes that a shoot was opened. */
  public void opened(Recent shoot) {
    List<Recent> all = new ArrayList<>(listed());
    all.removeIf(other -> fileFor(other.roots()).equals(fileFor(shoot.roots())));
    all.add(0, shoot);
    write(all.subList(0, Math.min(MOST_LISTED, all.size())));
  }

  /** Takes a shoot off the list; what is kept of it stays. */
  public void forget(Recent shoot) {
    List<Recent> all = new ArrayList<>(listed());
    all.removeIf(other -> other.roots().equals(shoot.roots()));
    write(all);
  }

  /** As many of the latest as can be read back. */
  private static String text(List<Entry> entries) throws JsonProcessingException {
    String text = MAPPER.writeValueAsString(entries);
    return text.getBytes(StandardCharsets.UTF_8).length <= MOST_BYTES || entries.isEmpty()
        ? text
        : text(entries.subList(0, entries.size() / 2));
  }

  private void write(List<Recent> all) {
    List<Entry> entries =
        all.stream()
            .map(
                one ->
                    new Entry(
                        one.name(),
                        one.roots().stream()
                            .map(root -> root.toAbsolutePath().normalize().toString())
                            .toList(),
                        one.when().toString()))
            .toList();
    try {
      Files.createDirectories(folder);
      Path draft = Files.createTempFile(folder, "recent", ".draft");
      try {
        Files.writeString(draft, text(entries), StandardCharsets.UTF_8);
        Files.move(
            draft, list(), StandardCopyOption.ATOMIC_MOVE, StandardCopyOption.REPLACE_EXISTING);
      } finally {
        Files.deleteIfExists(draft);
      }
    } catch (JsonProcessingException e) {
      throw new IllegalStateException("names and times can be written", e);
    } catch (IOException e) {
      // The list is a convenience; the work goes on without it.
    }
  }
}
