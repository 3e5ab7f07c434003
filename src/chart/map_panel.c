#include "chart/map_panel.h"

#include <glib.h>
#include <math.h>

#include "chart/graticule.h"
#include "chart/map_body.h"
#include "chart/map_theme.h"

/* The legend takes what the map leaves of the room, within these. */
static const double legend_width_mm = 50.0, legend_most_mm = 66.0, legend_gap_mm = 4.0;
static const double date_legend_mm = 40.0; /* dates are short: shares stay near them */
static const double pixels_per_mm = 200.0 / 25.4;

/* The map with its legend beside it, or, where the map gets larger so, below it. */
struct arrangement {
  struct isw_map_frame frame;
  bool below;
};

static struct arrangement arrange(struct isw_pen *pen, const struct isw_map_body *body,
                                  struct isw_box room) {
  double s = pen->scale;
  struct isw_box beside = room, below = room;
  beside.width_mm -= (legend_gap_mm + legend_width_mm) * s;
  struct arrangement found = {isw_chart_fit_frame(&body->source, beside, pixels_per_mm), false};
  double legend_mm = isw_chart_lay_legend_column(pen, &body->legend, room.x_mm, room.y_mm,
                                                 fmin(room.width_mm, legend_most_mm * s),
                                                 room.height_mm / 2.0, false);
  below.height_mm -= legend_mm + 1.5 * legend_gap_mm * s;
  if (below.height_mm <= 0.0) return found;
  struct isw_map_frame other = isw_chart_fit_frame(&body->source, below, pixels_per_mm);
  if (other.box.width_mm * other.box.height_mm >
      found.frame.box.width_mm * found.frame.box.height_mm)
    found = (struct arrangement){other, true};
  return found;
}

static enum isw_status draw_panel(struct isw_pen *pen, const struct isw_map_page *page,
                                  const struct isw_map_theme *theme, const char *raster,
                                  enum isw_sentence heading, struct isw_box room,
                                  struct isw_error *error) {
  struct isw_map_body *body;
  enum isw_status status = isw_chart_begin_body(page, theme, raster, pixels_per_mm, &body, error);
  double s = pen->scale, right_mm = room.x_mm + room.width_mm;
  struct arrangement arrangement;
  if (status == ISW_OK) {
    isw_chart_shorten_legend(&body->legend);
    if (page->mask_line != NULL && body->source.has_holes)
      isw_chart_add_entry(&body->legend, isw_words_text(ISW_SAY_LEGEND_NOT_COUNTED))->sign =
          ISW_SIGN_PAPER;
    body->legend.heading = isw_words_text(heading);
    body->legend.note = isw_words_text(ISW_SAY_LEGEND_SHARE_NOTE);
    room.x_mm += ISW_GRATICULE_LEFT_MM * s;
    room.width_mm -= ISW_GRATICULE_LEFT_MM * s;
    room.height_mm -= ISW_GRATICULE_BELOW_MM * s;
    arrangement = arrange(pen, body, room);
    status = isw_chart_set_body_frame(body, arrangement.frame, s, error);
  }
  if (status == ISW_OK) status = isw_chart_draw_body(body, pen, error);
  if (status == ISW_OK) {
    const struct isw_box *box = &body->frame.box;
    if (arrangement.below) {
      double y_mm = box->y_mm + box->height_mm + (ISW_GRATICULE_BELOW_MM + legend_gap_mm) * s;
      isw_chart_lay_legend_column(
          pen, &body->legend, room.x_mm, y_mm, fmin(room.width_mm, legend_most_mm * s),
          room.y_mm + room.height_mm + ISW_GRATICULE_BELOW_MM * s - y_mm, true);
      isw_chart_end_body(body);
      return ISW_OK;
    }
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

enum isw_status isw_chart_draw_opens_panel(struct isw_pen *pen, const struct isw_map_page *page,
                                           const char *raster, const struct isw_plan *plan,
                                           const struct isw_season *season,
                                           const struct isw_opens_tally *tally, struct isw_box room,
                                           struct isw_error *error) {
  struct isw_map_theme theme = isw_chart_opens_theme(plan, season, tally);
  return draw_panel(pen, page, &theme, raster, ISW_SAY_GUIDE_OPENS_LEGEND, room, error);
}
