/* A map sheet in the making: what every kind of map shares, in the order in which it is called. For
 * this room's own files. */
#ifndef ISW_CHART_MAP_PAGE_PARTS_H
#define ISW_CHART_MAP_PAGE_PARTS_H

#include "chart/class_grid.h"
#include "chart/map_layout.h"
#include "chart/map_words.h"

/* A sheet in the making. */
struct isw_map_page_parts {
  const struct isw_map_page *page;
  struct isw_map_source source;
  struct isw_map_words words;
  struct isw_legend *legend;
  struct isw_sheet_layout layout;
  cairo_surface_t *surface;
  cairo_t *cr;
  struct isw_pen pen;
  struct isw_class_grid grid;
  struct isw_fill fills[ISW_CLASSES_MAX];
  int edged;      /* class whose edges get a thin line */
  int16_t *after; /* days since the season's start per sample, for isolines; NULL: none */
  int start_day;
};

/* Open the raster and the page; the first of bands tells where data are; all fills are those of an
 * empty class. End the sheet also after failure. */
enum isw_status isw_chart_begin_sheet(struct isw_map_page_parts *sheet,
                                      const struct isw_map_page *page, const char *raster,
                                      int n_bands, const int *bands, int nodata,
                                      struct isw_error *error);
void isw_chart_end_sheet(struct isw_map_page_parts *sheet);

/* Layout, once words, fills and legend stand; then the class grid has its size. */
void isw_chart_settle_sheet(struct isw_map_page_parts *sheet);

/* Room for a band at the class grid's samples (g_free), and the bands read into such rooms. */
int16_t *isw_chart_new_samples(const struct isw_map_page_parts *sheet);
enum isw_status isw_chart_read_samples(const struct isw_map_page_parts *sheet, int n_bands,
                                       const int *bands, int16_t *const *values,
                                       struct isw_error *error);

/* Draw everything, once the class grid is filled, and write it. */
enum isw_status isw_chart_finish_sheet(struct isw_map_page_parts *sheet, const char *png_path,
                                       struct isw_error *error);

/* What is neither class nor line: district borders where given, "no climate data" where cells have
 * none. */
void isw_chart_add_ground_entries(struct isw_map_page_parts *sheet);
void isw_chart_add_class_entry(struct isw_legend *legend, const char *label, struct isw_fill fill,
                               double area_m2);

#endif
