package hardpan.shoot;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadConstraints;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonDeserializer;
import com.fasterxml.jackson.databind.JsonSerializer;
import com.fasterxml.jackson.databind.MapperFeature;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.annotation.JsonDeserialize;
import com.fasterxml.jackson.databind.annotation.JsonSerialize;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.module.SimpleModule;
import com.fasterxml.jackson.databind.ser.std.ToStringSerializer;
import hardpan.media.SourceFacts;
import hardpan.verdict.Finding;
import hardpan.verdict.Verdicts;
import java.io.IOException;
import java.time.DateTimeException;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.ZoneOffset;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;

/**
 * The records of an analysis as compact JSON, read back strictly: a field that is missing, unknown
 * or of another type means that the text is of no use, never that a value is guessed.
 */
final class AnalysisText {
  /** A whole day of short clipped spans on many channels stays far below this. */
  static final int MOST_CHARACTERS = 64 << 20;

  private static final ObjectMapper MAPPER = mapper();

  private AnalysisText() {}

  /**
   * Everything of an analysis but its maps and its waveform.
   *
   * @param mapFrames length of each channel's band map
   */
  record Records(
      SourceFacts facts,
      long frameCount,
      Verdicts verdicts,
      List<Loudness> loudness,
      List<Long> mapFrames) {
    Records {
      loudness = List.copyOf(loudness);
      mapFrames = List.copyOf(mapFrames);
    }

    /** Whether the parts speak of the same channels. */
    boolean isConsistent() {
      int channels = facts.channelCount();
      return frameCount > 0
          && facts.rateHz() > 0
          && verdicts.channels().size() == channels
          && loudness.size() == channels
          && mapFrames.size() == channels
          && mapFrames.stream().allMatch(frames -> frames >= 0);
    }
  }

  /** The text, or nothing if it would not read back as the same records. */
  static Optional<String> write(Records records) {
    try {
      String text = MAPPER.writeValueAsString(records);
      return read(text).filter(records::equals).map(same -> text);
    } catch (JsonProcessingException e) {
      return Optional.empty();
    }
  }

  /** The records, or nothing if the text is not exactly what {@link #write} makes. */
  static Optional<Records> read(String text) {
    if (text.length() > MOST_CHARACTERS) {
      return Optional.empty();
    }
    try {
      Records records = MAPPER.readValue(text, Records.class);
      return Optional.ofNullable(records).filter(Records::isConsistent);
    } catch (JsonProcessingException e) {
      return Optional.empty();
    }
  }

  /** Writes and reads records strictly. */
  static JsonMapper mapper() {
    SimpleModule module = new SimpleModule();
    addTime(module, LocalDate.class, LocalDate::parse);
    addTime(module, LocalTime.class, LocalTime::parse);
    addTime(module, ZoneOffset.class, ZoneOffset::of);
    module.setMixInAnnotation(Finding.class, FindingForm.class);
    JsonMapper mapper =
        JsonMapper.builder()
            .addModule(module)
            .disable(MapperFeature.ALLOW_COERCION_OF_SCALARS)
            .enable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
            .enable(DeserializationFeature.FAIL_ON_MISSING_CREATOR_PROPERTIES)
            .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
            .enable(DeserializationFeature.FAIL_ON_NUMBERS_FOR_ENUMS)
            .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
            .disable(DeserializationFeature.ACCEPT_FLOAT_AS_INT)
            .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
            .build();
    mapper
        .getFactory()
        .setStreamReadConstraints(
            StreamReadConstraints.builder().maxStringLength(MOST_CHARACTERS).build());
    return mapper;
  }

  /** Says for a foreign record how its evidence is written. */
  interface FindingForm {
    @JsonSerialize(using = EvidenceWriter.class)
    @JsonDeserialize(using = EvidenceReader.class)
    Map<String, Object> evidence();
  }

  /** Parts of a time as their ISO 8601 text. */
  private static <T> void addTime(SimpleModule module, Class<T> type, Function<String, T> parse) {
    module.addSerializer(type, ToStringSerializer.instance);
    module.addDeserializer(
        type,
        new JsonDeserializer<T>() {
          @Override
          public T deserialize(JsonParser in, DeserializationContext context) throws IOException {
            String text = in.getValueAsString("");
            try {
              return parse.apply(text);
            } catch (DateTimeException e) {
              throw context.weirdStringException(text, type, "not a time");
            }
          }
        });
  }

  /** Evidence values have their type in front, as JSON would not tell an int from a long. */
  private static final class EvidenceWriter extends JsonSerializer<Map<String, Object>> {
    @Override
    public void serialize(
        Map<String, Object> evidence, JsonGenerator out, SerializerProvider provider)
        throws IOException {
      out.writeStartObject();
      for (Map.Entry<String, Object> entry : evidence.entrySet()) {
        Object value = entry.getValue();
        String type = TYPES.get(value.getClass());
        if (type == null) {
          provider.reportMappingProblem("evidence of an unknown type: %s", value.getClass());
        }
        out.writeStringField(entry.getKey(), type + value);
      }
      out.writeEndObject();
    }
  }

  private static final Map<Class<?>, String> TYPES =
      Map.of(
          Double.class, "d",
          Integer.class, "i",
          Long.class, "l",
          Boolean.class, "b",
          String.class, "s");

  private static final class EvidenceReader extends JsonDeserializer<Map<String, Object>> {
    @Override
    public Map<String, Object> deserialize(JsonParser in, DeserializationContext context)
        throws IOException {
      Map<String, Object> evidence = new LinkedHashMap<>();
      for (String name = in.nextFieldName(); name != null; name = in.nextFieldName()) {
        String text = in.nextTextValue();
        if (text == null || text.isEmpty()) {
          throw context.weirdStringException(name, Object.class, "evidence without a type");
        }
        evidence.put(name, value(text, context));
      }
      return evidence;
    }

    private static Object value(String text, DeserializationContext context) throws IOException {
      String rest = text.substring(1);
      try {
        return switch (text.charAt(0)) {
          case 'd' -> Double.valueOf(rest);
          case 'i' -> Integer.valueOf(rest);
          case 'l' -> Long.valueOf(rest);
          case 'b' -> Boolean.valueOf(rest);
          case 's' -> rest;
          default -> throw context.weirdStringException(text, Object.class, "unknown type");
        };
      } catch (NumberFormatException e) {
        throw context.weirdStringException(text, Object.class, "not a number");
      }
    }
  }
}
