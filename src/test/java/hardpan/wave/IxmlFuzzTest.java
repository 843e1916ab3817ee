package hardpan.wave;

import static org.junit.jupiter.api.Assertions.assertEquals;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.util.List;

/** Any bytes of an iXML chunk give a document and sentences; what was read can be written. */
class IxmlFuzzTest {
  @FuzzTest(maxDuration = "10m")
  void payload(byte[] input) {
    IxmlDocument.Parsed read = IxmlDocument.parse(ChunkText.xml(input));
    IxmlDocument.Parsed again = IxmlDocument.parse(read.document().toXml());
    assertEquals(List.of(), again.oddities());
    assertEquals(read.document().tracks().size(), again.document().tracks().size());
  }
}
