package hardpan.cli;

import hardpan.shoot.DeviceRules;
import hardpan.shoot.PlaceBy;
import hardpan.shoot.Wishes;
import java.util.List;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Option;
import picocli.CommandLine.TypeConversionException;

/** What a person can decide about the line-up. */
final class LineUpOptions {
  @Option(
      names = "--pin",
      paramLabel = "SOURCE=OFFSET",
      converter = PinConverter.class,
      description =
          "Put a source there on the reference, whatever its sound says: seconds, m:ss or h:mm:ss."
              + " May be given several times.")
  private List<Wishes.Pin> pins = List.of();

  @Option(
      names = "--exclude",
      paramLabel = "PATTERN",
      description =
          "Leave sources out of the line-up: a pattern as for --device. May be given several"
              + " times.")
  private List<String> excluded = List.of();

  @Option(names = "--forget", description = "Forget all decisions that the --shoot file keeps.")
  boolean forget;

  @Option(
      names = "--place",
      paramLabel = "HOW",
      converter = PlaceByConverter.class,
      description =
          "sound: what is heard coincides; picture: what is seen does, where it was measured how"
              + " long the sound needed to reach a camera. Without it as the --shoot file keeps it,"
              + " else sound.")
  private @Nullable PlaceBy placeBy;

  /** With what is said about devices. */
  Wishes wishes(DeviceRules devices) {
    return new Wishes(pins, excluded, devices).withPlaceBy(placeBy);
  }

  /** Takes the words in small letters. */
  static final class PlaceByConverter extends WordConverter<PlaceBy> {
    PlaceByConverter() {
      super(PlaceBy.values());
    }
  }

  /** Takes SOURCE=OFFSET. */
  static final class PinConverter implements ITypeConverter<Wishes.Pin> {
    @Override
    public Wishes.Pin convert(String text) {
      try {
        return Wishes.Pin.parse(text);
      } catch (IllegalArgumentException e) {
        throw new TypeConversionException(
            "'" + text + "' is not of the form SOURCE=OFFSET, such as CAM-B/b2.mov=1:02:03.5");
      }
    }
  }
}
