package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertArrayEquals;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.Arrays;

/**
 * Any bytes long enough for a {@code bext} chunk can be read, and what was read can be written;
 * written twice it is the same (EBU Tech 3285 v2, section 2.3, for the layout).
 */
class BextFuzzTest {
  @FuzzTest(maxDuration = "10m")
  void payload(byte[] input) {
    byte[] payload =
        input.length >= BroadcastExtension.FIXED_SIZE
            ? input
            : Arrays.copyOf(input, BroadcastExtension.FIXED_SIZE);
    BroadcastExtension read = BroadcastExtension.decode(payload);
    read.date();
    read.time();
    // The first writing makes the texts ASCII and cuts them; after that nothing may change.
    BroadcastExtension plain = BroadcastExtension.decode(read.encode());
    byte[] once = BroadcastExtension.decode(plain.encode()).encode();
    byte[] twice = BroadcastExtension.decode(once).encode();
    assertArrayEquals(once, twice);
  }
}
