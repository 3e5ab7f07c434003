/* What the publisher says, as HTML. */
#ifndef ISW_GUIDE_PAGE_PUBLICATION_H
#define ISW_GUIDE_PAGE_PUBLICATION_H

#include "guide/guide_facts.h"

/* Paragraphs and lists of a publisher's text; NULL: nothing. */
void isw_guide_append_own_text(GString *html, const char *text);

void isw_guide_append_logo(GString *html, const struct isw_guide_facts *facts);
void isw_guide_append_subtitle(GString *html, const struct isw_guide_facts *facts);
/* Imprint and the texts before the guide. */
void isw_guide_append_before(GString *html, const struct isw_guide_facts *facts);
void isw_guide_append_season_texts(GString *html, const struct isw_guide_facts *facts);
/* How dates go with height, and the districts' own texts. */
void isw_guide_append_district_texts(GString *html, const struct isw_guide_facts *facts);
/* What moved since the last edition, where one is asked about. */
void isw_guide_append_moves(GString *html, const struct isw_guide_facts *facts);
/* The texts after the guide, the glossary. */
void isw_guide_append_after(GString *html, const struct isw_guide_facts *facts);

#endif
