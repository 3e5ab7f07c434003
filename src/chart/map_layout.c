#include "chart/map_layout.h"

#include <glib.h>
#include <math.h>

#include "chart/graticule.h"
#include "chart/scale_bar.h"
#include "words/say.h"

static const struct isw_text title_style = {.size_mm = 6.2, .bold = true, .ink = {0.08, 0.08, 0.1}};
static const struct isw_text subtitle_style = {.size_mm = 3.1, .ink = {0.25, 0.25, 0.28}};
static const struct isw_text caution_style = {.size_mm = 2.5, .ink = {0.15, 0.15, 0.17}};
static const struct isw_text source_style = {.size_mm = 2.2, .ink = {0.35, 0.35, 0.38}};
static const double legend_width = 45, legend_widest = 72;
/* On a slide the smallest type is a fortieth of its height. */
static const double slide_type = 1.9;

static double base_scale(const struct isw_map_page *page) {
  double longer = fmax(page->width_mm, page->height_mm);
  double shorter = fmin(page->width_mm, page->height_mm);
  double ratio = fmin(longer / 297, shorter / 210);
  /* Small pages keep their text larger than in proportion, so that it can be read. */
  double scale = ratio < 1 ? pow(ratio, 0.75) : ratio;
  return page->slide ? slide_type * scale : scale;
}

static const char *source_line(const struct isw_map_page *page) {
  return page->source_line != NULL && page->source_line[0] != '\0'
             ? page->source_line
             : isw_words_text(ISW_SAY_MAP_SOURCE_UNKNOWN);
}

static double text_width(const struct isw_map_page *page, const struct isw_sheet_layout *layout) {
  return page->width_mm - 2 * layout->margin_mm;
}

/* Title lines, drawn or measured; returns where they end. */
static double lay_title(struct isw_pen *pen, const struct isw_map_page *page,
                        const struct isw_sheet_words *words, const struct isw_sheet_layout *layout,
                        bool draw) {
  double width = text_width(page, layout), y = layout->margin_mm;
  struct isw_text style = title_style;
  double wanted = isw_chart_measure_text(pen, &style, words->title).width_mm;
  /* A long title shrinks somewhat, then breaks. */
  if (wanted > width) style.size_mm *= fmax(width / wanted, 0.68) * 0.995;
  style.wrap_mm = width;
  struct isw_extent extent =
      draw ? isw_chart_draw_text(pen, &style, layout->margin_mm, y, words->title)
           : isw_chart_measure_text(pen, &style, words->title);
  y += extent.height_mm + 0.3 * pen->scale;
  style = subtitle_style;
  style.wrap_mm = width;
  extent = draw ? isw_chart_draw_text(pen, &style, layout->margin_mm, y, words->subtitle)
                : isw_chart_measure_text(pen, &style, words->subtitle);
  return y + extent.height_mm;
}

/* Foot lines; returns their height. */
static double lay_foot(struct isw_pen *pen, const struct isw_map_page *page,
                       const struct isw_sheet_layout *layout, double y, bool draw) {
  double start = y, width = text_width(page, layout);
  double right = page->width_mm - layout->margin_mm;
  struct isw_text style = caution_style;
  style.wrap_mm = width;
  y += (draw ? isw_chart_draw_text(pen, &style, layout->margin_mm, y,
                                   isw_words_text(ISW_SAY_MAP_CAUTION))
             : isw_chart_measure_text(pen, &style, isw_words_text(ISW_SAY_MAP_CAUTION)))
           .height_mm;
  y += 0.5 * pen->scale;
  style = source_style;
  double software =
      page->software != NULL ? isw_chart_measure_text(pen, &style, page->software).width_mm : 0;
  if (draw && page->software != NULL) {
    style.across = 1;
    isw_chart_draw_text(pen, &style, right, y, page->software);
  }
  style = source_style;
  style.wrap_mm = fmax(width - software - 6 * pen->scale, width / 2);
  y += (draw ? isw_chart_draw_text(pen, &style, layout->margin_mm, y, source_line(page))
             : isw_chart_measure_text(pen, &style, source_line(page)))
           .height_mm;
  return y - start;
}

/* Room for the map with its labels, once the legend has its place. */
static struct isw_box map_room(const struct isw_pen *pen, struct isw_box area, bool below,
                               double legend_size) {
  double s = pen->scale;
  struct isw_box room = area;
  room.x_mm += ISW_GRATICULE_LEFT_MM * s;
  room.width_mm -= (ISW_GRATICULE_LEFT_MM + 1) * s;
  room.y_mm += 1 * s;
  room.height_mm -= (ISW_GRATICULE_BELOW_MM + 1) * s;
  if (below)
    room.height_mm -= legend_size + 2 * s;
  else
    room.width_mm -= legend_size + 6 * s;
  room.width_mm = fmax(room.width_mm, 5);
  room.height_mm = fmax(room.height_mm, 5);
  return room;
}

static double frame_area(const struct isw_map_frame *frame, const struct isw_map_source *source) {
  /* What counts is how large the data come out. */
  double share = (double)source->data.cols * source->data.rows /
                 ((double)frame->window.cols * frame->window.rows);
  return frame->box.width_mm * frame->box.height_mm * share;
}

void isw_chart_lay_out_sheet(struct isw_pen *pen, const struct isw_map_page *page,
                             const struct isw_sheet_words *words,
                             const struct isw_map_source *source, const struct isw_legend *legend,
                             struct isw_sheet_layout *out) {
  double pixels_per_mm = page->dpi / 25.4;
  *out = (struct isw_sheet_layout){.scale = base_scale(page)};
  for (int attempt = 0;; attempt++) {
    pen->scale = out->scale;
    double s = out->scale;
    out->margin_mm = 9 * s;
    double top = lay_title(pen, page, words, out, false) + 3 * s;
    double foot = lay_foot(pen, page, out, 0, false);
    struct isw_box area = {out->margin_mm, top, text_width(page, out),
                           page->height_mm - out->margin_mm * 0.8 - foot - 2.5 * s - top};
    double band = isw_chart_lay_legend_band(pen, legend, 0, 0, area.width_mm, false) +
                  isw_chart_scale_bar_height(pen) + 1.5 * s;
    struct isw_box room_beside = map_room(pen, area, false, legend_width * s);
    struct isw_box room_above = map_room(pen, area, true, band);
    struct isw_map_frame beside = isw_chart_fit_frame(source, room_beside, pixels_per_mm);
    struct isw_map_frame above = isw_chart_fit_frame(source, room_above, pixels_per_mm);
    double column =
        isw_chart_lay_legend_column(pen, legend, 0, 0, legend_width * s,
                                    area.height_mm - isw_chart_scale_bar_height(pen), false) +
        isw_chart_scale_bar_height(pen);
    bool column_fits = column <= area.height_mm;
    out->legend_below = !column_fits || frame_area(&above, source) > frame_area(&beside, source);
    out->frame = out->legend_below ? above : beside;
    struct isw_box *box = &out->frame.box;
    /* A page too small for its text gets smaller text rather than no map. */
    struct isw_box room = out->legend_below ? room_above : room_beside;
    bool fits = room.width_mm > 0.35 * page->width_mm && room.height_mm > 0.3 * page->height_mm;
    if (!fits && attempt < 24) {
      out->scale *= 0.93;
      continue;
    }
    /* Map and legend stand together in the middle of the page; what the map leaves beside it, the
     * legend may use. */
    double beside_mm = 6 * s + legend_width * s;
    double taken =
        ISW_GRATICULE_LEFT_MM * s + box->width_mm + s + (out->legend_below ? 0 : beside_mm);
    double wider =
        out->legend_below ? 0 : CLAMP(area.width_mm - taken, 0, (legend_widest - legend_width) * s);
    double width_mm = legend_width * s + wider;
    taken += wider;
    if (wider > 0)
      column =
          isw_chart_lay_legend_column(pen, legend, 0, 0, width_mm,
                                      area.height_mm - isw_chart_scale_bar_height(pen), false) +
          isw_chart_scale_bar_height(pen);
    double spare = fmax(area.width_mm - taken, 0) / 2;
    if (!out->legend_below || spare > 0) box->x_mm += round(spare * pixels_per_mm) / pixels_per_mm;
    double bar = isw_chart_scale_bar_height(pen);
    out->m_per_mm = isw_chart_true_scale(source, &out->frame);
    if (out->legend_below) {
      double below = box->y_mm + box->height_mm + (ISW_GRATICULE_BELOW_MM + 2) * s;
      out->legend = (struct isw_box){area.x_mm, below, area.width_mm, band - bar};
      out->scale_bar = (struct isw_box){area.x_mm, below + band - bar, 0.25 * area.width_mm, bar};
    } else {
      double x = box->x_mm + box->width_mm + 6 * s;
      double height = column - bar;
      out->legend = (struct isw_box){x, box->y_mm, width_mm, area.height_mm - bar};
      double y = fmax(box->y_mm + box->height_mm - bar + 1.5 * s, box->y_mm + height + 1.5 * s);
      out->scale_bar = (struct isw_box){x, y, legend_width * s, bar};
    }
    return;
  }
}

void isw_chart_draw_sheet_text(struct isw_pen *pen, const struct isw_map_page *page,
                               const struct isw_sheet_words *words,
                               const struct isw_sheet_layout *layout) {
  lay_title(pen, page, words, layout, true);
  double foot = lay_foot(pen, page, layout, 0, false);
  lay_foot(pen, page, layout, page->height_mm - layout->margin_mm * 0.8 - foot, true);
}
