package hardpan.desk.model;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class KeyMapTest {
  @Test
  void everyLineNamesItsKeysAndWhatTheyDo() {
    assertThat(KeyMap.groups()).hasSizeGreaterThanOrEqualTo(4);
    for (KeyMap.Group group : KeyMap.groups()) {
      assertThat(group.title()).isNotBlank();
      assertThat(group.keys()).isNotEmpty();
      for (KeyMap.Key key : group.keys()) {
        assertThat(key.keys()).as(group.title()).isNotBlank();
        assertThat(key.does()).as(key.keys()).isNotBlank();
      }
    }
  }
}
