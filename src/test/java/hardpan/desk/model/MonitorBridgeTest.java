package hardpan.desk.model;

import static org.junit.jupiter.api.Assertions.assertEquals;
import static org.junit.jupiter.api.Assertions.assertThrows;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.Queue;
import java.util.concurrent.CancellationException;
import org.junit.jupiter.api.Test;

class MonitorBridgeTest {
  private final Queue<Runnable> ui = new ArrayDeque<>();
  private final List<String> shown = new ArrayList<>();
  private final MonitorBridge bridge =
      new MonitorBridge(
          ui::add,
          0.8,
          1,
          (from, stage, fraction) -> shown.add(stage + " " + Math.round(fraction * 100)));

  @Test
  void howeverOftenTheWorkSpeaksOneMessageWaitsAndItIsTheLatest() {
    for (int i = 0; i <= 1000; i++) {
      bridge.progress("writing", 0.8 + 0.1 * i / 1000);
    }
    assertEquals(1, ui.size());
    ui.remove().run();
    assertEquals(List.of("writing 50"), shown);
    bridge.progress("done", 1);
    ui.remove().run();
    assertEquals(List.of("writing 50", "done 100"), shown);
  }

  @Test
  void whatLiesOutsideThisPieceOfWorkIsHeldAtItsEnds() {
    bridge.progress("early", 0.1);
    ui.remove().run();
    assertEquals(List.of("early 0"), shown);
  }

  @Test
  void cancellingReachesTheWork() {
    bridge.checkCancelled();
    bridge.cancel();
    assertThrows(CancellationException.class, bridge::checkCancelled);
  }
}
