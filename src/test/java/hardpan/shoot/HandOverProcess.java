package hardpan.shoot;

import hardpan.base.Monitor;
import java.nio.file.Path;
import org.jspecify.annotations.NullUnmarked;

/** Hands a folder over in a process of its own, to be killed. */
@NullUnmarked
final class HandOverProcess {
  private HandOverProcess() {}

  /** Takes the shoot's folder and the target; says "read" before it begins to write. */
  public static void main(String[] args) throws Exception {
    Shoot shoot = ShootSamples.read(Path.of(args[0]));
    System.out.println("read");
    System.out.flush();
    HandOver.write(shoot, ShootSamples.options(Path.of(args[1]), false), Monitor.SILENT);
    System.out.println("done");
    System.out.flush();
  }
}
