#include "chart/map_panel.h"

#include <glib.h>
#include <math.h>

#include "chart/graticule.h"
#include "chart/map_theme.h"

/* The legend takes what the map leaves of the room, within these. */
static const double legend_width_mm = 50.0, legend_most_mm = 66.0, legend_gap_mm = 4.0;
static const double date_legend_mm = 40.0; /* dates are short: shares stay near them */
static const double pixels_per_mm = 200.0 / 25.4;

static enum isw_status draw_panel(struct isw_pen *pen, const struct isw_map_page *page,
                                  const struct isw_map_theme *theme, const char *raster,
                                  enum isw_sentence heading, struct isw_box room,
                                  struct isw_error *error) {
  struct isw_map_body *body;
  enum isw_status status = isw_chart_begin_body(page, theme, raster, pixels_per_mm, &body, error);
  double s = pen->scale, right_mm = room.x_mm + room.width_mm;
  if (status == ISW_OK) {
    isw_chart_shorten_legend(&body->legend);
    body->legend.heading = isw_words_text(heading);
    body->legend.note = isw_words_text(ISW_SAY_LEGEND_SHARE_NOTE);
    room.x_mm += ISW_GRATICULE_LEFT_MM * s;
    room.width_mm -= (ISW_GRATICULE_LEFT_MM + legend_gap_mm + legend_width_mm) * s;
    room.height_mm -= ISW_GRATICULE_BELOW_MM * s;
    struct isw_map_frame frame = isw_chart_fit_frame(&body->source, room, pixels_per_mm);
    status = isw_chart_set_body_frame(body, frame, s, error);
  }
  if (status == ISW_OK) status = isw_chart_draw_body(body, pen, error);
  if (status == ISW_OK) {
    const struct isw_box *box = &body->frame.box;
    double x_mm = box->x_mm + box->width_mm + legend_gap_mm * s;
    double width_mm = body->after != NULL
                          ? date_legend_mm * s
                          : CLAMP(right_mm - x_mm, legend_width_mm * s, legend_most_mm * s);
    isw_chart_lay_legend_column(pen, &body->legend, x_mm, box->y_mm, width_mm, box->height_mm,
                                true);
  }
  isw_chart_end_body(body);
  return status;
}

enum isw_status isw_chart_draw_sowing_panel(struct isw_pen *pen, const struct isw_map_page *page,
                                            const char *raster, const struct isw_variety *variety,
                                            const struct isw_season *season,
                                            const struct isw_result_tally *tally,
                                            struct isw_box room, struct isw_error *error) {
  struct isw_map_theme theme = isw_chart_sowing_theme(variety, season, tally);
  return draw_panel(pen, page, &theme, raster, ISW_SAY_MAP_SOWING_LEGEND, room, error);
}

enum isw_status isw_chart_draw_pick_panel(struct isw_pen *pen, const struct isw_map_page *page,
                                          const char *raster, const struct isw_plan *plan,
                                          const struct isw_season *season,
                                          const struct isw_pick_tally *tally, struct isw_box room,
                                          struct isw_error *error) {
  struct isw_map_theme theme = isw_chart_pick_theme(plan, season, tally);
  return draw_panel(pen, page, &theme, raster, ISW_SAY_MAP_PICK_HEADING, room, error);
}
