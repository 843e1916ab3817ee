package hardpan.shoot;

import hardpan.media.SourceFacts.ReadBy;
import java.io.IOException;
import java.nio.file.Path;
import org.jspecify.annotations.NullUnmarked;

/**
 * A process of its own that opens a saved shoot and keeps the same sources over and over, until it
 * is ended from outside.
 */
@NullUnmarked
public final class ShootFileHolder {
  private ShootFileHolder() {}

  /** Arguments: the saved shoot, then Wave files. Says a line when all are kept once. */
  public static void main(String[] args) throws Exception {
    try (Scratch scratch = Scratch.create();
        ShootFile kept = ShootFile.openOrCreate(Path.of(args[0]))) {
      Analysis[] analyses = new Analysis[args.length];
      for (int i = 1; i < args.length; i++) {
        analyses[i] = KeptSamples.analysis(Path.of(args[i]), scratch);
        KeptSamples.store(kept, Path.of(args[i]), analyses[i]);
      }
      System.out.println("kept");
      while (alive()) {
        for (int i = 1; i < args.length; i++) {
          kept.store(SourceMark.of(Path.of(args[i])), ReadBy.NATIVE, analyses[i]);
        }
      }
    }
  }

  /** Ends by itself when whoever started it is gone. */
  private static boolean alive() throws IOException {
    return ProcessHandle.current().parent().isPresent() && System.in.available() == 0;
  }
}
