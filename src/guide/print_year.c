#include "guide/print_year.h"

#include <math.h>

#include "chart/palette.h"
#include "guide/guide_words.h"
#include "guide/year_strip.h"
#include "words/date_words.h"
#include "words/say.h"

static const double name_mm = 32.0, heights_mm = 26.0, month_line_mm = 3.7;
static const double words_mm = 0.8, key_strip_mm = 2.6, least_gap_mm = 0.4;
static const struct isw_text text_style = {.size_mm = 2.5, .ink = {0.1, 0.12, 0.14}};
/* Of one area's strip, roomy and tight: height, room below, letters of its names. */
static const struct sizes {
  double strip_mm, between_mm, name_size_mm;
} roomy = {4.2, 1.9, 2.5}, tight = {2.5, 0.9, 2.25};

static const struct sizes *sizes_of(const struct isw_guide_year *year) {
  return year->tight ? &tight : &roomy;
}

static double names_width(const struct isw_guide_year *year) {
  if (year->alone) return 0.0;
  return name_mm + (isw_guide_band_m(year->facts->table) > 0.0 ? heights_mm : 0.0);
}

struct axis {
  double left_mm, width_mm;
  int first_month;
  double strip_mm; /* height of a strip */
};

static double place_day(const struct axis *axis, int first_day, int day) {
  return axis->left_mm + axis->width_mm * isw_base_days_forward(first_day, day) / ISW_YEAR_DAYS;
}

static void draw_months(struct isw_print *print, const struct axis *axis) {
  double month_mm = axis->width_mm / ISW_YEAR_MONTHS;
  struct isw_text style = text_style;
  style.across = 0.5;
  struct isw_pen pen = print->pen;
  pen.spans = false; /* the strips' alternative texts have the dates */
  for (int i = 0; i < ISW_YEAR_MONTHS; i++)
    isw_chart_draw_text(&pen, &style, axis->left_mm + (i + 0.5) * month_mm, print->y_mm,
                        isw_words_short_month((axis->first_month + i) % ISW_YEAR_MONTHS));
  print->y_mm += month_line_mm;
}

/* The strip's frame, with a line at each month's start. */
static void draw_frame(struct isw_print *print, const struct axis *axis) {
  int first_day = isw_base_month_start[axis->first_month];
  for (int i = 1; i < ISW_YEAR_MONTHS; i++) {
    int day = isw_base_month_start[(axis->first_month + i) % ISW_YEAR_MONTHS];
    cairo_move_to(print->cr, place_day(axis, first_day, day), print->y_mm);
    cairo_rel_line_to(print->cr, 0.0, axis->strip_mm);
  }
  cairo_rectangle(print->cr, axis->left_mm, print->y_mm, axis->width_mm, axis->strip_mm);
  cairo_set_line_width(print->cr, 0.12);
  cairo_set_source_rgb(print->cr, 0.6, 0.63, 0.66);
  cairo_stroke(print->cr);
}

static void draw_piece(struct isw_print *print, const struct isw_fill *fill, double x, double y,
                       double width, double height) {
  isw_chart_fill_rectangle(print->cr, fill, x, y, width, height);
  cairo_rectangle(print->cr, x, y, width, height);
  cairo_set_line_width(print->cr, 0.12);
  cairo_set_source_rgb(print->cr, 0.25, 0.27, 0.3);
  cairo_stroke(print->cr);
}

static void draw_strip(struct isw_print *print, const struct axis *axis,
                       const struct isw_year_strip *strip, bool seen[ISW_VARIETIES_MAX]) {
  double day_mm = axis->width_mm / ISW_YEAR_DAYS;
  draw_frame(print, axis);
  for (int i = 0; i < strip->n_runs; i++) {
    const struct isw_year_run *run = &strip->runs[i];
    struct isw_fill fill = isw_chart_variety_fill(run->variety, false);
    draw_piece(print, &fill, axis->left_mm + run->from * day_mm, print->y_mm,
               (run->to - run->from + 1) * day_mm, axis->strip_mm);
    seen[run->variety] = true;
  }
  for (int i = 0; i < strip->n_best; i++) {
    double x = axis->left_mm + (strip->best[i] + 0.5) * day_mm;
    for (int halo = 1; halo >= 0; halo--) {
      cairo_move_to(print->cr, x, print->y_mm - 0.5);
      cairo_rel_line_to(print->cr, 0.0, axis->strip_mm + 1.0);
      cairo_set_line_width(print->cr, halo ? 1.5 : 0.7);
      cairo_set_source_rgb(print->cr, halo, halo, halo);
      cairo_stroke(print->cr);
    }
  }
}

/* Where strips are laid: print->y_mm, and where the district's name, which may be taller than its
 * strips, ends. */
struct laying {
  struct isw_print *print;
  const struct isw_guide_year *year;
  const struct axis *axis;
  double y_mm, name_ends_mm;
  bool first; /* on its page: the name stands there again */
  bool *seen; /* types that are shown, by sheet index; NULL: only measured */
};

static double put_text(struct laying *laying, const struct isw_text *style, double x_mm,
                       double y_mm, const char *text) {
  struct isw_print *print = laying->print;
  if (laying->seen == NULL) return isw_chart_measure_text(&print->pen, style, text).height_mm;
  isw_guide_begin_tag(&print->structure, "P");
  double height_mm = isw_chart_draw_text(&print->pen, style, x_mm, y_mm, text).height_mm;
  isw_guide_end_tag(&print->structure, "P");
  return height_mm;
}

/* The strip with the words below it; returns its height. */
static double lay_strip(struct laying *laying, int d) {
  const struct isw_guide_facts *facts = laying->year->facts;
  const struct axis *axis = laying->axis;
  struct isw_year_strip strip;
  isw_guide_make_strip(facts, 1 + d, &strip);
  char *words = isw_guide_strip_words(facts, &strip);
  if (laying->seen != NULL) {
    char *name = isw_guide_print_name(facts, d);
    char *alternative = isw_words_say(ISW_SAY_GUIDE_CROP_REMARK, name, words);
    isw_guide_begin_figure(&laying->print->structure, alternative);
    draw_strip(laying->print, axis, &strip, laying->seen);
    isw_guide_end_figure(&laying->print->structure);
    g_free(alternative);
    g_free(name);
  }
  double height_mm = axis->strip_mm;
  struct isw_text style = text_style;
  if (laying->year->words) {
    style.size_mm = 2.35;
    style.wrap_mm = axis->width_mm;
    height_mm += words_mm + put_text(laying, &style, axis->left_mm,
                                     laying->y_mm + axis->strip_mm + words_mm, words);
  } else if (strip.n_runs == 0) { /* inside, where nothing else is */
    style.size_mm = sizes_of(laying->year)->name_size_mm;
    style.height = ISW_TEXT_MIDDLE;
    style.halo_mm = 0.6;
    put_text(laying, &style, axis->left_mm + 1.0, laying->y_mm + axis->strip_mm / 2.0, words);
  }
  g_free(words);
  return height_mm;
}

static void lay_area(struct laying *laying, int d) {
  const struct isw_guide_facts *facts = laying->year->facts;
  const struct sizes *sizes = sizes_of(laying->year);
  double left_mm = laying->print->left_mm + 1.2, row_mm = 0.0;
  struct isw_text style = text_style;
  style.size_mm = sizes->name_size_mm;
  if (!laying->year->alone) {
    if (laying->first || isw_guide_begins_district(facts, d)) {
      char *name = isw_guide_print_district_name(facts, d);
      style.bold = true;
      style.wrap_mm = name_mm - 2.0;
      laying->name_ends_mm = laying->y_mm + put_text(laying, &style, left_mm, laying->y_mm, name);
      style.bold = false;
      g_free(name);
    }
    char *heights = isw_guide_area_heights(facts, d);
    if (heights != NULL) {
      style.wrap_mm = heights_mm - 2.0;
      row_mm = put_text(laying, &style, left_mm + name_mm, laying->y_mm, heights);
    }
    g_free(heights);
  }
  double strip_mm = lay_strip(laying, d) + sizes->between_mm;
  laying->y_mm += MAX(row_mm + least_gap_mm, strip_mm);
  if (isw_guide_ends_district(facts, d))
    laying->y_mm = MAX(laying->y_mm, laying->name_ends_mm + least_gap_mm);
  laying->first = false;
}

static struct laying start_laying(struct isw_print *print, const struct isw_guide_year *year,
                                  const struct axis *axis) {
  return (struct laying){
      .print = print, .year = year, .axis = axis, .y_mm = print->y_mm, .first = true};
}

static void draw_key(struct isw_print *print, const struct isw_guide_facts *facts,
                     const bool seen[ISW_VARIETIES_MAX]) {
  const struct isw_sheet *sheet = facts->plan->sheet;
  double left = print->left_mm + 1.2, x = left;
  double right = print->left_mm + print->width_mm - 1.2;
  struct isw_pen pen = print->pen;
  pen.spans = false;
  print->y_mm += 1.0;
  for (int i = 0; i < sheet->n_varieties; i++) {
    if (!seen[i]) continue;
    const char *label = sheet->varieties[i].title;
    double width = 8.0 + isw_chart_measure_text(&print->pen, &text_style, label).width_mm + 4.0;
    if (x + width > right && x > left) {
      x = left;
      print->y_mm += month_line_mm + 0.5;
    }
    struct isw_fill fill = isw_chart_variety_fill(i, false);
    draw_piece(print, &fill, x, print->y_mm + 0.3, 6.0, key_strip_mm);
    isw_chart_draw_text(&pen, &text_style, x + 8.0, print->y_mm, label);
    x += width;
  }
  print->y_mm += month_line_mm + 1.5;
}

/* Areas from d on that fit in room_mm below months, with the key below them; at least one. */
static int count_fitting(struct isw_print *print, const struct isw_guide_year *year,
                         const struct axis *axis, int d, double room_mm, double *height_mm) {
  struct laying laying = start_laying(print, year, axis);
  double from_mm = laying.y_mm;
  int n = 0;
  for (*height_mm = 0.0; d + n < year->first + year->n; n++) {
    lay_area(&laying, d + n);
    double end_mm = MAX(laying.y_mm, laying.name_ends_mm) - from_mm;
    if (n > 0 && end_mm + 3.0 * month_line_mm > room_mm) break;
    *height_mm = end_mm;
  }
  return n;
}

static struct axis start_axis(const struct isw_print *print, const struct isw_guide_year *year) {
  double names_mm = names_width(year);
  return (struct axis){.left_mm = print->left_mm + names_mm,
                       .width_mm = print->width_mm - names_mm,
                       /* Half a year on: July. */
                       .first_month = year->facts->page->south ? ISW_YEAR_MONTHS / 2 : 0,
                       .strip_mm = sizes_of(year)->strip_mm * year->stretch};
}

static void print_head(struct isw_print *print, const void *self) {
  const struct isw_guide_year *year = self;
  if (!year->alone)
    isw_guide_print_text(
        print, ISW_PRINT_HEADING,
        isw_words_text(year->first == 0 ? ISW_SAY_GUIDE_YEAR : ISW_SAY_GUIDE_YEAR_CONTINUED));
  isw_guide_print_text(print, ISW_PRINT_SMALL, isw_words_text(ISW_SAY_GUIDE_YEAR_NOTE));
}

int isw_guide_count_strips(struct isw_print *print, const struct isw_guide_year *year,
                           double room_mm) {
  const struct axis axis = start_axis(print, year);
  double height_mm = 0.0, head_mm = isw_guide_measure_print(print, print_head, year);
  int n = count_fitting(print, year, &axis, year->first, room_mm - head_mm, &height_mm);
  return head_mm + height_mm + 3.0 * month_line_mm > room_mm ? 0 : n;
}

void isw_guide_print_year(struct isw_print *print, const void *self) {
  const struct isw_guide_year *year = self;
  print_head(print, year);
  const struct axis axis = start_axis(print, year);
  bool seen[ISW_VARIETIES_MAX] = {false};
  for (int d = year->first; d < year->first + year->n;) {
    double height_mm;
    int here = count_fitting(print, year, &axis, d, isw_guide_room_left(print), &height_mm);
    if (height_mm + 3.0 * month_line_mm > isw_guide_room_left(print) && d > year->first) {
      isw_guide_next_page(print);
      here = count_fitting(print, year, &axis, d, isw_guide_room_left(print), &height_mm);
    }
    draw_months(print, &axis);
    struct laying laying = start_laying(print, year, &axis);
    laying.seen = seen;
    for (int end = d + here; d < end; d++) {
      lay_area(&laying, d);
      print->y_mm = laying.y_mm; /* strips are drawn there */
    }
    print->y_mm = MAX(laying.y_mm, laying.name_ends_mm);
    if (d < year->first + year->n) isw_guide_next_page(print);
  }
  draw_key(print, year->facts, seen);
}
