/* Pages of a printed guide: upright, text and tables that break over pages, running foot. */
#ifndef ISW_GUIDE_PRINT_PAGE_H
#define ISW_GUIDE_PRINT_PAGE_H

#include "chart/map_frame.h"
#include "chart/pen.h"
#include "guide/print_structure.h"

struct isw_print {
  cairo_surface_t *surface;
  cairo_t *cr;
  struct isw_pen pen;
  int page;                                    /* number of the page in hand, 1.. */
  double y_mm;                                 /* where the next thing goes */
  double top_mm, left_mm, width_mm, bottom_mm; /* of what is printed on a page, the foot aside */
  double foot_mm;
  double taken_mm; /* of the right of the page, beside which texts are set */
  double scale;    /* mm of the paper per mm of the page, before shrink */
  double shrink;   /* 1: nothing is shrunk */
  const char *foot;
  int bookmark; /* of the last heading; 0: none */
  bool endless; /* being measured: a page without an end, and without structure */
  struct isw_structure structure;
};

struct isw_print_paper {
  double width_mm, height_mm;  /* either way up; printed upright */
  const char *title, *subject; /* the file's own */
  const char *author;          /* NULL: nobody is named */
  long long now;               /* seconds since 1970: the file's creation date */
};

/* A PDF with its first page begun. On A4 and Letter all sizes are true; on other paper everything
 * is scaled so that an A4 page's width and a Letter page's height find room. foot is borrowed.
 * ISW_OUTPUT. */
enum isw_status isw_guide_open_print(const char *path, const struct isw_print_paper *paper,
                                     const char *foot, struct isw_print *print,
                                     struct isw_error *error);
/* Ends the last page and closes the file; also after failure. ISW_OUTPUT. */
enum isw_status isw_guide_close_print(struct isw_print *print, const char *path,
                                      struct isw_error *error);

void isw_guide_next_page(struct isw_print *print);
/* Begin a page unless this much room is left. */
void isw_guide_need_room(struct isw_print *print, double height_mm);
double isw_guide_room_left(const struct isw_print *print);

/* Height in mm that draw(print, self) takes where nothing breaks it; nothing is drawn. */
typedef void isw_print_draw(struct isw_print *print, const void *self);
double isw_guide_measure_print(const struct isw_print *print, isw_print_draw *draw,
                               const void *self);
/* Begin a page if what draw prints does not fit whole below, then draw it; what fits on no page
 * begins here. */
void isw_guide_print_whole(struct isw_print *print, isw_print_draw *draw, const void *self);

/* Draw on this page so small that what draw prints fits below: lines keep the page's width and hold
 * more. Never below half the size. The page must be empty; isw_guide_unshrink before the next. */
void isw_guide_shrink_to_fit(struct isw_print *print, isw_print_draw *draw, const void *self);
void isw_guide_unshrink(struct isw_print *print);

/* What is so many mm on the paper, in mm of the page: for what may not become smaller. */
double isw_guide_print_true_mm(const struct isw_print *print, double paper_mm);

/* Is anything on the page? */
bool isw_guide_page_begun(const struct isw_print *print);

/* Ruled lines under "Notes" down to the end of the page, where there is room for some; never a page
 * of nothing else. */
void isw_guide_print_notes(struct isw_print *print, const char *heading);

enum isw_print_style {
  ISW_PRINT_TITLE,
  ISW_PRINT_SUBTITLE,
  ISW_PRINT_HEADING,
  ISW_PRINT_PLACE, /* a heading below the last one */
  ISW_PRINT_SUBHEADING,
  ISW_PRINT_STRONG, /* a line that heads nothing */
  ISW_PRINT_LEAD,
  ISW_PRINT_BODY,
  ISW_PRINT_SMALL
};
/* A paragraph over the page's width; headings keep some room below them. */
void isw_guide_print_text(struct isw_print *print, enum isw_print_style style, const char *text);
/* At x_mm, in width_mm; the page's next thing stays where it was. Returns the height. */
double isw_guide_print_beside(struct isw_print *print, enum isw_print_style style, double x_mm,
                              double width_mm, const char *text);
/* The same with a dot in front, indented. */
void isw_guide_print_item(struct isw_print *print, enum isw_print_style style, const char *text);

enum { ISW_PRINT_COLUMNS_MAX = 10 };
struct isw_print_table {
  int n;
  double width_mm[ISW_PRINT_COLUMNS_MAX]; /* sum: at most isw_guide_table_width_mm; wider and
                                             narrower with the page */
  const char *heads[ISW_PRINT_COLUMNS_MAX];
  double size_mm, pad_mm; /* of letters, around cells; 0: as small as is good to read */
  const char *group;      /* what the rows are about, repeated after page breaks; NULL: nothing */
};
/* What a page's full width is for tables. */
extern const double isw_guide_table_width_mm;
/* Head line (repeated after page breaks), then rows of n texts. */
void isw_guide_print_head(struct isw_print *print, const struct isw_print_table *table);
/* A line over the table's width that says what the rows below are about: text becomes the table's
 * group. need_mm: room wanted below on the same page. */
void isw_guide_print_group(struct isw_print *print, struct isw_print_table *table, const char *text,
                           double need_mm);
void isw_guide_print_row(struct isw_print *print, const struct isw_print_table *table,
                         const char *const *texts);
/* Height that a row will take. */
double isw_guide_row_height(struct isw_print *print, const struct isw_print_table *table,
                            const char *const *texts);

#endif
