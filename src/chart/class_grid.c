/* DESIGN: every fill becomes a small tile of pixels; a page pixel takes
 * tile[y mod size][x mod size] of its sample's class. Two tables say which sample a pixel column
 * and row belong to, so a page costs one pass whatever the classes look like. */
#include "chart/class_grid.h"

#include <glib.h>
#include <math.h>

#include "chart/hill_shade.h"

static const uint32_t coast_colour = 0x4A4F57, edge_colour = 0x8C8C8C;
static const double coast_mm = 0.16, edge_mm = 0.08;

struct isw_class_grid isw_chart_new_class_grid(const struct isw_map_frame *frame,
                                               double pixels_per_mm) {
  struct isw_class_grid grid = {.shade = NULL};
  grid.width = MIN(frame->window.cols, (int)lround(frame->box.width_mm * pixels_per_mm));
  grid.height = MIN(frame->window.rows, (int)lround(frame->box.height_mm * pixels_per_mm));
  grid.classes = g_new(uint8_t, (gsize)grid.width * (gsize)grid.height);
  return grid;
}

void isw_chart_free_class_grid(struct isw_class_grid *grid) {
  g_clear_pointer(&grid->classes, g_free);
  g_clear_pointer(&grid->shade, g_free);
}

/* The pixels of a frame on a surface. */
struct canvas {
  unsigned char *data;
  int stride, surface_width, surface_height;
  int x, y, width, height; /* of the frame */
};

static uint32_t *canvas_row(const struct canvas *canvas, int y) {
  return (void *)(canvas->data + (ptrdiff_t)y * canvas->stride);
}

static struct canvas find_canvas(cairo_surface_t *surface, double pixels_per_mm,
                                 const struct isw_map_frame *frame) {
  struct canvas canvas = {.data = cairo_image_surface_get_data(surface),
                          .stride = cairo_image_surface_get_stride(surface),
                          .surface_width = cairo_image_surface_get_width(surface),
                          .surface_height = cairo_image_surface_get_height(surface),
                          .x = (int)lround(frame->box.x_mm * pixels_per_mm),
                          .y = (int)lround(frame->box.y_mm * pixels_per_mm),
                          .width = (int)lround(frame->box.width_mm * pixels_per_mm),
                          .height = (int)lround(frame->box.height_mm * pixels_per_mm)};
  canvas.width = MIN(canvas.width, canvas.surface_width - canvas.x);
  canvas.height = MIN(canvas.height, canvas.surface_height - canvas.y);
  return canvas;
}

/* sample[i] of pixel i */
static int *sample_table(int pixels, int samples, bool reversed) {
  int *table = g_new(int, (gsize)MAX(pixels, 1));
  for (int i = 0; i < pixels; i++) {
    int sample = (int)(((double)i + 0.5) * samples / pixels);
    table[i] = CLAMP(reversed ? samples - 1 - sample : sample, 0, samples - 1);
  }
  return table;
}

/* The colour of an edge between two neighbours, or 0. */
static uint32_t edge_between(int a, int b, int edged) {
  if (a == b) return 0;
  if (a == ISW_CLASS_NONE || b == ISW_CLASS_NONE) return coast_colour;
  return a == edged || b == edged ? edge_colour : 0;
}

static void fill_pixels(const struct canvas *canvas, int x, int y, int width, int height,
                        uint32_t colour) {
  for (int j = MAX(y, 0); j < MIN(y + height, canvas->height); j++) {
    uint32_t *row = canvas_row(canvas, canvas->y + j) + canvas->x;
    for (int i = MAX(x, 0); i < MIN(x + width, canvas->width); i++) row[i] = colour;
  }
}

static void draw_edges(const struct canvas *canvas, const struct isw_class_grid *grid,
                       const int *columns, const int *rows, double pixels_per_mm, int edged) {
  int thick = MAX((int)lround(coast_mm * pixels_per_mm), 1);
  int thin = MAX((int)lround(edge_mm * pixels_per_mm), 1);
  /* Weak edges first, so that the coast lies on top of them. */
  for (int coast = 0; coast < 2; coast++)
    for (int y = 0; y < canvas->height; y++) {
      const uint8_t *line = grid->classes + (size_t)rows[y] * (size_t)grid->width;
      const uint8_t *above = y > 0 && rows[y - 1] != rows[y]
                                 ? grid->classes + (size_t)rows[y - 1] * (size_t)grid->width
                                 : NULL;
      for (int x = 0; x < canvas->width; x++) {
        if (x > 0 && columns[x] != columns[x - 1]) {
          uint32_t colour = edge_between(line[columns[x]], line[columns[x - 1]], edged);
          int width = coast ? thick : thin;
          if (colour != 0 && (colour == coast_colour) == coast)
            fill_pixels(canvas, x - width / 2, y, width, 1, colour);
        }
        if (above != NULL) {
          uint32_t colour = edge_between(line[columns[x]], above[columns[x]], edged);
          int width = coast ? thick : thin;
          if (colour != 0 && (colour == coast_colour) == coast)
            fill_pixels(canvas, x, y - width / 2, 1, width, colour);
        }
      }
    }
}

void isw_chart_paint_classes(cairo_surface_t *surface, double pixels_per_mm,
                             const struct isw_map_frame *frame, const struct isw_class_grid *grid,
                             int n_fills, const struct isw_fill *fills, int edged) {
  cairo_surface_flush(surface);
  struct canvas canvas = find_canvas(surface, pixels_per_mm, frame);
  uint32_t **tiles = g_new0(uint32_t *, ISW_CLASS_NONE + 1);
  int *sizes = g_new0(int, ISW_CLASS_NONE + 1);
  for (int i = 0; i < MIN(n_fills, ISW_CLASSES_MAX); i++)
    tiles[i] = isw_chart_make_tile(&fills[i], pixels_per_mm, &sizes[i]);
  int *columns = sample_table(canvas.width, grid->width, frame->mirrored);
  int *rows = sample_table(canvas.height, grid->height, frame->upside_down);
  for (int y = 0; y < canvas.height; y++) {
    const uint8_t *line = grid->classes + (size_t)rows[y] * (size_t)grid->width;
    const uint8_t *shades =
        grid->shade != NULL ? grid->shade + (size_t)rows[y] * (size_t)grid->width : NULL;
    uint32_t *to = canvas_row(&canvas, canvas.y + y) + canvas.x;
    int x = 0;
    while (x < canvas.width) {
      int class = line[columns[x]], start = x;
      while (x < canvas.width && line[columns[x]] == class) x++;
      const uint32_t *tile = tiles[class];
      if (tile == NULL) continue;
      int size = sizes[class];
      const uint32_t *tile_row = tile + (y % size) * size;
      int at = start % size;
      for (int i = start; i < x; i++) {
        to[i] = shades == NULL ? tile_row[at]
                               : isw_chart_shade_colour(tile_row[at], shades[columns[i]]);
        at = at + 1 == size ? 0 : at + 1;
      }
    }
  }
  draw_edges(&canvas, grid, columns, rows, pixels_per_mm, edged);
  cairo_surface_mark_dirty(surface);
  g_free(columns);
  g_free(rows);
  for (int i = 0; i <= ISW_CLASS_NONE; i++) g_free(tiles[i]);
  g_free(tiles);
  g_free(sizes);
}
