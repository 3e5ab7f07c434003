/* The end that nobody planned: memory that a library cannot have and will not say so (GLib's and
 * C++'s allocation end the program, others go on without), or a mistake of ours or theirs. What
 * should not stay is removed, a sentence is said, and the exit code is 1. */
#ifndef ISW_BASE_LAST_WORDS_H
#define ISW_BASE_LAST_WORDS_H

/* From here on SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT and SIGTRAP end the program that way, where
 * nobody else (a sanitizer) has taken them. */
void isw_base_catch_faults(void);

enum isw_unwanted {
  ISW_UNWANTED_FILE,
  ISW_UNWANTED_TREE, /* a folder with its files and those of its folders */
  ISW_UNWANTED_EMPTY /* a folder, if nothing is in it */
};

/* Remove path at such an end; those noted last go first. A number for isw_base_keep, or -1 when too
 * many are noted, or the path is too long. From one thread at a time. */
int isw_base_note_unwanted(enum isw_unwanted kind, const char *path);
void isw_base_keep(int number); /* takes -1 */

#endif
