/* words: every sentence a reader of a card, chart, map, page or print sees, whole, in one room. In:
 * what is to be said and its numbers as text. Out: the sentence in the reader's language (English,
 * until somebody writes a catalogue).
 *
 * The rule:
 * - A sentence is a line of words/sentences_*.def: ISW_SENTENCE(ID, number of arguments, "context",
 *   "template"), or ISW_PLURAL(ID, number of arguments, "context", "for one", "for many"). The
 *   context tells a translator where it stands, and keeps equal English words apart ("low": a
 * risk).
 * - Arguments are strings, %1$s, %2$s, ...: a language may put them in another order, so no
 *   sentence is made of pieces, and no piece is capitalised, cut or compared. A whole sentence may
 *   stand beside another one. A literal per cent sign is written %%. Of a plural, %1$s is the
 * count.
 * - Numbers come from the plan or the result, never typed into a template.
 * - Nothing reads a sentence back: choose by the class or the code behind it.
 * What is named by a sheet or a file (varieties, seasons, places, tasks) stays as it is written
 * there, and so do messages about wrong input, which stand with what they check. */
#ifndef ISW_WORDS_SAY_H
#define ISW_WORDS_SAY_H

#include <stddef.h>

#include "words/sentences.h"

/* Once, at the start of a program that wants other languages than English: finds the catalogues
 * (glibc's gettext, domain isosow; in TEXTDOMAINDIR, else where the program is installed). Needs
 * setlocale. */
void isw_words_open(void);

/* A sentence without arguments, %% as %. Not to be freed; stays valid. */
const char *isw_words_text(enum isw_sentence sentence);

/* New. As many arguments as the sentence takes, at least one, each a const char *. */
#define isw_words_say(sentence, ...)                             \
  isw_words_fill((sentence), (const char *const[]){__VA_ARGS__}, \
                 sizeof((const char *const[]){__VA_ARGS__}) / sizeof(const char *))

/* New. A plural sentence whose only argument is its count. */
char *isw_words_count(enum isw_sentence sentence, int count);

/* New. A plural sentence with further arguments, %2$s and on, after its count. */
#define isw_words_count_with(sentence, count, ...)                              \
  isw_words_fill_count((sentence), (count), (const char *const[]){__VA_ARGS__}, \
                       sizeof((const char *const[]){__VA_ARGS__}) / sizeof(const char *))

/* Behind the macros. A wrong number of arguments is a bug and ends the program. */
char *isw_words_fill(enum isw_sentence sentence, const char *const *arguments, size_t n);
char *isw_words_fill_count(enum isw_sentence sentence, int count, const char *const *arguments,
                           size_t n);

/* For who fills templates elsewhere (the guide's page): the template in the reader's language, with
 * %1$s and %%; of a plural sentence, the one for that count. And the sentence's ID, context, number
 * of arguments, and whether it is a plural one (then `count` matters). */
const char *isw_words_template(enum isw_sentence sentence);
const char *isw_words_count_template(enum isw_sentence sentence, int count);
const char *isw_words_id(enum isw_sentence sentence);
const char *isw_words_context(enum isw_sentence sentence);
int isw_words_arguments(enum isw_sentence sentence);
int isw_words_is_plural(enum isw_sentence sentence);

/* "a", "a and b", "a, b and c". New. n at least 1. */
char *isw_words_list(int n, const char *const *items);

/* A sentence begun by a name: its first letter as a title's. New. */
char *isw_words_capital(const char *text);

#endif
