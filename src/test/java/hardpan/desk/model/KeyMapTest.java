package hardpan.desk.model;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class KeyMapTest {
  @Test
  void theModifierHasTheNameItHasOnTheKeyboard() {
    assertThat(KeyMap.groups("Command").get(0).keys().get(0).keys()).isEqualTo("Command+O");
    assertThat(KeyMap.groups("Command"))
        .flatExtracting(KeyMap.Group::keys)
        .noneMatch(key -> (key.keys() + key.does()).matches(".*(Ctrl|Shortcut).*"));
  }

  @Test
  void whatIsHeardHasItsKeys() {
    assertThat(KeyMap.groups()).extracting(KeyMap.Group::title).contains(Texts.of("keys.listen"));
  }

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
