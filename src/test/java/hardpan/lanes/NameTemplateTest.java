package hardpan.lanes;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;
import static org.junit.jupiter.api.Assertions.assertTrue;

import hardpan.lanes.NameTemplate.Field;
import java.util.EnumMap;
import java.util.Map;
import java.util.Random;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** Names by template. */
@NullUnmarked
class NameTemplateTest {
  private static final Map<Field, String> VALUES =
      Map.of(
          Field.SHOOT, "Erntefest M\u00fchle",
          Field.DEVICE, "CAM A",
          Field.RUN, "3",
          Field.LANE, "left",
          Field.CHANNEL, "1",
          Field.ROLE, "safety copy",
          Field.DATE, "2026-05-16");

  @ParameterizedTest
  @CsvSource({
    "{device}_{run}_{lane}, CAM-A_3_left",
    "{date}_{shoot}_{device}-{lane}, 2026-05-16_Erntefest-Muhle_CAM-A-left",
    "{channel}.{role}, 1.safety-copy",
    "TX{run}{run}, TX33",
    "...{lane}..., left",
    "-{lane}_, left",
    "aux.{run}, x-aux.3",
  })
  void fieldsAreFilledIn(String template, String name) {
    assertEquals(name, NameTemplate.parse(template).name(VALUES));
  }

  /** Microsoft, "Naming Files, Paths, and Namespaces": neither alone nor before an ending. */
  @ParameterizedTest
  @ValueSource(strings = {"CON", "nul", "Com1", "LPT9", "PRN.x", "aux.wav"})
  void reservedNamesAreMovedOutOfTheWay(String device) {
    String name = NameTemplate.parse("{device}").name(Map.of(Field.DEVICE, device));
    assertTrue(name.startsWith("x-"), name);
  }

  @ParameterizedTest
  @ValueSource(
      strings = {"{clip}", "{}", "{device", "device}", "a/{lane}", "{lane} x", "\u00e4{run}"})
  void whatCannotBeANameIsRefused(String template) {
    IllegalArgumentException e =
        assertThrows(IllegalArgumentException.class, () -> NameTemplate.parse(template));
    assertTrue(e.getMessage().contains("'"), e.getMessage());
  }

  @ParameterizedTest
  @ValueSource(strings = {"", "lane"})
  void aTemplateWithoutFieldsIsRefused(String template) {
    IllegalArgumentException e =
        assertThrows(IllegalArgumentException.class, () -> NameTemplate.parse(template));
    assertTrue(e.getMessage().contains("names every file alike"), e.getMessage());
  }

  @Test
  void whateverIsInTheFieldsTheNameIsSafe() {
    Random random = new Random(4711);
    NameTemplate template =
        NameTemplate.parse("{shoot}_{device}_{run}_{lane}_{channel}_{role}_{date}");
    for (int i = 0; i < 500; i++) {
      Map<Field, String> values = new EnumMap<>(Field.class);
      for (Field field : Field.values()) {
        StringBuilder text = new StringBuilder();
        int length = random.nextInt(i % 7 == 0 ? 300 : 6);
        for (int k = 0; k < length; k++) {
          text.appendCodePoint(
              random.nextInt(3) == 0 ? random.nextInt(0xD7FF) : random.nextInt(128));
        }
        values.put(field, text.toString());
      }
      String name = template.name(values);
      assertTrue(name.matches("[A-Za-z0-9]([A-Za-z0-9._-]*[A-Za-z0-9])?"), "seed 4711: " + name);
      assertTrue(name.length() <= 180, "seed 4711: " + name.length());
      assertEquals(name, template.name(values));
    }
  }

  @Test
  void itsTextIsKept() {
    assertEquals("{device}_{run}_{lane}", NameTemplate.USUAL.toString());
  }
}
