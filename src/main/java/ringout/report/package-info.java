/**
 * What is kept and printed: documents of a few kinds of blocks, written as HTML or PDF from the same model.
 */
package ringout.report;
