/**
 * The demo shoot: an invented evening in a village hall, made from nothing but a seed, with the
 * truth about every file known exactly.
 *
 * <p>Flows in: an empty folder. Flows out: camera clips and a recording in it, and {@link
 * hardpan.demo.DemoTruth}, against which {@link hardpan.demo.DemoCheck} compares what Hardpan
 * found. Voices, choir, applause and rooms are computed; no recorded material is used.
 */
@NullMarked
package hardpan.demo;

import org.jspecify.annotations.NullMarked;
