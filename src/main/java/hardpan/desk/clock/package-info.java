/**
 * The picture of the whole shoot on one clock: how it is drawn and worked with.
 *
 * <p>Flows in: {@link hardpan.desk.model.ShownShoot}, the shared cursor, waveforms. Flows out:
 * pixels, the chosen source, the cursor. What goes where is decided in the models.
 */
@NullMarked
package hardpan.desk.clock;

import org.jspecify.annotations.NullMarked;
