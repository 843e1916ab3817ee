package hardpan.verdict;

import hardpan.signal.Decibels;
import hardpan.signal.Statistics;
import hardpan.verdict.PairVerdict.Relation;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * Decides how left and right relate. Order of the questions and limits come from our own
 * measurements on PCM and on AAC down to 96 kbit/s; a twin that went through a lossy codec still
 * correlates above 0.99, a real stereo pair stays below 0.98.
 *
 * <p>A pair in a reverberant room correlates little (0.1 at 1.5 s of reverberation and equal direct
 * and reverberant energy), yet its two levels rise and fall together; separate microphones' levels
 * do not.
 */
final class PairJudge {
  private static final double TWIN_CORRELATION = 0.985;

  /** At this one the quiet blocks' noise may hide the likeness of more than half of them. */
  private static final double SURE_TWIN_CORRELATION = 0.993;

  private static final double INVERTED_CORRELATION = 0.94;

  /** A twin cut off by 20 dB still correlates by this much, and is nearly all explained. */
  private static final double BENT_CORRELATION = 0.75;

  private static final double BENT_EXPLAINED = 0.93;

  /** For the small samples: there a lossy codec's noise, and that of cutting, weighs more. */
  private static final double SMALL_TWIN_CORRELATION = 0.96;

  private static final double SAME_GAIN_DB = 2.5;
  private static final double LOWEST_COPY_DB = 30;
  private static final double CROSSTALK_BELOW_OTHER_DB = 35;
  private static final double STEREO_CORRELATION = 0.3;

  /** Where both sides are about as loud; crosstalk between two microphones stays far below. */
  private static final double EVEN_STEREO_CORRELATION = 0.17;

  private static final double STEREO_LAG_SECONDS = 0.0015;
  private static final double ACTIVE_RANGE_DB = 25;
  private static final double LEAST_DBFS = -95;

  /** One side dominates when it carries 6 dB more. */
  private static final double DOMINANCE_POWER = Math.pow(10, 0.6);

  /** Peak of the whitened correlation that is no accident, in units of its scatter. */
  private static final double COMMON_HEIGHT = 7;

  /** Enough within the reach of one pair, if the levels speak for one scene too. */
  private static final double TOGETHER_HEIGHT = 4.5;

  /** Two sides that hear one scene rise and fall together, whatever the room adds. */
  private static final double TOGETHER_SPREAD_DB = 3.0;

  private static final double TOGETHER_GAIN_DB = 6;

  /** A side that varies by less than this carries no programme of its own. */
  private static final double STEADY_DB = 5;

  private static final double STEADY_BELOW_OTHER_DB = 22;

  /** Width of the pile of shares that bleed makes, and how much of all shares lie in it. */
  private static final double EDGE_DB = 5;

  private static final double EDGE_SHARE = 0.4;

  private static final int LEAST_BLOCKS = 3;

  /**
   * How much of the doubt that the rules below speak of is left: of a thousand made clips of known
   * truth two were judged wrongly, where the rules doubted fifty.
   */
  private static final double LEFT_IN_DOUBT = 0.15;

  /** A quiet side this much alike the other, at no lag, holds only its crosstalk. */
  private static final double CROSSTALK_CORRELATION = 0.9;

  /** The same, if what is left without the other's share is steady. */
  private static final double LEAST_CROSSTALK_CORRELATION = 0.5;

  private final PairMeter meter;
  private final int rateHz;
  private final ChannelVerdict left;
  private final ChannelVerdict right;
  private final boolean leftActive;
  private final boolean rightActive;

  /**
   * One side.
   *
   * @param channel its own verdict
   * @param active whether it rises above its own noise
   */
  record Side(ChannelVerdict channel, boolean active) {}

  PairJudge(PairMeter meter, int rateHz, Side left, Side right) {
    this.meter = meter;
    this.rateHz = rateHz;
    this.left = left.channel();
    this.right = right.channel();
    this.leftActive = left.active();
    this.rightActive = right.active();
  }

  /** Over the whole clip. */
  PairVerdict verdict() {
    return verdict(0, meter.count());
  }

  /** The verdict on a part of a clip, unless one side is low and steady throughout that part. */
  PairVerdict orOneSilent(PairVerdict verdict, int firstBlock, int endBlock) {
    Double gain = verdict.gainDifferenceDb();
    if (gain == null || Math.abs(gain) <= STEADY_BELOW_OTHER_DB) {
      return verdict;
    }
    double[] low = new double[endBlock - firstBlock];
    for (int i = 0; i < low.length; i++) {
      int block = firstBlock + i;
      low[i] = Decibels.ofPower(gain < 0 ? meter.rightPower(block) : meter.leftPower(block));
    }
    // Its first and last blocks may hold the change.
    boolean steady = Statistics.quantile(low, 0.9) - Statistics.quantile(low, 0.1) < STEADY_DB;
    return steady || Double.isInfinite(Statistics.median(low))
        ? new PairVerdict(Relation.ONE_SILENT, 0.85, null, gain, null, null)
        : verdict;
  }

  /** Over a stretch of blocks. */
  PairVerdict verdict(int firstBlock, int endBlock) {
    PairVerdict judged = judged(firstBlock, endBlock);
    return judged.relation() == Relation.UNKNOWN
        ? judged
        : judged.withConfidence(1 - LEFT_IN_DOUBT * (1 - judged.confidence()));
  }

  private PairVerdict judged(int firstBlock, int endBlock) {
    if (left.silent() && right.silent()) {
      return new PairVerdict(Relation.BOTH_SILENT, 0.98, null, null, null, null);
    }
    List<Integer> active = activeBlocks(firstBlock, endBlock);
    double leftPower = 0;
    double rightPower = 0;
    for (int block : active) {
      leftPower += meter.leftPower(block);
      rightPower += meter.rightPower(block);
    }
    boolean measured = leftPower > 0 && rightPower > 0;
    Double gain = measured ? Decibels.ofPower(rightPower / leftPower) : null;
    if (left.silent() != right.silent()) {
      return new PairVerdict(Relation.ONE_SILENT, 0.95, null, gain, null, null);
    }
    if (active.size() < LEAST_BLOCKS || gain == null) {
      return new PairVerdict(Relation.UNKNOWN, 0.3, null, gain, null, null);
    }
    Twin whole = twin(active, false);
    Twin small = twin(active, true);
    boolean useSmall = Math.abs(small.correlation) > Math.abs(whole.correlation);
    Twin twin = useSmall ? small : whole;
    if (isEmpty(active, gain, whole.correlation)) {
      return new PairVerdict(Relation.ONE_SILENT, 0.85, whole.correlation, gain, null, null);
    }
    boolean isTwin =
        isTwin(whole, TWIN_CORRELATION)
            || isTwin(small, SMALL_TWIN_CORRELATION)
            || isBentTwin(whole, firstBlock == 0 && endBlock == meter.count());
    if (isTwin && Math.abs(twin.gainDb) <= LOWEST_COPY_DB) {
      Relation relation;
      if (Math.abs(twin.gainDb) > SAME_GAIN_DB) {
        relation = Relation.LOWER_COPY;
      } else {
        relation = twin.correlation < 0 ? Relation.INVERTED : Relation.SAME_SIGNAL;
      }
      double sure = 0.7 + 0.29 * Math.min(1, twin.share);
      return new PairVerdict(relation, sure, twin.correlation, twin.gainDb, 0.0, null);
    }
    PairMeter.Common common = meter.common(firstBlock, endBlock);
    boolean proven = common.height() >= COMMON_HEIGHT;
    double lagSeconds = (double) common.lagFrames() / rateHz;
    double size = Math.abs(common.correlation());
    boolean near =
        proven
            && Math.abs(lagSeconds) <= STEREO_LAG_SECONDS
            && Math.abs(gain) <= CROSSTALK_BELOW_OTHER_DB;
    boolean together = Math.abs(gain) <= TOGETHER_GAIN_DB && spreadDb(active) <= TOGETHER_SPREAD_DB;
    boolean level = Math.abs(gain) <= TOGETHER_GAIN_DB;
    double least = level ? EVEN_STEREO_CORRELATION : STEREO_CORRELATION;
    PairMeter.Common nearby = common.near();
    if (!near
        && together
        && nearby != null
        && nearby.height() >= TOGETHER_HEIGHT
        && !(proven && size >= least)) {
      // Deep in a room the direct sound is weak; that both rise and fall together tells the rest.
      return new PairVerdict(
          Relation.STEREO,
          0.75,
          nearby.correlation(),
          gain,
          (double) nearby.lagFrames() / rateHz,
          null);
    }
    if (near && (size >= least || together)) {
      boolean clear = size <= 0.97 && (size >= 0.45 || together);
      return new PairVerdict(
          Relation.STEREO, clear ? 0.9 : 0.7, common.correlation(), gain, lagSeconds, null);
    }
    double sure = size < 0.2 ? 0.95 : 0.8;
    return new PairVerdict(
        Relation.ISOLATED,
        sure,
        proven ? common.correlation() : whole.correlation,
        gain,
        proven ? lagSeconds : null,
        proven ? bleedDb(active) : null);
  }

  private static boolean isTwin(Twin twin, double least) {
    double size = Math.abs(twin.correlation);
    // No two microphones hear the same thing upside down.
    boolean inverted = twin.correlation <= -INVERTED_CORRELATION;
    return (size >= least && twin.share >= 0.8)
        || (size >= SURE_TWIN_CORRELATION && twin.share >= 0.4)
        || inverted;
  }

  /** A copy of something that was cut off, or the other way round. */
  private boolean isBentTwin(Twin whole, boolean throughout) {
    return throughout
        && (left.clipping().clipped() || right.clipping().clipped())
        && Math.abs(whole.correlation) >= BENT_CORRELATION
        && meter.explained() >= BENT_EXPLAINED;
  }

  /**
   * Whether the quieter side holds nothing of its own: steady noise, or crosstalk of the other. A
   * large difference of levels alone proves nothing: a console's line output lies 40 dB above a
   * microphone.
   */
  private boolean isEmpty(List<Integer> active, double gain, double correlation) {
    boolean rightIsLower = gain < 0;
    if (Math.abs(gain) > STEADY_BELOW_OTHER_DB
        && !(rightIsLower ? rightActive : leftActive)
        && isSteady(rightIsLower ? right : left)) {
      return true;
    }
    if (Math.abs(gain) <= CROSSTALK_BELOW_OTHER_DB) {
      return false;
    }
    double size = Math.abs(correlation);
    return size >= CROSSTALK_CORRELATION
        || (size >= LEAST_CROSSTALK_CORRELATION && restRangeDb(active, rightIsLower) < STEADY_DB);
  }

  /** How far the quieter side's level ranges once the other's share is taken out. */
  private double restRangeDb(List<Integer> active, boolean rightIsLower) {
    double loud = 0;
    double product = 0;
    for (int block : active) {
      loud += rightIsLower ? meter.leftPower(block) : meter.rightPower(block);
      product += meter.product(block);
    }
    double share = product / loud;
    double[] rest = new double[active.size()];
    for (int i = 0; i < rest.length; i++) {
      int block = active.get(i);
      double high = rightIsLower ? meter.leftPower(block) : meter.rightPower(block);
      double low = rightIsLower ? meter.rightPower(block) : meter.leftPower(block);
      double power = low - 2 * share * meter.product(block) + share * share * high;
      rest[i] = Decibels.ofPower(Math.max(power, 1e-6 * low + Float.MIN_NORMAL));
    }
    return Statistics.quantile(rest, 0.95) - Statistics.quantile(rest, 0.05);
  }

  private static boolean isSteady(ChannelVerdict channel) {
    Double active = channel.activeDbfs();
    Double floor = channel.noiseFloorDbfs();
    return active != null && floor != null && active - floor < STEADY_DB;
  }

  /** How much the difference of the two levels varies from block to block. */
  private double spreadDb(List<Integer> active) {
    double[] differences = new double[active.size()];
    for (int i = 0; i < differences.length; i++) {
      int block = active.get(i);
      differences[i] = gainDb(meter.leftPower(block), meter.rightPower(block));
    }
    return Statistics.robustDeviation(differences);
  }

  /** Blocks with programme on at least one side. */
  private List<Integer> activeBlocks(int firstBlock, int endBlock) {
    double[] loud = new double[endBlock - firstBlock];
    for (int i = 0; i < loud.length; i++) {
      int block = firstBlock + i;
      loud[i] = Decibels.ofPower(Math.max(meter.leftPower(block), meter.rightPower(block)));
    }
    double top = loud.length == 0 ? 0 : Statistics.quantile(finite(loud), 0.95);
    List<Integer> active = new ArrayList<>();
    for (int i = 0; i < loud.length; i++) {
      if (loud[i] >= top - ACTIVE_RANGE_DB && loud[i] > LEAST_DBFS) {
        active.add(firstBlock + i);
      }
    }
    return active;
  }

  private static double[] finite(double[] values) {
    return Arrays.stream(values).filter(v -> !Double.isInfinite(v)).toArray();
  }

  private record Twin(double correlation, double share, double gainDb) {}

  /**
   * How far the two are the same signal.
   *
   * @param inner whether to compare only the small samples, because a cut copy is not a scaled copy
   *     above them
   */
  private Twin twin(List<Integer> active, boolean inner) {
    double ll = 0;
    double rr = 0;
    double lr = 0;
    int alike = 0;
    int counted = 0;
    for (int block : active) {
      double l = inner ? meter.innerLeft(block) : meter.leftPower(block);
      double r = inner ? meter.innerRight(block) : meter.rightPower(block);
      double p = inner ? meter.innerProduct(block) : meter.product(block);
      ll += l;
      rr += r;
      lr += p;
      counted++;
      if (Math.abs(p) >= (inner ? 0.9 : 0.97) * Math.sqrt(l * r)) {
        alike++;
      }
    }
    if (counted < LEAST_BLOCKS || ll <= 0 || rr <= 0) {
      return new Twin(0, 0, 0);
    }
    return new Twin(lr / Math.sqrt(ll * rr), alike / (double) counted, gainDb(ll, rr));
  }

  /**
   * The worse of the two directions' bleed, from passages in which one side dominates. Call only
   * where a common sound is proven.
   */
  private @Nullable Double bleedDb(List<Integer> active) {
    double leftFloor = floorPower(left);
    double rightFloor = floorPower(right);
    List<Double> intoRight = new ArrayList<>();
    List<Double> intoLeft = new ArrayList<>();
    for (int block : active) {
      double l = meter.leftPower(block);
      double r = meter.rightPower(block);
      if (l > r * DOMINANCE_POWER) {
        intoRight.add(shareDb(l, r, rightFloor));
      } else if (r > l * DOMINANCE_POWER) {
        intoLeft.add(shareDb(r, l, leftFloor));
      }
    }
    Double first = edgeDb(intoRight);
    Double second = edgeDb(intoLeft);
    if (first == null || second == null) {
      return first == null ? second : first;
    }
    return Math.max(first, second);
  }

  /** What the low side holds of the high one; negative infinity where only its noise is heard. */
  private static double shareDb(double high, double low, double floor) {
    return low < 2 * floor ? Double.NEGATIVE_INFINITY : Decibels.ofPower((low - floor) / high);
  }

  /**
   * The lower edge of the shares. A microphone that hears the other one never falls below its
   * bleed, and lies at it whenever its own talker pauses: the shares pile up there. Those of a
   * microphone with its own programme only lie scattered.
   */
  private static @Nullable Double edgeDb(List<Double> shares) {
    if (shares.size() < LEAST_BLOCKS) {
      return null;
    }
    double[] sorted = shares.stream().mapToDouble(Double::doubleValue).sorted().toArray();
    double low = sorted[sorted.length / 10];
    if (Double.isInfinite(low)) {
      return null;
    }
    double[] edge = Arrays.stream(sorted).filter(v -> v <= low + EDGE_DB).toArray();
    if (edge.length < LEAST_BLOCKS || edge.length < EDGE_SHARE * sorted.length) {
      return null;
    }
    return Statistics.median(edge);
  }

  private static double floorPower(ChannelVerdict channel) {
    Double floor = channel.noiseFloorDbfs();
    return floor == null ? 0 : Math.pow(10, floor / 10);
  }

  private static double gainDb(double leftPower, double rightPower) {
    if (leftPower <= 0 || rightPower <= 0) {
      return leftPower <= 0 && rightPower <= 0 ? 0 : rightPower <= 0 ? -120 : 120;
    }
    return Decibels.ofPower(rightPower / leftPower);
  }
}
