/* The map itself, without what stands around it: fills, graticule, district outlines, lines, names,
 * frame. Made in this order: begin -> (words and legend decide the layout) -> set frame -> draw ->
 * end. For this room's own files. */
#ifndef ISW_CHART_MAP_BODY_H
#define ISW_CHART_MAP_BODY_H

#include "chart/class_grid.h"
#include "chart/legend.h"
#include "chart/map_words.h"

struct isw_map_theme;

struct isw_map_body {
  const struct isw_map_page *page;
  const struct isw_map_theme *theme;
  struct isw_map_source source;
  struct isw_map_words words;
  struct isw_legend legend;
  struct isw_map_frame frame;
  struct isw_class_grid grid;
  struct isw_fill fills[ISW_CLASSES_MAX];
  double pixels_per_mm; /* of the fills */
  int edged;            /* class whose edges get a thin line; ISW_CLASS_NONE: none */
  int16_t *after;       /* days since the season's start per sample, for isolines; NULL: none */
  int start_day;
};

/* Open the raster and let the theme describe itself. New, also after failure; as
 * isw_chart_open_source: ISW_RESOURCES, ISW_USAGE, ISW_INPUT_CONTENT. page and theme stay the
 * caller's. */
enum isw_status isw_chart_begin_body(const struct isw_map_page *page,
                                     const struct isw_map_theme *theme, const char *raster,
                                     double pixels_per_mm, struct isw_map_body **out,
                                     struct isw_error *error);
void isw_chart_end_body(struct isw_map_body *body); /* takes NULL */

/* Where it comes to lie, and the scale of the lines and hatches; then its cells are read.
 * ISW_RESOURCES; ISW_INTERNAL: GDAL cannot shade the relief. */
enum isw_status isw_chart_set_body_frame(struct isw_map_body *body, struct isw_map_frame frame,
                                         double scale, struct isw_error *error);

/* Onto the pen's page. On an image of body's own pixels_per_mm the fills become its pixels; on
 * anything else they are laid on as an image, all the rest stays lines and text. ISW_INPUT_CONTENT:
 * cells without area; ISW_INTERNAL: GDAL cannot draw lines; ISW_RESOURCES. */
enum isw_status isw_chart_draw_body(struct isw_map_body *body, struct isw_pen *pen,
                                    struct isw_error *error);

/* The lines of equal date of a body with a frame and `after`, in the page's scale: as
 * isw_chart_make_isolines. ISW_INTERNAL. */
enum isw_status isw_chart_make_body_isolines(const struct isw_map_body *body, double scale,
                                             GPtrArray **lines, struct isw_error *error);

/* For themes: a class and its share of the legend's area. */
void isw_chart_add_class_entry(struct isw_legend *legend, const char *label, struct isw_fill fill,
                               double area_m2);

#endif
