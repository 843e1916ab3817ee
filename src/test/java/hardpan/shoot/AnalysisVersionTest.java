package hardpan.shoot;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.lang.reflect.ParameterizedType;
import java.lang.reflect.RecordComponent;
import java.lang.reflect.Type;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.jspecify.annotations.NullUnmarked;
import org.junit.jupiter.api.Test;

/**
 * docs/shoot-file.md names every field that is kept, so that a change of them is not overlooked.
 */
@NullUnmarked
class AnalysisVersionTest {
  @Test
  void theFieldsAreThoseOfTheDocument() throws Exception {
    Map<String, String> fields = new TreeMap<>();
    collect(AnalysisText.Records.class, fields);
    String document = Files.readString(Path.of("docs/shoot-file.md"));
    TreeSet<String> described = new TreeSet<>();
    document
        .lines()
        .filter(line -> line.startsWith("- `") && line.contains("`: `"))
        .forEach(described::add);
    TreeSet<String> expected = new TreeSet<>();
    fields.forEach((name, list) -> expected.add("- `" + name + "`: `" + list + "`"));
    assertEquals(
        String.join("\n", expected),
        String.join("\n", described),
        "raise ShootFile.ANALYSIS_VERSION if a meaning changed, then describe the fields");
  }

  private static void collect(Type type, Map<String, String> fields) {
    if (type instanceof ParameterizedType list) {
      Arrays.stream(list.getActualTypeArguments()).forEach(part -> collect(part, fields));
    } else if (type instanceof Class<?> kind && kind.isRecord()) {
      RecordComponent[] components = kind.getRecordComponents();
      fields.put(
          kind.getSimpleName(),
          Arrays.stream(components).map(RecordComponent::getName).collect(Collectors.joining(" ")));
      for (RecordComponent component : components) {
        collect(component.getGenericType(), fields);
      }
    }
  }
}
