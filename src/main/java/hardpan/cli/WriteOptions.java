package hardpan.cli;

import hardpan.lanes.Arrangement;
import hardpan.lanes.DriftCorrection;
import hardpan.lanes.LaneChoices;
import hardpan.lanes.Layout;
import hardpan.lanes.NameTemplate;
import hardpan.lanes.SampleChoice;
import hardpan.media.ReaderChoice;
import hardpan.shoot.HandOver;
import java.nio.file.Path;
import picocli.CommandLine.ITypeConverter;
import picocli.CommandLine.Option;
import picocli.CommandLine.TypeConversionException;

/** What all commands that write a hand-over take. */
final class WriteOptions {
  @Option(
      names = "--out",
      required = true,
      paramLabel = "DIR",
      description = "The folder to make. It must not exist yet.")
  Path target = Path.of("");

  @Option(names = "--replace", description = "Replace an earlier hand-over of that name.")
  boolean replace;

  @Option(
      names = "--drift",
      paramLabel = "WHEN",
      defaultValue = "auto",
      converter = CorrectionConverter.class,
      description =
          "Correct clocks by resampling: auto (when a clip gets more than 10 ms off), on, off."
              + " Default: auto.")
  DriftCorrection drift = DriftCorrection.AUTO;

  @Option(
      names = "--poly",
      description = "Put lanes that run side by side into one file of several channels.")
  boolean poly;

  @Option(
      names = "--name",
      paramLabel = "TEMPLATE",
      defaultValue = "{device}_{run}_{lane}",
      converter = TemplateConverter.class,
      description =
          "Name the files after {shoot} {device} {run} {lane} {channel} {role} {date}."
              + " Default: {device}_{run}_{lane}.")
  NameTemplate names = NameTemplate.USUAL;

  @Option(
      names = "--samples",
      paramLabel = "KIND",
      defaultValue = "kept",
      converter = SamplesConverter.class,
      description =
          "kept: as many bits as each source's sound needs; pcm16, pcm24, float32. Default: kept.")
  SampleChoice samples = SampleChoice.KEPT;

  HandOver.Options forHandOver(
      ReaderChoice choice, Layout layout, LaneChoices lanes, boolean measured) {
    return new HandOver.Options(
        target,
        replace,
        drift,
        new Arrangement(layout, poly, names, samples),
        lanes,
        measured,
        choice,
        Job.now());
  }

  /** Takes the word in lower case. */
  static final class SamplesConverter extends WordConverter<SampleChoice> {
    SamplesConverter() {
      super(SampleChoice.values());
    }
  }

  /** Takes a template, or says what is wrong with it. */
  static final class TemplateConverter implements ITypeConverter<NameTemplate> {
    @Override
    public NameTemplate convert(String text) {
      try {
        return NameTemplate.parse(text);
      } catch (IllegalArgumentException e) {
        throw new TypeConversionException(String.valueOf(e.getMessage()));
      }
    }
  }

  /** Takes the word in lower case. */
  static final class LayoutConverter extends WordConverter<Layout> {
    LayoutConverter() {
      super(Layout.values());
    }
  }

  /** Takes the word in lower case. */
  static final class CorrectionConverter extends WordConverter<DriftCorrection> {
    CorrectionConverter() {
      super(DriftCorrection.values());
    }
  }
}
