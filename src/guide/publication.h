/* What the publisher of a guide gives beside numbers: names, lines, own texts, a logo. */
#ifndef ISW_GUIDE_PUBLICATION_H
#define ISW_GUIDE_PUBLICATION_H

#include <glib.h>

#include "guide/logo.h"

/* Pairs are "NAME=text", NULL-terminated; NULL: none. So is every other member. All borrowed. */
struct isw_publication {
  const char *subtitle, *publisher, *edition, *contact, *credit, *licence;
  const char *page_address;                          /* where the page is published */
  char *const *before, *const *after;                /* texts before and after the guide's own */
  char *const *season_texts, *const *district_texts; /* pairs: season's id, district's name */
  char *const *glossary;                             /* pairs: a word and what it means */
  const struct isw_logo *logo;
};

/* The text of a pair by its name, or NULL. Of the pairs' memory. */
const char *isw_guide_text_of(char *const *pairs, const char *name);

/* A text's pieces: paragraphs, which an empty line ends, and items of lists, lines that begin with
 * "- ". Blanks and line ends inside a piece are one blank each. */
struct isw_text_piece {
  bool item;
  char *text;
};
/* A new array of struct isw_text_piece, which frees its texts. text NULL: none. */
GArray *isw_guide_split_text(const char *text);

/* Who publishes: "Published by X.", "Edition of Y.", "Questions: Z". New; NULL: nothing is known.
 */
char *isw_guide_imprint(const struct isw_publication *publication);
/* Where the page is published. New; NULL: nowhere. */
char *isw_guide_address_words(const struct isw_publication *publication);

#endif
