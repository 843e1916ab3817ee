package hardpan.report;

import com.fasterxml.jackson.core.JsonGenerator;
import com.fasterxml.jackson.core.JsonParser;
import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.core.StreamReadFeature;
import com.fasterxml.jackson.core.util.DefaultIndenter;
import com.fasterxml.jackson.core.util.DefaultPrettyPrinter;
import com.fasterxml.jackson.core.util.Separators;
import com.fasterxml.jackson.databind.DeserializationContext;
import com.fasterxml.jackson.databind.DeserializationFeature;
import com.fasterxml.jackson.databind.JsonDeserializer;
import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.JsonSerializer;
import com.fasterxml.jackson.databind.ObjectWriter;
import com.fasterxml.jackson.databind.SerializerProvider;
import com.fasterxml.jackson.databind.json.JsonMapper;
import com.fasterxml.jackson.databind.module.SimpleModule;
import hardpan.base.MalformedMediaException;
import hardpan.base.MediaAccessException;
import hardpan.base.MediaException;
import hardpan.base.UnsupportedMediaException;
import java.io.CharConversionException;
import java.io.IOException;
import java.io.InputStream;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.UncheckedIOException;
import java.io.Writer;
import java.math.BigDecimal;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.NoSuchFileException;
import java.nio.file.Path;
import java.time.OffsetDateTime;
import java.time.format.DateTimeFormatter;
import java.time.format.DateTimeParseException;
import org.jspecify.annotations.Nullable;

/**
 * Writes and reads {@code report.json}: UTF-8, two blanks of indent, LF, keys in the contract's
 * order, every key present, numbers without exponent (RFC 8259). The same report always gives the
 * same bytes, and reading them back gives an equal report.
 */
public final class ReportJson {
  /** No report is longer: a shoot of a thousand clips stays far below it. */
  static final long LARGEST_BYTES = 64L * 1024 * 1024;

  private static final JsonMapper MAPPER =
      JsonMapper.builder()
          .addModule(
              new SimpleModule()
                  .addSerializer(Double.class, new PlainDecimal())
                  .addSerializer(double.class, new PlainDecimal())
                  .addSerializer(OffsetDateTime.class, new IsoTime())
                  .addDeserializer(OffsetDateTime.class, new IsoTimeBack()))
          .disable(DeserializationFeature.FAIL_ON_UNKNOWN_PROPERTIES)
          .disable(DeserializationFeature.ACCEPT_FLOAT_AS_INT)
          .enable(DeserializationFeature.FAIL_ON_NULL_FOR_PRIMITIVES)
          .enable(DeserializationFeature.USE_LONG_FOR_INTS)
          .enable(DeserializationFeature.FAIL_ON_TRAILING_TOKENS)
          .enable(StreamReadFeature.STRICT_DUPLICATE_DETECTION)
          .disable(JsonGenerator.Feature.AUTO_CLOSE_TARGET)
          .build();

  private static final ObjectWriter WRITER = MAPPER.writer(printer());

  private ReportJson() {}

  /** The report as JSON text, ending with a line feed. */
  public static String toText(Report report) {
    return plainText(report);
  }

  /** Any tree of maps, lists, texts and numbers in the report's own layout. */
  static String plainText(Object tree) {
    try {
      return WRITER.writeValueAsString(tree) + "\n";
    } catch (JsonProcessingException impossible) {
      throw new UncheckedIOException(impossible);
    }
  }

  /**
   * Writes the report as UTF-8; flushes and leaves the stream open.
   *
   * @throws IOException if the stream does
   */
  public static void write(Report report, OutputStream out) throws IOException {
    write(report, new OutputStreamWriter(out, StandardCharsets.UTF_8));
  }

  /**
   * Writes the report; flushes and leaves the writer open.
   *
   * @throws IOException if the writer does
   */
  public static void write(Report report, Writer out) throws IOException {
    WRITER.writeValue(out, report);
    out.write('\n');
    out.flush();
  }

  /**
   * Reads a report file. Keys it does not know are skipped.
   *
   * @throws MediaAccessException if the file is missing or cannot be read
   * @throws UnsupportedMediaException if it was made by a newer version of the format
   * @throws MalformedMediaException if it is not a report
   */
  public static Report read(Path file) throws MediaException {
    try (InputStream in = Files.newInputStream(file)) {
      if (Files.size(file) > LARGEST_BYTES) {
        throw new MalformedMediaException(file + " is too large to be a Hardpan report.");
      }
      return parse(MAPPER.readTree(in), file.toString());
    } catch (MediaException typed) {
      throw typed;
    } catch (JsonProcessingException | CharConversionException garbage) {
      throw notAReport(file.toString(), garbage);
    } catch (NoSuchFileException missing) {
      throw new MediaAccessException("There is no report at " + file + ".", missing);
    } catch (IOException failure) {
      throw new MediaAccessException("The report " + file + " cannot be read.", failure);
    }
  }

  /**
   * Reads a report from its text.
   *
   * @throws UnsupportedMediaException if it was made by a newer version of the format
   * @throws MalformedMediaException if it is not a report
   */
  public static Report read(String text) throws MediaException {
    try {
      return parse(MAPPER.readTree(text), "The text");
    } catch (JsonProcessingException garbage) {
      throw notAReport("The text", garbage);
    }
  }

  private static Report parse(JsonNode tree, String what) throws MediaException {
    if (!Report.FORMAT.equals(tree.path("format").asText())) {
      throw notAReport(what, null);
    }
    if (tree.path("formatVersion").asInt() > Report.FORMAT_VERSION) {
      throw new UnsupportedMediaException(
          what + " was written by a newer Hardpan; open it with that version.");
    }
    try {
      return MAPPER.treeToValue(tree, Report.class);
    } catch (JsonProcessingException garbage) {
      throw notAReport(what, garbage);
    }
  }

  private static MalformedMediaException notAReport(String what, @Nullable Throwable cause) {
    return new MalformedMediaException(
        what + " is not a Hardpan report, or it is damaged; make it again from the shoot.", cause);
  }

  private static DefaultPrettyPrinter printer() {
    DefaultPrettyPrinter printer =
        new DefaultPrettyPrinter(
            Separators.createDefaultInstance()
                .withObjectFieldValueSpacing(Separators.Spacing.AFTER)
                .withArrayEmptySeparator("")
                .withObjectEmptySeparator(""));
    printer.indentObjectsWith(new DefaultIndenter("  ", "\n"));
    return printer;
  }

  /** A double without exponent, with at least one decimal place. */
  private static final class PlainDecimal extends JsonSerializer<Double> {
    @Override
    public void serialize(Double value, JsonGenerator out, SerializerProvider context)
        throws IOException {
      BigDecimal decimal = BigDecimal.valueOf(value).stripTrailingZeros();
      if (decimal.scale() < 1) {
        decimal = decimal.setScale(1);
      }
      out.writeNumber(decimal.toPlainString());
    }
  }

  private static final class IsoTime extends JsonSerializer<OffsetDateTime> {
    @Override
    public void serialize(OffsetDateTime value, JsonGenerator out, SerializerProvider context)
        throws IOException {
      out.writeString(DateTimeFormatter.ISO_OFFSET_DATE_TIME.format(value));
    }
  }

  private static final class IsoTimeBack extends JsonDeserializer<OffsetDateTime> {
    @Override
    public OffsetDateTime deserialize(JsonParser in, DeserializationContext context)
        throws IOException {
      String text = in.getText();
      try {
        return OffsetDateTime.parse(text);
      } catch (DateTimeParseException bad) {
        return (OffsetDateTime)
            context.handleWeirdStringValue(OffsetDateTime.class, text, "not an ISO 8601 time");
      }
    }
  }
}
