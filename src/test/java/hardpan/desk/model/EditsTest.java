package hardpan.desk.model;

import static org.assertj.core.api.Assertions.assertThat;

import hardpan.shoot.Wishes;
import hardpan.shoot.Wishes.Pin;
import org.junit.jupiter.api.Test;

class EditsTest {
  private final Edits edits = new Edits();

  @Test
  void decisionsGoBackAndForth() {
    Wishes one = Wishes.NONE.withPin(new Pin("A/1.wav", 3));
    Wishes two = one.withPin(new Pin("A/1.wav", 4));
    edits.change(one, "first");
    edits.change(two, "second");
    assertThat(two.pins()).containsExactly(new Pin("A/1.wav", 4));
    edits.undo();
    assertThat(edits.wishesProperty().get()).isEqualTo(one);
    assertThat(edits.undoWordsProperty().get()).isEqualTo("first");
    assertThat(edits.redoWordsProperty().get()).isEqualTo("second");
    edits.redo();
    assertThat(edits.wishesProperty().get()).isEqualTo(two);
    edits.undo();
    edits.undo();
    edits.undo();
    assertThat(edits.wishesProperty().get()).isEqualTo(Wishes.NONE);
    assertThat(edits.undoWordsProperty().get()).isNull();
  }

  @Test
  void smallMovesOfOneSourceAreTakenBackTogether() {
    Wishes kept = Wishes.NONE.withExcluded("b");
    edits.start(kept);
    for (int i = 1; i <= 5; i++) {
      edits.move(kept.withPin(new Pin("a", i)), "to " + i, "a");
    }
    assertThat(edits.undoWordsProperty().get()).isEqualTo("to 5");
    edits.move(edits.wishesProperty().get().withPin(new Pin("c", 1)), "c", "c");
    edits.undo();
    assertThat(edits.wishesProperty().get()).isEqualTo(kept.withPin(new Pin("a", 5)));
    edits.undo();
    assertThat(edits.wishesProperty().get()).isEqualTo(kept);
    edits.redo();
    edits.change(kept.withPin(new Pin("a", 6)), "put");
    edits.move(kept.withPin(new Pin("a", 7)), "to 7", "a");
    edits.undo();
    assertThat(edits.wishesProperty().get()).isEqualTo(kept.withPin(new Pin("a", 6)));
  }

  @Test
  void onlyTheRefusedMoveOfSeveralIsTakenBack() {
    Wishes kept = Wishes.NONE.withExcluded("b");
    edits.start(kept);
    for (int i = 1; i <= 3; i++) {
      edits.move(kept.withPin(new Pin("a", i)), "to " + i, "a");
    }
    edits.refuse(kept.withPin(new Pin("a", 2)));
    assertThat(edits.wishesProperty().get()).isEqualTo(kept.withPin(new Pin("a", 3)));
    edits.refuse(kept.withPin(new Pin("a", 3)));
    assertThat(edits.wishesProperty().get()).isEqualTo(kept.withPin(new Pin("a", 2)));
    assertThat(edits.undoWordsProperty().get()).isEqualTo("to 2");
    edits.move(kept.withPin(new Pin("a", 4)), "to 4", "a");
    edits.undo();
    assertThat(edits.wishesProperty().get()).isEqualTo(kept);
    edits.redo();
    // Nobody remembers the moves of an entry that went back and forth.
    edits.refuse(kept.withPin(new Pin("a", 4)));
    assertThat(edits.wishesProperty().get()).isEqualTo(kept);
    assertThat(edits.undoWordsProperty().get()).isNull();
  }

  @Test
  void somethingNewForgetsWhatWasUndone() {
    edits.change(Wishes.NONE.withExcluded("a"), "a");
    edits.undo();
    edits.change(Wishes.NONE.withExcluded("b"), "b");
    edits.redo();
    assertThat(edits.wishesProperty().get().excluded()).containsExactly("b");
    assertThat(edits.redoWordsProperty().get()).isNull();
  }

  @Test
  void whatHoldsAlreadyIsNoDecision() {
    Wishes kept = Wishes.NONE.withPin(new Pin("x", 1));
    edits.start(kept);
    edits.change(kept.withPin(new Pin("x", 1)), "again");
    edits.undo();
    assertThat(edits.wishesProperty().get()).isEqualTo(kept);
    assertThat(kept.withoutPin("x").pins()).isEmpty();
    assertThat(Wishes.NONE.withExcluded("a").withoutExcluded("a")).isEqualTo(Wishes.NONE);
  }
}
