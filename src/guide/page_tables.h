/* The page's tables and strips, as HTML that needs no script. */
#ifndef ISW_GUIDE_PAGE_TABLES_H
#define ISW_GUIDE_PAGE_TABLES_H

#include <glib.h>

#include "chart/hatch.h"
#include "guide/guide_facts.h"

/* A text, with what HTML would read as markup escaped. */
void isw_guide_append_escaped(GString *html, const char *text);

/* A fill as the value of a CSS background, with hatches of a few pixels. */
void isw_guide_append_background(GString *html, const struct isw_fill *fill);
/* Lines at the starts of months, as the value of a CSS background. */
void isw_guide_append_month_lines(GString *html, const struct isw_guide_facts *facts);

/* The region as a whole: its strip, and a row for each season. */
void isw_guide_append_region(GString *html, const struct isw_guide_facts *facts);
/* A strip for each district, the types with their dates below it. */
void isw_guide_append_strips(GString *html, const struct isw_guide_facts *facts);
/* A row for each district and season. */
void isw_guide_append_districts(GString *html, const struct isw_guide_facts *facts);
/* The same of the named places, with its heading; nothing where there are none. */
void isw_guide_append_named_places(GString *html, const struct isw_guide_facts *facts);

#endif
