package hardpan.desk.model;

import hardpan.report.MinusSigns;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** One piece of the details, from top to bottom. */
public sealed interface DetailLine {
  /** A heading. */
  record Heading(String text) implements DetailLine {}

  /**
   * A sentence.
   *
   * @param text what it says
   * @param soft whether it carries less weight
   * @param mark a shape before it, or null
   * @param why what it rests on
   */
  record Sentence(String text, boolean soft, @Nullable Mark mark, Why why) implements DetailLine {
    /** With true minus signs. */
    public Sentence {
      text = MinusSigns.in(text);
    }

    /** Without more behind it. */
    public Sentence(String text, boolean soft, @Nullable Mark mark) {
      this(text, soft, mark, Why.NONE);
    }
  }

  /**
   * Something that was found.
   *
   * @param mark its shape
   * @param kind the shape's word: fault, warning or note
   * @param says what is wrong
   * @param remedy what to do; may be empty
   * @param why what it rests on
   */
  record Found(Mark mark, String kind, String says, String remedy, Why why) implements DetailLine {
    /** With true minus signs. */
    public Found {
      says = MinusSigns.in(says);
      remedy = MinusSigns.in(remedy);
    }
  }

  /**
   * The levels, a row a channel.
   *
   * @param head what the columns hold
   * @param rows one text a column
   */
  record Levels(List<String> head, List<List<String>> rows) implements DetailLine {
    /** Copies. */
    public Levels {
      head = List.copyOf(head);
      rows = rows.stream().map(List::copyOf).toList();
    }
  }
}
