package hardpan.report;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertFalse;
import static org.junit.jupiter.api.Assertions.assertTrue;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.ObjectNode;
import com.networknt.schema.JsonSchema;
import com.networknt.schema.JsonSchemaFactory;
import com.networknt.schema.SchemaLocation;
import com.networknt.schema.SpecVersion;
import com.networknt.schema.ValidationMessage;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Set;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** Holds written reports against docs/report-schema.json with a validator we did not write. */
class ReportSchemaTest {
  private static final ObjectMapper MAPPER = new ObjectMapper();

  @Test
  void writtenReportsConform() throws IOException {
    assertEquals(Set.of(), complaints(json(SampleReports.honeyEvening())));
    assertEquals(Set.of(), complaints(json(SampleReports.empty())));
  }

  @Test
  void theSchemaItselfIsSound() throws IOException {
    JsonSchema meta =
        JsonSchemaFactory.getInstance(SpecVersion.VersionFlag.V202012)
            .getSchema(SchemaLocation.of("https://json-schema.org/draft/2020-12/schema"));
    assertEquals(Set.of(), meta.validate(MAPPER.readTree(schemaText())));
    assertFalse(meta.validate(MAPPER.readTree("{\"type\": 7}")).isEmpty());
  }

  /** Takes every key out, one at a time, everywhere but in the evidence: each must be missed. */
  @Test
  void everyMissingKeyIsNoticed() throws IOException {
    JsonNode whole = json(SampleReports.honeyEvening());
    List<String> pointers = new ArrayList<>();
    collectKeys(whole, "", pointers);
    assertTrue(pointers.size() > 400, "keys tried: " + pointers.size());
    for (String pointer : pointers) {
      JsonNode broken = whole.deepCopy();
      int cut = pointer.lastIndexOf('/');
      ((ObjectNode) broken.at(pointer.substring(0, cut))).remove(pointer.substring(cut + 1));
      assertFalse(complaints(broken).isEmpty(), "not missed: " + pointer);
    }
  }

  /** Adds an unknown key to every object but the evidence. */
  @Test
  void everyForeignKeyIsNoticed() throws IOException {
    JsonNode whole = json(SampleReports.honeyEvening());
    List<String> pointers = new ArrayList<>();
    collectKeys(whole, "", pointers);
    for (String pointer : pointers) {
      JsonNode broken = whole.deepCopy();
      ((ObjectNode) broken.at(pointer.substring(0, pointer.lastIndexOf('/')))).put("extra", 1);
      assertFalse(complaints(broken).isEmpty(), "not noticed beside " + pointer);
    }
    ((ObjectNode) whole.at("/sources/1/channels/1/findings/0/evidence")).put("extra", 1);
    assertEquals(Set.of(), complaints(whole));
  }

  @ParameterizedTest
  @CsvSource(
      delimiter = ';',
      value = {
        "/formatVersion; 2",
        "/format; \"other\"",
        "/madeAt; \"yesterday\"",
        "/sources; {}",
        "/sources/0/kind; \"film\"",
        "/sources/0/sampleRateHz; 0",
        "/sources/0/sampleRateHz; 48000.5",
        "/sources/0/durationSeconds; -1",
        "/sources/0/frameCount; \"many\"",
        "/sources/0/reader; \"third\"",
        "/sources/0/startedAt; \"2026-09-19\"",
        "/sources/0/error; {\"code\": \"sad\"}",
        "/sources/1/pair/verdict; \"twins\"",
        "/sources/1/pair/verdict; \"SAME_SIGNAL\"",
        "/sources/1/pair/confidence; 1.01",
        "/sources/1/pair/confidence; \"NaN\"",
        "/sources/1/pair/confidence; null",
        "/sources/1/pair/correlation; -1.5",
        "/sources/1/channels/0/peakDbfs; \"NaN\"",
        "/sources/1/channels/0/peakDbfs; \"-Infinity\"",
        "/sources/1/channels/0/index; -1",
        "/sources/1/channels/0/overload/verdict; \"hot\"",
        "/sources/1/channels/0/overload/padDb; -5",
        "/sources/1/channels/0/clipping; null",
        "/sources/1/channels/0/clipping/clipped; \"yes\"",
        "/sources/1/channels/1/findings/0/severity; \"bad\"",
        "/sources/1/channels/1/findings/0/code; \"Mains Hum\"",
        "/sources/1/channels/1/findings/0/evidence; []",
        "/sources/1/channels/1/findings/0/spans; null",
        "/sources/1/placement/state; \"lost\"",
        "/sources/1/placement/offsetSeconds; null",
        "/sources/1/placement/inverted; null",
        "/sources/1/placement/via; null",
        "/lanes/0/channels; []",
        "/lanes/0/bitsPerSample; 20",
        "/lanes/0/sampleFormat; \"double\"",
        "/lanes/0/sha256; \"AB\"",
        "/lanes/0/timeReferenceSamples; -1",
        "/lanes/0/startFrameOnReference; 1.5",
      })
  void aBrokenValueIsNoticed(String pointer, String value) throws IOException {
    JsonNode broken = json(SampleReports.honeyEvening());
    int cut = pointer.lastIndexOf('/');
    JsonNode parent = broken.at(pointer.substring(0, cut));
    assertFalse(parent.at(pointer.substring(cut)).isMissingNode(), "no such place " + pointer);
    ((ObjectNode) parent).set(pointer.substring(cut + 1), MAPPER.readTree(value));
    assertFalse(complaints(broken).isEmpty(), pointer + " = " + value);
  }

  private static JsonNode json(Report report) throws IOException {
    return MAPPER.readTree(ReportJson.toText(report));
  }

  private static String schemaText() throws IOException {
    return Files.readString(Path.of("docs/report-schema.json"));
  }

  private static Set<ValidationMessage> complaints(JsonNode report) throws IOException {
    return JsonSchemaFactory.getInstance(SpecVersion.VersionFlag.V202012)
        .getSchema(schemaText())
        .validate(report);
  }

  private static void collectKeys(JsonNode node, String at, List<String> pointers) {
    if (node instanceof ObjectNode object) {
      object
          .properties()
          .forEach(
              field -> {
                String pointer = at + "/" + field.getKey();
                pointers.add(pointer);
                if (!field.getKey().equals("evidence")) {
                  collectKeys(field.getValue(), pointer, pointers);
                }
              });
    } else if (node instanceof ArrayNode array) {
      for (int i = 0; i < array.size(); i++) {
        collectKeys(array.get(i), at + "/" + i, pointers);
      }
    }
  }
}
