/* DESIGN: latitude and longitude are known on a mesh over the frame; the lines are where they pass
 * a round number, found mesh cell by mesh cell. So any projection, rotation and longitude range
 * (0..360, across 180) works without asking which it is, and lines reach the frame's edge. */
#include "chart/graticule.h"

#include <glib.h>
#include <math.h>
#include <string.h>

#include "words/say.h"

enum { MESH = 64, NODES = MESH + 1 };

struct mesh {
  double lat_deg[NODES][NODES], lon_deg[NODES][NODES]; /* [row][column]; NAN: no answer */
};

static const struct isw_colour line_colour = {0.25, 0.28, 0.33};

static struct mesh *new_mesh(const struct isw_map_source *source,
                             const struct isw_map_frame *frame) {
  struct mesh *mesh = g_new(struct mesh, 1);
  double middle_lat_deg, middle_lon_deg = 0;
  double col, row;
  const struct isw_box *box = &frame->box;
  isw_chart_find_cell(frame, box->x_mm + box->width_mm / 2, box->y_mm + box->height_mm / 2, &col,
                      &row);
  isw_climate_locate_cell(source->locator, col, row, &middle_lat_deg, &middle_lon_deg);
  for (int j = 0; j < NODES; j++)
    for (int i = 0; i < NODES; i++) {
      double lat_deg, lon_deg;
      isw_chart_find_cell(frame, box->x_mm + box->width_mm * i / MESH,
                          box->y_mm + box->height_mm * j / MESH, &col, &row);
      bool known = isw_climate_locate_cell(source->locator, col, row, &lat_deg, &lon_deg);
      mesh->lat_deg[j][i] = known ? lat_deg : (double)NAN;
      mesh->lon_deg[j][i] = known ? lon_deg : (double)NAN;
    }
  /* Longitudes go on from their left neighbour (the first column: from above), so that 180 is no
   * cliff and a grid of all 360 degrees keeps them all. */
  double last = middle_lon_deg;
  for (int j = 0; j < NODES; j++) {
    double left = last;
    for (int i = 0; i < NODES; i++) {
      if (isnan(mesh->lon_deg[j][i])) continue;
      left += remainder(mesh->lon_deg[j][i] - left, 360);
      mesh->lon_deg[j][i] = left;
      if (i == 0) last = left;
    }
  }
  return mesh;
}

static void find_range(double values[NODES][NODES], double *least, double *most) {
  *least = HUGE_VAL;
  *most = -HUGE_VAL;
  for (int j = 0; j < NODES; j++)
    for (int i = 0; i < NODES; i++)
      if (!isnan(values[j][i])) {
        *least = fmin(*least, values[j][i]);
        *most = fmax(*most, values[j][i]);
      }
}

double isw_chart_graticule_step(double span_deg, double parts) {
  static const double steps[] = {30, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01};
  double best = steps[0];
  for (size_t i = 0; i < G_N_ELEMENTS(steps); i++)
    if (fabs(log(span_deg / steps[i] / parts)) < fabs(log(span_deg / best / parts)))
      best = steps[i];
  return best;
}

const char *isw_chart_format_degrees(double value_deg, double step_deg, bool longitude,
                                     char out[ISW_DEGREES_SIZE]) {
  double value = longitude ? remainder(value_deg, 360) : value_deg;
  int decimals = step_deg >= 0.999 ? 0 : step_deg >= 0.0999 ? 1 : 2;
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  char format[8];
  g_snprintf(format, sizeof format, "%%.%df", decimals);
  g_ascii_formatd(number, sizeof number, format, fabs(value));
  bool on_axis = fabs(value) < step_deg / 100 || (longitude && fabs(value) > 180 - step_deg / 100);
  if (on_axis) {
    g_snprintf(out, ISW_DEGREES_SIZE, "%s°", number);
    return out;
  }
  enum isw_sentence sentence = longitude
                                   ? (value > 0 ? ISW_SAY_LONGITUDE_EAST : ISW_SAY_LONGITUDE_WEST)
                                   : (value > 0 ? ISW_SAY_LATITUDE_NORTH : ISW_SAY_LATITUDE_SOUTH);
  char *text = isw_words_say(sentence, number);
  g_strlcpy(out, text, ISW_DEGREES_SIZE);
  g_free(text);
  return out;
}

/* The line value = level inside one mesh cell, where it crosses. */
static void trace_cell(cairo_t *cr, const struct isw_box *box, double values[NODES][NODES], int j,
                       int i, double level) {
  double corner[4] = {values[j][i], values[j][i + 1], values[j + 1][i + 1], values[j + 1][i]};
  static const int dx[5] = {0, 1, 1, 0, 0}, dy[5] = {0, 0, 1, 1, 0};
  double least = HUGE_VAL, most = -HUGE_VAL;
  for (int k = 0; k < 4; k++) {
    if (isnan(corner[k])) return;
    least = fmin(least, corner[k]);
    most = fmax(most, corner[k]);
  }
  if (level < least || level > most || most - least > 90) return; /* > 90: a pole lies inside */
  double x[4], y[4];
  int n = 0;
  for (int k = 0; k < 4; k++) {
    double a = corner[k], b = corner[(k + 1) % 4];
    if ((a <= level) == (b <= level)) continue;
    double at = (level - a) / (b - a);
    x[n] = box->x_mm + box->width_mm * (i + dx[k] + at * (dx[k + 1] - dx[k])) / MESH;
    y[n] = box->y_mm + box->height_mm * (j + dy[k] + at * (dy[k + 1] - dy[k])) / MESH;
    n++;
  }
  for (int k = 0; k + 1 < n; k += 2) {
    cairo_move_to(cr, x[k], y[k]);
    cairo_line_to(cr, x[k + 1], y[k + 1]);
  }
}

static void draw_lines(struct isw_pen *pen, const struct isw_box *box, double values[NODES][NODES],
                       double step) {
  double least, most;
  find_range(values, &least, &most);
  for (double level = ceil(least / step) * step; level <= most; level += step)
    for (int j = 0; j < MESH; j++)
      for (int i = 0; i < MESH; i++) trace_cell(pen->cr, box, values, j, i, level);
  cairo_set_line_cap(pen->cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_line_width(pen->cr, 0.09 * pen->scale);
  isw_chart_set_colour(pen, line_colour, 0.5);
  cairo_stroke(pen->cr);
}

/* One edge of the frame: value at its nodes; labels where a level is passed. */
struct edge {
  double x_mm, y_mm, dx_mm, dy_mm; /* start, and whole length */
  double out_x, out_y;             /* unit vector away from the map */
  bool longitude, labelled;
};

static void draw_edge(struct isw_pen *pen, const struct edge *edge, const double values[NODES],
                      double step) {
  struct isw_text style = {.size_mm = 2.35, .ink = {0.2, 0.2, 0.22}};
  double last_end = -HUGE_VAL;
  double tick = 1.0 * pen->scale;
  for (int i = 0; i < MESH; i++) {
    double a = values[i], b = values[i + 1];
    if (isnan(a) || isnan(b) || fabs(b - a) > 90) continue;
    double from = fmin(a, b), to = fmax(a, b);
    for (double level = ceil(from / step) * step; level <= to; level += step) {
      if (level == b && i + 1 < MESH) continue; /* the next piece has it */
      double at = a == b ? 0 : (level - a) / (b - a);
      double x = edge->x_mm + edge->dx_mm * (i + at) / MESH;
      double y = edge->y_mm + edge->dy_mm * (i + at) / MESH;
      cairo_move_to(pen->cr, x, y);
      cairo_rel_line_to(pen->cr, tick * edge->out_x, tick * edge->out_y);
      cairo_set_line_width(pen->cr, 0.15 * pen->scale);
      isw_chart_set_colour(pen, line_colour, 1);
      cairo_stroke(pen->cr);
      if (!edge->labelled) continue;
      char text[ISW_DEGREES_SIZE];
      isw_chart_format_degrees(level, step, edge->longitude, text);
      struct isw_extent extent = isw_chart_measure_text(pen, &style, text);
      double along = edge->longitude ? x : y;
      double half = (edge->longitude ? extent.width_mm : extent.height_mm) / 2;
      if (along - half < last_end) continue;
      last_end = along + half + 1.5 * pen->scale;
      style.across = edge->longitude ? 0.5 : 1;
      style.height = edge->longitude ? ISW_TEXT_TOP : ISW_TEXT_MIDDLE;
      isw_chart_draw_text(pen, &style, x + 1.6 * pen->scale * edge->out_x,
                          y + 1.2 * pen->scale * edge->out_y, text);
    }
  }
}

static void draw_edges(struct isw_pen *pen, const struct isw_box *box, struct mesh *mesh,
                       double lat_step, double lon_step) {
  double left[NODES], right[NODES];
  for (int j = 0; j < NODES; j++) {
    left[j] = mesh->lat_deg[j][0];
    right[j] = mesh->lat_deg[j][MESH];
  }
  double end_x = box->x_mm + box->width_mm, end_y = box->y_mm + box->height_mm;
  struct edge west = {box->x_mm, box->y_mm, 0, box->height_mm, -1, 0, false, true};
  struct edge east = {end_x, box->y_mm, 0, box->height_mm, 1, 0, false, false};
  struct edge north = {box->x_mm, box->y_mm, box->width_mm, 0, 0, -1, true, false};
  struct edge south = {box->x_mm, end_y, box->width_mm, 0, 0, 1, true, true};
  draw_edge(pen, &west, left, lat_step);
  draw_edge(pen, &east, right, lat_step);
  draw_edge(pen, &north, mesh->lon_deg[0], lon_step);
  draw_edge(pen, &south, mesh->lon_deg[MESH], lon_step);
}

void isw_chart_draw_graticule(struct isw_pen *pen, const struct isw_map_source *source,
                              const struct isw_map_frame *frame) {
  struct mesh *mesh = new_mesh(source, frame);
  const struct isw_box *box = &frame->box;
  double south, north, west, east;
  find_range(mesh->lat_deg, &south, &north);
  find_range(mesh->lon_deg, &west, &east);
  if (north > south && east > west) {
    double part_mm = 42 * pen->scale;
    double lat_step = isw_chart_graticule_step(north - south, fmax(box->height_mm / part_mm, 2));
    double lon_step = isw_chart_graticule_step(east - west, fmax(box->width_mm / part_mm, 2));
    cairo_save(pen->cr);
    isw_chart_clip_box(pen, *box);
    draw_lines(pen, box, mesh->lat_deg, lat_step);
    draw_lines(pen, box, mesh->lon_deg, lon_step);
    cairo_restore(pen->cr);
    draw_edges(pen, box, mesh, lat_step, lon_step);
  }
  g_free(mesh);
}
