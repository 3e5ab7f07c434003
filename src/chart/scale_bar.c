#include "chart/scale_bar.h"

#include <geodesic.h>
#include <glib.h>
#include <math.h>

static const double tolerance = 0.03;
static const double wgs84_a_m = 6378137, wgs84_f = 1 / 298.257223563;
enum { SAMPLES = 5 };

double isw_chart_true_scale(const struct isw_map_source *source,
                            const struct isw_map_frame *frame) {
  struct geod_geodesic earth;
  geod_init(&earth, wgs84_a_m, wgs84_f);
  const struct isw_box *box = &frame->box;
  double least = HUGE_VAL, most = 0;
  double piece_mm = fmin(box->width_mm, box->height_mm) / 40;
  for (int j = 0; j < SAMPLES; j++)
    for (int i = 0; i < SAMPLES; i++)
      for (int direction = 0; direction < 4; direction++) {
        double x = box->x_mm + box->width_mm * (0.02 + 0.96 * i / (SAMPLES - 1));
        double y = box->y_mm + box->height_mm * (0.02 + 0.96 * j / (SAMPLES - 1));
        double dx = piece_mm / 2 * cos(direction * G_PI / 4);
        double dy = piece_mm / 2 * sin(direction * G_PI / 4);
        double col[2], row[2], lat_deg[2], lon_deg[2], distance_m;
        isw_chart_find_cell(frame, x - dx, y - dy, &col[0], &row[0]);
        isw_chart_find_cell(frame, x + dx, y + dy, &col[1], &row[1]);
        for (int k = 0; k < 2; k++)
          if (!isw_climate_locate_cell(source->locator, col[k], row[k], &lat_deg[k], &lon_deg[k]))
            return 0;
        geod_inverse(&earth, lat_deg[0], lon_deg[0], lat_deg[1], lon_deg[1], &distance_m, NULL,
                     NULL);
        least = fmin(least, distance_m / piece_mm);
        most = fmax(most, distance_m / piece_mm);
      }
  return most > 0 && most - least < tolerance * most ? (least + most) / 2 : 0;
}

double isw_chart_scale_bar_height(const struct isw_pen *pen) {
  return 6.5 * pen->scale;
}

void isw_chart_draw_scale_bar(struct isw_pen *pen, double m_per_mm, double x_mm, double y_mm,
                              double room_mm) {
  cairo_t *cr = pen->cr;
  double most_m = room_mm * m_per_mm, length_m = pow(10, floor(log10(most_m)));
  double factor = most_m / length_m >= 5 ? 5 : most_m / length_m >= 2 ? 2 : 1;
  length_m *= factor;
  double width = length_m / m_per_mm, height = 1.1 * pen->scale;
  int parts = factor == 2 ? 4 : 5;
  y_mm += 3.4 * pen->scale;
  for (int i = 0; i < parts; i++) {
    cairo_rectangle(cr, x_mm + width * i / parts, y_mm, width / parts, height);
    if (i % 2 == 0)
      cairo_set_source_rgb(cr, 0.15, 0.15, 0.17);
    else
      cairo_set_source_rgb(cr, 1, 1, 1);
    cairo_fill(cr);
  }
  cairo_rectangle(cr, x_mm, y_mm, width, height);
  cairo_set_source_rgb(cr, 0.15, 0.15, 0.17);
  cairo_set_line_width(cr, 0.14 * pen->scale);
  cairo_stroke(cr);
  struct isw_text style = {.size_mm = 2.3, .ink = {0.15, 0.15, 0.17}, .height = ISW_TEXT_BASELINE};
  double above = y_mm - 0.9 * pen->scale;
  isw_chart_draw_text(pen, &style, x_mm, above, "0");
  char text[48];
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  bool km = length_m >= 1000;
  g_ascii_formatd(number, sizeof number, "%.10g", km ? length_m / 1000 : length_m);
  g_snprintf(text, sizeof text, "%s %s", number, km ? "km" : "m");
  style.across = 1;
  isw_chart_draw_text(pen, &style, x_mm + width, above, text);
}
