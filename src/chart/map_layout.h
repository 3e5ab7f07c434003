/* How a map sheet's parts share the page: title above, map, legend beside or below it as the
 * region's shape asks, cautions and sources at the foot. */
#ifndef ISW_CHART_MAP_LAYOUT_H
#define ISW_CHART_MAP_LAYOUT_H

#include "chart/legend.h"
#include "chart/map_frame.h"
#include "chart/map_page.h"

struct isw_sheet_words {
  const char *title, *subtitle;
};

struct isw_sheet_layout {
  double scale; /* of text and lines: 1 on A4 */
  double title_y_mm, margin_mm;
  struct isw_map_frame frame;
  bool legend_below;
  struct isw_box legend;
  double m_per_mm; /* of the scale bar, 0: none */
  struct isw_box scale_bar;
};

/* pen's scale is set. */
void isw_chart_lay_out_sheet(struct isw_pen *pen, const struct isw_map_page *page,
                             const struct isw_sheet_words *words,
                             const struct isw_map_source *source, const struct isw_legend *legend,
                             struct isw_sheet_layout *out);

/* Title, subtitle and foot. */
void isw_chart_draw_sheet_text(struct isw_pen *pen, const struct isw_map_page *page,
                               const struct isw_sheet_words *words,
                               const struct isw_sheet_layout *layout);

#endif
