/* The word somebody may have meant. */
#ifndef ISW_DOCUMENTS_NEAREST_WORD_H
#define ISW_DOCUMENTS_NEAREST_WORD_H

/* Edits (insert, delete, replace, swap of neighbours) between two words; words longer than 64 bytes
 * count as far apart (1000). */
int isw_documents_count_edits(const char *a, const char *b);

/* The nearest of n words, or NULL when none is near enough to be a slip of the pen. */
const char *isw_documents_nearest_word(const char *word, int n, const char *const *words);

#endif
