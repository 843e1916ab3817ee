package hardpan.lanes;

/**
 * What a person chose about the files of a hand-over.
 *
 * @param layout which sound goes into which file
 * @param poly whether the lanes that run side by side go into one file of several channels
 * @param names how files are named
 * @param samples which samples they hold
 */
public record Arrangement(Layout layout, boolean poly, NameTemplate names, SampleChoice samples) {
  /** Mono files by clip, under the usual names. */
  public static final Arrangement USUAL = new Arrangement(Layout.CLIP, false, NameTemplate.USUAL);

  /** With the samples of the sources. */
  public Arrangement(Layout layout, boolean poly, NameTemplate names) {
    this(layout, poly, names, SampleChoice.KEPT);
  }

  /** The same in another layout. */
  public Arrangement withLayout(Layout other) {
    return new Arrangement(other, poly, names, samples);
  }

  /** The same with files of several channels, or without. */
  public Arrangement withPoly(boolean wanted) {
    return new Arrangement(layout, wanted, names, samples);
  }

  /** The same under other names. */
  public Arrangement withNames(NameTemplate other) {
    return new Arrangement(layout, poly, other, samples);
  }

  /** The same with other samples. */
  public Arrangement withSamples(SampleChoice other) {
    return new Arrangement(layout, poly, names, other);
  }
}
