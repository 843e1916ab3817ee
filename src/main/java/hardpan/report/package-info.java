/**
 * What is said: the records of {@code report.json}, its writer and reader, the self-contained HTML
 * page, the plain text for a terminal, and the sentences all of them share.
 *
 * <p>Flows in: numbers and words from whoever did the work, put into {@link hardpan.report.Report}
 * and its parts. Flows out: JSON, HTML and text. This room knows no other room but {@code base}; it
 * measures nothing and decides nothing. {@code docs/report-format.md} explains every field to the
 * authors of other programs, {@code docs/report-schema.json} states it formally.
 */
@NullMarked
package hardpan.report;

import org.jspecify.annotations.NullMarked;
