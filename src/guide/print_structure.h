/* The structure of a print's file, for readers that do not see the page: what is a heading, a
 * paragraph, a list, a table, a figure. Tags are the standard ones of ISO 32000-1, 14.8.4; cairo
 * writes them. */
#ifndef ISW_GUIDE_PRINT_STRUCTURE_H
#define ISW_GUIDE_PRINT_STRUCTURE_H

#include <cairo.h>
#include <glib.h>

enum isw_structure_part { ISW_PART_NONE, ISW_PART_LIST, ISW_PART_TABLE };

struct isw_structure {
  cairo_t *cr;                  /* NULL: nothing is tagged, all calls do nothing */
  enum isw_structure_part part; /* that is open */
  GPtrArray *alternatives;      /* of the figures, in their order: texts in their place */
};

/* The document begins, and ends; on one context, over all its pages. */
void isw_guide_begin_structure(struct isw_structure *structure, cairo_t *cr);
void isw_guide_end_structure(struct isw_structure *structure);
/* Release the texts; after isw_guide_end_structure. */
void isw_guide_clear_structure(struct isw_structure *structure);

/* What follows belongs to a part of this kind: the one that is open, or a new one. */
void isw_guide_enter_part(struct isw_structure *structure, enum isw_structure_part part);
/* The open part ends; pages end theirs, so that a table that goes on is another table there. */
void isw_guide_leave_part(struct isw_structure *structure);

/* A tag around what is drawn until its end. */
void isw_guide_begin_tag(struct isw_structure *structure, const char *tag);
void isw_guide_end_tag(struct isw_structure *structure, const char *tag);

/* A picture, with the text for those who do not see it. Ends an open part. */
void isw_guide_begin_figure(struct isw_structure *structure, const char *alternative);
void isw_guide_end_figure(struct isw_structure *structure);

#endif
