package hardpan.desk.model;

import hardpan.shoot.Wishes;
import java.util.ArrayDeque;
import java.util.Deque;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.ReadOnlyObjectWrapper;
import org.jspecify.annotations.Nullable;

/**
 * What the person decided, with the way back and forth again. A decision is a whole new {@link
 * Wishes}; nothing is changed in place. Belongs to the window's thread.
 */
public final class Edits {
  private static final int MOST_STEPS = 1000;

  private final ReadOnlyObjectWrapper<Wishes> wishes = new ReadOnlyObjectWrapper<>(Wishes.NONE);
  private final ReadOnlyObjectWrapper<@Nullable String> undoWords = new ReadOnlyObjectWrapper<>();
  private final ReadOnlyObjectWrapper<@Nullable String> redoWords = new ReadOnlyObjectWrapper<>();
  private final Deque<Step> done = new ArrayDeque<>();
  private final Deque<Step> undone = new ArrayDeque<>();

  /** The last entry as it was before each of the small moves that joined it, the latest first. */
  private final Deque<Step> joined = new ArrayDeque<>();

  /** One entry; {@code moved} is the source of a small move, which the next small one joins. */
  private record Step(Wishes before, Wishes after, String words, @Nullable String moved) {}

  /** What holds now. */
  public ReadOnlyObjectProperty<Wishes> wishesProperty() {
    return wishes.getReadOnlyProperty();
  }

  /** What undo would take back, in words; null if there is nothing. */
  public ReadOnlyObjectProperty<@Nullable String> undoWordsProperty() {
    return undoWords.getReadOnlyProperty();
  }

  /** What redo would do again, in words; null if there is nothing. */
  public ReadOnlyObjectProperty<@Nullable String> redoWordsProperty() {
    return redoWords.getReadOnlyProperty();
  }

  /** Begins anew, with what was kept of an earlier day; there is no way back from that. */
  public void start(Wishes kept) {
    done.clear();
    undone.clear();
    joined.clear();
    wishes.set(kept);
    tell();
  }

  /**
   * Decides something; what was undone is forgotten. Nothing happens if it is decided already.
   *
   * @param next all that holds from now on
   * @param words what was decided, for undo and redo
   */
  public void change(Wishes next, String words) {
    change(next, words, null);
  }

  /**
   * Moves a source by a small step. Steps of one source that follow each other are taken back
   * together.
   *
   * @param source what is moved
   */
  public void move(Wishes next, String words, String source) {
    change(next, words, source);
  }

  private void change(Wishes next, String words, @Nullable String moved) {
    if (next.equals(wishes.get())) {
      return;
    }
    Step last = done.peek();
    Wishes before = wishes.get();
    if (moved != null && last != null && moved.equals(last.moved()) && undone.isEmpty()) {
      before = last.before();
      joined.push(done.pop());
      if (joined.size() > MOST_STEPS) {
        joined.removeLast();
      }
    } else {
      joined.clear();
    }
    done.push(new Step(before, next, words, moved));
    if (done.size() > MOST_STEPS) {
      done.removeLast();
    }
    undone.clear();
    wishes.set(next);
    tell();
  }

  /** Takes the last decision back; nothing happens if there is none. */
  public void undo() {
    Step step = done.poll();
    if (step != null) {
      joined.clear();
      undone.push(step);
      wishes.set(step.before());
      tell();
    }
  }

  /** Decides again what was taken back last; nothing happens if there is nothing. */
  public void redo() {
    Step step = undone.poll();
    if (step != null) {
      joined.clear();
      done.push(step);
      wishes.set(step.after());
      tell();
    }
  }

  /**
   * Takes back a decision that cannot be kept to, as if it had not been made; of small moves that
   * are taken back together only the last one. Nothing happens if something else was decided since.
   *
   * @param refused what cannot be
   */
  void refuse(Wishes refused) {
    Step step = done.peek();
    if (step != null && refused.equals(wishes.get()) && refused.equals(step.after())) {
      done.pop();
      Step earlier = joined.poll();
      if (earlier != null) {
        done.push(earlier);
      }
      wishes.set(earlier == null ? step.before() : earlier.after());
      tell();
    }
  }

  private void tell() {
    undoWords.set(words(done));
    redoWords.set(words(undone));
  }

  private static @Nullable String words(Deque<Step> steps) {
    Step step = steps.peek();
    return step == null ? null : step.words();
  }
}
