/**
 * Listening: sound of one or more sources, each at its place on the reference clock, brought to the
 * ears at a safe level.
 *
 * <p>Flows in: {@link hardpan.listen.Listening}, which names sources by how they are opened, and
 * their measured loudness. Flows out: stereo blocks into a {@link hardpan.listen.SoundOut}, and
 * {@link hardpan.listen.PlayerState} for whoever watches. Only {@link hardpan.listen.MachineSound}
 * knows the machine's sound system; without one there is a sentence, never a fault. Sources are
 * only read.
 */
@NullMarked
package hardpan.listen;

import org.jspecify.annotations.NullMarked;
