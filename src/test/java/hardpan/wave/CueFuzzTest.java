package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Any {@code cue} chunk with any {@code LIST adtl} chunk gives markers, and what was read can be
 * written and read again. The first input byte says, times four, where the list begins.
 */
class CueFuzzTest {
  @FuzzTest(maxDuration = "10m")
  void cueAndTexts(byte[] input) {
    int split = input.length == 0 ? 0 : Math.min(input.length, 1 + (input[0] & 0xFF) * 4);
    int from = Math.min(1, input.length);
    List<String> oddities = new ArrayList<>();
    CueChunks chunks = new CueChunks();
    chunks.addCue(Arrays.copyOfRange(input, from, split), oddities);
    chunks.addTexts(Arrays.copyOfRange(input, split, input.length), oddities);
    List<CuePoint> points = chunks.points();
    List<String> none = new ArrayList<>();
    CueChunks again = new CueChunks();
    again.addCue(CueChunks.encodeCue(points), none);
    again.addTexts(CueChunks.encodeTexts(points), none);
    assertEquals(List.of(), none);
    assertEquals(
        points.stream().map(CuePoint::frame).toList(),
        again.points().stream().map(CuePoint::frame).toList());
    assertEquals(
        points.stream().map(CuePoint::lengthFrames).toList(),
        again.points().stream().map(CuePoint::lengthFrames).toList());
  }
}
