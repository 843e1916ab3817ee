package hardpan.shoot;

import hardpan.base.MediaException;
import hardpan.lineup.Placement;
import hardpan.media.SourceFacts.ReadBy;
import java.io.IOException;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.SQLException;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.jspecify.annotations.Nullable;

/**
 * The saved shoot: one file that keeps what was measured, so that the next run reads only what is
 * new. docs/shoot-file.md says what is in it.
 *
 * <p>Safe for use by several threads; one of them writes at a time. One process at a time has the
 * file open. What it holds can always be measured again, so trouble with it after it was opened
 * never stops a job: it falls silent and {@link #trouble} tells.
 */
public final class ShootFile implements AutoCloseable {
  /**
   * Must be raised whenever the same file would be measured differently than before: a change in
   * verdicts, band maps, loudness or waveform, or another version of a decoder. Older results are
   * then measured again.
   */
  static final int ANALYSIS_VERSION = 8;

  private final Path file;
  private final Path lockKey;
  private final Connection connection;
  private final AnalysisStore analyses;
  private final WishStore wishes;
  private final KeptShootStore outcome;
  private final KnownPlacesStore pairs;
  private final int analysisVersion;
  private @Nullable String trouble;
  private boolean closed;

  private ShootFile(Path file, Path lockKey, Connection connection, int analysisVersion) {
    this.file = file;
    this.lockKey = lockKey;
    this.connection = connection;
    this.analyses = new AnalysisStore(connection, analysisVersion);
    this.wishes = new WishStore(connection);
    this.outcome = new KeptShootStore(connection, analyses, analysisVersion);
    this.pairs = new KnownPlacesStore(connection);
    this.analysisVersion = analysisVersion;
  }

  /**
   * Opens a saved shoot. One of an older version is brought to this one.
   *
   * @throws ShootException missing, not a saved shoot, damaged, made by a newer Hardpan, in use by
   *     another process, or not writable; the file is then as it was, byte for byte
   */
  public static ShootFile open(Path file) throws ShootException {
    return open(file, ShootLadder.CURRENT, ANALYSIS_VERSION);
  }

  /**
   * Makes a new saved shoot and opens it.
   *
   * @param file must not exist or be empty
   * @throws ShootException if there is something already, or it cannot be written
   */
  public static ShootFile create(Path file) throws ShootException {
    return create(file, ShootLadder.CURRENT, ANALYSIS_VERSION);
  }

  /**
   * Opens the saved shoot if there is one, else makes it.
   *
   * @throws ShootException as {@link #open(Path)} and {@link #create(Path)}
   */
  public static ShootFile openOrCreate(Path file) throws ShootException {
    return ShootFileOpener.isThere(file) ? open(file) : create(file);
  }

  static ShootFile create(Path file, ShootLadder ladder, int analysisVersion)
      throws ShootException {
    ShootFileOpener.create(file, ladder);
    return open(file, ladder, analysisVersion);
  }

  static ShootFile open(Path file, ShootLadder ladder, int analysisVersion) throws ShootException {
    Path lockKey = ShootFileOpener.take(file);
    Connection connection = null;
    try {
      connection = ShootFileOpener.open(file, ladder);
      return new ShootFile(file, lockKey, connection, analysisVersion);
    } finally {
      if (connection == null) {
        ShootFileOpener.release(lockKey);
      }
    }
  }

  /**
   * The kept analysis of a source that has not changed since.
   *
   * @param scratchPrefix where its band maps go
   */
  synchronized Optional<Analysis> find(SourceMark mark, ReadBy reader, Path scratchPrefix) {
    return asked(
        () -> {
          try {
            return analyses.find(mark, reader, scratchPrefix);
          } catch (IOException e) {
            fallSilent("What " + file + " keeps could not be used: the temporary folder is full.");
            return Optional.empty();
          }
        },
        Optional.empty());
  }

  /** Keeps the analysis of a source in the place of an older one. */
  synchronized void store(SourceMark mark, ReadBy reader, Analysis analysis) {
    told(() -> analyses.store(mark, reader, analysis));
  }

  /** What a person decided about the shoot; nothing if it cannot be read. */
  synchronized Wishes wishes() {
    return asked(wishes::read, Wishes.NONE);
  }

  /** Keeps what a person decided in the place of what was decided before. */
  synchronized void keep(Wishes decided) {
    told(() -> wishes.write(decided));
  }

  /** The shoot as it was last lined up, if it is kept and reads back whole. */
  synchronized Optional<KeptShoot> shoot() {
    return asked(outcome::read, Optional.empty());
  }

  /** The folders and files it was made from; empty if it does not know them. */
  synchronized List<Path> roots() {
    return asked(outcome::roots, List.of());
  }

  /** Keeps a lined-up shoot in the place of the older one. */
  synchronized void keep(KeptShoot linedUp) {
    told(() -> outcome.write(linedUp));
  }

  /** What the runs of a shoot that was read are recognised by. */
  Map<String, String> marks(Shoot read) {
    return RunMarks.of(read, analysisVersion);
  }

  /** What comparing runs gave before, as far as they are the same. */
  synchronized KnownPlaces knownPlaces(Map<String, String> marks) {
    return new KnownPlaces(asked(() -> pairs.read(marks), Map.of()));
  }

  /** Keeps what comparing runs gave since it was kept last. */
  synchronized void keep(KnownPlaces known, Map<String, String> marks) {
    Map<KnownPlaces.Pair, Placement> fresh = known.takeFresh();
    if (!fresh.isEmpty()) {
      told(() -> pairs.write(fresh, marks));
    }
  }

  /** A question to the tables. */
  private interface Question<T> {
    T ask() throws SQLException;
  }

  private <T> T asked(Question<T> question, T otherwise) {
    if (isSilent()) {
      return otherwise;
    }
    try {
      return question.ask();
    } catch (SQLException e) {
      fallSilent(ShootFileOpener.sentence(file, e));
      return otherwise;
    }
  }

  private void told(Transaction.Work work) {
    if (isSilent()) {
      return;
    }
    try {
      work.run();
    } catch (SQLException e) {
      fallSilent(ShootFileOpener.sentence(file, e));
    } catch (MediaException e) {
      fallSilent(e.sentence());
    }
  }

  private boolean isSilent() {
    return closed || trouble != null;
  }

  private void fallSilent(String sentence) {
    trouble = sentence;
  }

  /** Why nothing more is kept since something went wrong, one sentence, if so. */
  public synchronized Optional<String> trouble() {
    return Optional.ofNullable(trouble);
  }

  /** Ends the work; what was kept is kept. Calling it twice does no harm. */
  @Override
  public synchronized void close() {
    if (closed) {
      return;
    }
    closed = true;
    try {
      connection.close();
    } catch (SQLException e) {
      fallSilent(ShootFileOpener.sentence(file, e));
    } finally {
      ShootFileOpener.release(lockKey);
    }
  }
}
