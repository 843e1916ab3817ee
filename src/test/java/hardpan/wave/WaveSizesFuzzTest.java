package hardpan.wave;

import com.code_intelligence.jazzer.api.FuzzedDataProvider;
import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.List;

/**
 * Any combination of outer form, outer size, {@code ds64} and data size over any sound: what is
 * read lies inside the file. The structure is given, so that the search spends itself on the sizes.
 */
class WaveSizesFuzzTest {
  @FuzzTest(maxDuration = "10m")
  void sizes(FuzzedDataProvider in) {
    String form = in.pickValue(List.of("RIFF", "RF64", "BW64"));
    long outer = in.consumeInt();
    WaveBytes file = new WaveBytes();
    if (in.consumeBoolean()) {
      byte[] ds64 = in.consumeBytes(64);
      file.chunk("ds64", in.consumeBoolean() ? ds64.length : in.consumeInt(), ds64, 0);
    }
    file.chunk(
        "fmt ",
        WaveBytes.format(
            in.pickValue(List.of(1, 3)),
            in.consumeInt(0, 70),
            in.consumeInt(-1, 200_000),
            in.consumeInt(0, 300),
            in.consumeInt(0, 66)));
    int chunks = in.consumeInt(0, 4);
    for (int i = 0; i < chunks; i++) {
      String id = in.pickValue(List.of("data", "data", "JUNK", "LIST", "dat ", "zzzz"));
      byte[] payload = in.consumeBytes(in.consumeInt(0, 6000));
      long stated = in.consumeBoolean() ? payload.length : in.consumeInt();
      file.chunk(id, stated, payload, in.consumeInt(0, 1));
    }
    WaveDamageTest.readsOrFailsTyped(file.raw(in.consumeRemainingAsBytes()).file(form, outer));
  }
}
