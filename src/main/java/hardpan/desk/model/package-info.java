/**
 * The window without its toolkit: what it shows and what it can be asked to do, as values and
 * properties that are tested without a screen.
 *
 * <p>Flows in: paths and the person's wishes; a {@link hardpan.shoot.Shoot} from the steps of the
 * job. Flows out: properties the views bind to. Nothing here knows a scene or a control.
 */
@NullMarked
package hardpan.desk.model;

import org.jspecify.annotations.NullMarked;
