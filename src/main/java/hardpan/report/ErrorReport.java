package hardpan.report;

import hardpan.base.MediaException;
import java.util.Objects;

/**
 * Why a source could not be read.
 *
 * @param code which of the three kinds
 * @param message one sentence the practitioner can act on
 */
public record ErrorReport(Code code, String message) {
  /** Both must be there. */
  public ErrorReport {
    Objects.requireNonNull(code, "code");
    Objects.requireNonNull(message, "message");
  }

  /** From the exception the reader threw. */
  public static ErrorReport of(MediaException exception) {
    return new ErrorReport(Word.of(Code.class, exception.code()), exception.sentence());
  }

  /** The three kinds of {@link MediaException}. */
  public enum Code implements Word {
    /** Damaged, cut short, or not media. */
    MALFORMED,
    /** Legal, but not read by this version. */
    UNSUPPORTED,
    /** Missing, no permission, or a disk failure. */
    IO
  }
}
