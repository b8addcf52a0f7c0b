/**
 * Files that are there whole or not at all, and the folders that each system keeps for a program's files. Must not know
 * what is in a file, nor who asked for it.
 */
package ringout.files;
