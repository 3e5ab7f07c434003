/* What the publisher says, in the print: logo, imprint, own texts, glossary. */
#ifndef ISW_GUIDE_PRINT_PUBLICATION_H
#define ISW_GUIDE_PRINT_PUBLICATION_H

#include "guide/guide_facts.h"
#include "guide/print_page.h"

/* The page's head: title, subtitle (NULL: none), lead; to their right the logo, and where the page
 * is published a code that opens it, at site (NULL: as it opens). title is drawn as a title, and
 * what follows below both. */
struct isw_print_titles {
  const struct isw_guide_facts *facts;
  const char *title, *subtitle, *lead;
  const struct isw_guide_site *site;
  bool small; /* all but the title in small letters */
};
void isw_guide_print_titles(struct isw_print *print, const struct isw_print_titles *titles);

/* Paragraphs and lists of a publisher's text; NULL: nothing. */
void isw_guide_print_own_text(struct isw_print *print, enum isw_print_style style,
                              const char *text);
void isw_guide_print_own_texts(struct isw_print *print, enum isw_print_style style,
                               char *const *texts);

/* The seasons' own texts, each below its season's name; nothing where there are none. self: struct
 * isw_guide_facts; an isw_print_draw. */
void isw_guide_print_season_texts(struct isw_print *print, const void *self);

/* The same in small letters, each piece behind its season's name. */
void isw_guide_print_season_lines(struct isw_print *print, const void *self);

/* What of a district counts, and how dates go with height in it; nothing else. */
void isw_guide_print_land(struct isw_print *print, const struct isw_guide_facts *facts,
                          enum isw_print_style style, int district);

/* Imprint, and where the page is published; a line each. */
void isw_guide_print_imprint(struct isw_print *print, const struct isw_guide_facts *facts);

/* What moved since the last edition, where one is asked about. */
void isw_guide_print_moves(struct isw_print *print, const struct isw_guide_facts *facts);

/* Own texts after the guide. */
void isw_guide_print_after(struct isw_print *print, const struct isw_guide_facts *facts);
void isw_guide_print_glossary(struct isw_print *print, const struct isw_guide_facts *facts);

#endif
