package hardpan.shoot;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.nio.file.StandardCopyOption;
import java.security.MessageDigest;
import java.security.NoSuchAlgorithmException;
import java.time.DateTimeException;
import java.time.Instant;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.jspecify.annotations.Nullable;

/**
 * The person's own folder for saved shoots, and the list of those worked on last. Trouble with the
 * list never stops anything: it is then empty, or does not grow.
 */
public final class SavedShoots {
  private static final int MOST_RECENT = 12;
  private static final int MOST_BYTES = 1 << 20;
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

  private Path list() {
    return folder.resolve("recent.json");
  }

  /** The shoots worked on last, the latest first. */
  public List<Recent> recent() {
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
    List<Recent> all = new ArrayList<>(recent());
    all.removeIf(other -> fileFor(other.roots()).equals(fileFor(shoot.roots())));
    all.add(0, shoot);
    write(all.subList(0, Math.min(MOST_RECENT, all.size())));
  }

  /** Takes a shoot off the list; what is kept of it stays. */
  public void forget(Recent shoot) {
    List<Recent> all = new ArrayList<>(recent());
    all.removeIf(other -> other.roots().equals(shoot.roots()));
    write(all);
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
        Files.writeString(draft, MAPPER.writeValueAsString(entries), StandardCharsets.UTF_8);
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
