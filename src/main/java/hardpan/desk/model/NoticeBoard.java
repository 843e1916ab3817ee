package hardpan.desk.model;

import java.util.function.BooleanSupplier;
import javafx.beans.property.ReadOnlyObjectProperty;
import javafx.beans.property.ReadOnlyObjectWrapper;
import org.jspecify.annotations.Nullable;

/**
 * The message at the foot of the window, and one that waits until there is room for it. Belongs to
 * the window's thread.
 */
final class NoticeBoard implements DiskLook.Teller {
  private final ReadOnlyObjectWrapper<@Nullable Notice> notice = new ReadOnlyObjectWrapper<>();
  private final BooleanSupplier busy;

  /** What was found out beside other work, to be said when that has ended. */
  private @Nullable Notice waiting;

  /**
   * For one window.
   *
   * @param busy whether work goes on
   */
  NoticeBoard(BooleanSupplier busy) {
    this.busy = busy;
  }

  /** The message on show; null for none. */
  ReadOnlyObjectProperty<@Nullable Notice> noticeProperty() {
    return notice.getReadOnlyProperty();
  }

  /** Shows a message in place of what is on show; none for null. What waits goes on waiting. */
  void show(@Nullable Notice words) {
    notice.set(words);
  }

  @Override
  public void tell(Notice words) {
    waiting = null;
    notice.set(words);
  }

  @Override
  public void tellLater(Notice words) {
    waiting = words;
    sayWhatWaits();
  }

  @Override
  public void takeBack(Notice words) {
    if (words.equals(waiting)) {
      waiting = null;
    }
    if (words.equals(notice.get())) {
      notice.set(null);
    }
  }

  /**
   * Shows a message, and once more after work that wipes it away; what waits already goes first.
   */
  void showAndAgain(Notice words) {
    if (waiting == null) {
      waiting = words;
    }
    notice.set(words);
  }

  /** What waits is not so any more. */
  void forgetWaiting() {
    waiting = null;
  }

  /** A message that is on show goes first. */
  void sayWhatWaits() {
    if (waiting != null && notice.get() == null && !busy.getAsBoolean()) {
      notice.set(waiting);
      waiting = null;
    }
  }
}
