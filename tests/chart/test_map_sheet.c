/* Map sheets end to end: made from small rasters, decoded by libpng, looked at by pixels, chunks
 * and words. Pixels are compared with the palette, dates with the calendar, lengths with PROJ's
 * definitions; see each test. */
#include <check.h>
#include <cpl_conv.h>
#include <gdal.h>
#include <glib.h>
#include <math.h>
#include <ogr_srs_api.h>
#include <png.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "chart/graticule.h"
#include "chart/hill_shade.h"
#include "chart/isolines.h"
#include "chart/legend.h"
#include "chart/map_frame.h"
#include "chart/map_layout.h"
#include "chart/map_sheet.h"
#include "chart/map_theme.h"
#include "chart/map_words.h"
#include "chart/named_places.h"
#include "chart/palette.h"
#include "chart/scale_bar.h"
#include "suite_main.h"
#include "survey/cell_bands.h"
#include "words/shares.h"

/* ---- rasters ------------------------------------------------------------------------------- */

struct sample {
  bool valid;
  int sow_doy, window_days, score, pick;
};
typedef struct sample (*sampler)(int col, int row);

enum { COLS = 60, ROWS = 45 };

struct place {
  const char *crs;
  double transform[6];
};
static const struct place utm = {"EPSG:32606", {480000, 1000, 0, 5100000, 0, -1000}};
static const struct place across_180 = {"EPSG:4326", {178.5, 0.05, 0, -30, 0, -0.05}};
static const struct place plain = {"EPSG:4326", {-109, 0.1, 0, 41, 0, -0.1}};
/* Rows from south to north, as some formats have them. */
static const struct place northward = {"EPSG:4326", {-109, 0.1, 0, 36.5, 0, 0.1}};

static char *raster_path(const char *name) {
  return g_strdup_printf("%s/map_sheet_%d_%s.tif", TEST_BINARY_DIR, (int)getpid(), name);
}

static GDALDatasetH create(const char *path, const struct place *place, int bands,
                           GDALDataType type) {
  OGRSpatialReferenceH reference = OSRNewSpatialReference(NULL);
  ck_assert_int_eq(OSRSetFromUserInput(reference, place->crs), OGRERR_NONE);
  char *wkt = NULL;
  OSRExportToWkt(reference, &wkt);
  GDALDatasetH dataset =
      GDALCreate(GDALGetDriverByName("GTiff"), path, COLS, ROWS, bands, type, NULL);
  ck_assert_ptr_nonnull(dataset);
  double transform[6];
  memcpy(transform, place->transform, sizeof transform);
  GDALSetGeoTransform(dataset, transform);
  GDALSetProjection(dataset, wkt);
  CPLFree(wkt);
  OSRDestroySpatialReference(reference);
  return dataset;
}

/* A raster of results, and the tally that goes with it (every cell 1 km2). */
static char *make_results(const char *name, const struct place *place, sampler sample,
                          struct isw_result_tally *tally) {
  GDALAllRegister();
  char *path = raster_path(name);
  GDALDatasetH dataset = create(path, place, ISW_CELL_BANDS, GDT_Int16);
  static int16_t bands[ISW_CELL_BANDS][ROWS][COLS];
  *tally = (struct isw_result_tally){0};
  for (int row = 0; row < ROWS; row++)
    for (int col = 0; col < COLS; col++) {
      struct sample s = sample(col, row);
      for (int b = 0; b < ISW_CELL_BANDS; b++) bands[b][row][col] = s.valid ? 0 : ISW_BANDS_NODATA;
      if (!s.valid) continue;
      bands[ISW_BAND_SCORE][row][col] = (int16_t)s.score;
      bands[ISW_BAND_BEST_SOW][row][col] = (int16_t)s.sow_doy;
      bands[ISW_BAND_WINDOW_DAYS][row][col] = (int16_t)s.window_days;
      tally->score_m2[isw_survey_score_class(s.score)] += 1e6;
      if (s.window_days > 0) {
        tally->period_m2[isw_base_ten_day_period(s.sow_doy - 1)] += 1e6;
        tally->edge_m2[0] += 1e6;
        tally->cells_with_window++;
      } else {
        tally->no_window_m2 += 1e6;
      }
    }
  for (int b = 0; b < ISW_CELL_BANDS; b++)
    ck_assert_int_eq(GDALRasterIO(GDALGetRasterBand(dataset, b + 1), GF_Write, 0, 0, COLS, ROWS,
                                  bands[b], COLS, ROWS, GDT_Int16, 0, 0),
                     CE_None);
  GDALClose(dataset);
  return path;
}

static bool on_island(int col, int row) {
  return hypot((col - COLS / 2.0) / 24, (row - ROWS / 2.0) / 18) < 1;
}

static struct sample island(int col, int row) {
  bool valid = on_island(col, row);
  return (struct sample){valid, 213 + row, row < 10 ? 0 : 20, row < 10 ? 40 : 60 + row, 1};
}

/* West to east from 15 December to 13 February. */
static struct sample new_year(int col, int row) {
  (void)row;
  return (struct sample){true, isw_base_wrap_day(348 + col) + 1, 30, 80, 1};
}

static struct sample windowless(int col, int row) {
  return (struct sample){on_island(col, row), 230, 0, 45, 0};
}

static struct sample halves(int col, int row) {
  (void)col;
  return (struct sample){true, row < ROWS / 2 ? 105 : 288, 20, row < ROWS / 2 ? 90 : 30, 1};
}

static char autumn_title[] = "autumn", winter_title[] = "winter", all_title[] = "all";
static const struct isw_season autumn = {.name = "autumn",
                                         .title = autumn_title,
                                         .sow_from_day = 196,
                                         .sow_to_day = 364}; /* 16 July to 31 December */
static const struct isw_season winter = {.name = "winter",
                                         .title = winter_title,
                                         .sow_from_day = 304,
                                         .sow_to_day = 58}; /* 1 November to 28 February */
static char late_title[] = "Late storage type";
static const struct isw_variety late = {.title = late_title};

static struct isw_map_page small_page(void) {
  return (struct isw_map_page){.width_mm = 120,
                               .height_mm = 85,
                               .dpi = 150,
                               .crop_title = "Heading Chinese cabbage",
                               .source_line = "Normals, period not stated, from tmin.tif",
                               .software = "isosow 0.1.0"};
}

/* ---- pictures ------------------------------------------------------------------------------ */

struct picture {
  int width, height;
  double per_metre;
  int srgb_intent; /* -1: no sRGB chunk */
  char *title, *description, *software, *source;
  png_bytep *rows; /* RGB */
};

static struct picture decode(const char *path) {
  struct picture picture = {.srgb_intent = -1};
  FILE *file = fopen(path, "rb");
  ck_assert_msg(file != NULL, "no %s", path);
  png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, NULL, NULL, NULL);
  png_infop info = png_create_info_struct(png);
  if (setjmp(png_jmpbuf(png))) ck_abort_msg("libpng refuses %s", path);
  png_init_io(png, file);
  png_read_png(png, info, PNG_TRANSFORM_IDENTITY, NULL);
  picture.width = (int)png_get_image_width(png, info);
  picture.height = (int)png_get_image_height(png, info);
  ck_assert_int_eq(png_get_color_type(png, info), PNG_COLOR_TYPE_RGB);
  ck_assert_uint_eq(png_get_x_pixels_per_meter(png, info), png_get_y_pixels_per_meter(png, info));
  picture.per_metre = png_get_x_pixels_per_meter(png, info);
  int intent;
  if (png_get_sRGB(png, info, &intent) != 0) picture.srgb_intent = intent;
  png_textp texts;
  int n = 0;
  png_get_text(png, info, &texts, &n);
  for (int i = 0; i < n; i++) {
    ck_assert_int_eq(texts[i].compression, PNG_ITXT_COMPRESSION_NONE);
    char **to = strcmp(texts[i].key, "Title") == 0         ? &picture.title
                : strcmp(texts[i].key, "Description") == 0 ? &picture.description
                : strcmp(texts[i].key, "Software") == 0    ? &picture.software
                : strcmp(texts[i].key, "Source") == 0      ? &picture.source
                                                           : NULL;
    ck_assert_ptr_nonnull(to);
    *to = g_strdup(texts[i].text);
  }
  png_bytep *rows = png_get_rows(png, info);
  picture.rows = g_new(png_bytep, (gsize)picture.height);
  for (int y = 0; y < picture.height; y++)
    picture.rows[y] = g_memdup2(rows[y], 3 * (gsize)picture.width);
  png_destroy_read_struct(&png, &info, NULL);
  fclose(file);
  return picture;
}

static void drop(struct picture *picture) {
  for (int y = 0; y < picture->height; y++) g_free(picture->rows[y]);
  g_free(picture->rows);
  g_free(picture->title);
  g_free(picture->description);
  g_free(picture->software);
  g_free(picture->source);
}

static uint32_t pixel(const struct picture *picture, int x, int y) {
  const png_byte *p = picture->rows[y] + 3 * x;
  return (uint32_t)p[0] << 16 | (uint32_t)p[1] << 8 | p[2];
}

static long count_colour(const struct picture *picture, struct isw_colour colour) {
  uint32_t hex = isw_chart_hex_of_colour(colour);
  long n = 0;
  for (int y = 0; y < picture->height; y++)
    for (int x = 0; x < picture->width; x++) n += pixel(picture, x, y) == hex;
  return n;
}

/* Draw, check that it worked, decode, remove both files. */
static struct picture draw_sowing(const char *name, const struct place *place, sampler sample,
                                  const struct isw_map_page *page,
                                  const struct isw_season *season) {
  struct isw_result_tally tally;
  char *raster = make_results(name, place, sample, &tally);
  char *png = g_strconcat(raster, ".png", NULL);
  struct isw_error error = {0};
  enum isw_status status =
      isw_chart_draw_sowing_map(page, raster, &late, season, &tally, png, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  struct picture picture = decode(png);
  remove(raster);
  remove(png);
  g_free(raster);
  g_free(png);
  return picture;
}

/* PNG specification (W3C, third edition), sections 11.3.2.5 sRGB, 11.3.3 text, 11.3.4.3 pHYs. */
START_TEST(picture_says_what_it_is) {
  struct isw_map_page page = small_page();
  page.region_title = "Östra Holm";
  struct picture picture = draw_sowing("chunks", &utm, island, &page, &autumn);
  ck_assert_int_eq(picture.width, 709); /* 120 / 25.4 * 150 */
  ck_assert_int_eq(picture.height, 502);
  ck_assert_double_eq_tol(picture.per_metre * 0.0254, 150, 0.02);
  ck_assert_int_eq(picture.srgb_intent, PNG_sRGB_INTENT_PERCEPTUAL);
  ck_assert_str_eq(picture.title,
                   "Heading Chinese cabbage, Late storage type: when to sow in autumn");
  ck_assert_str_eq(picture.software, "isosow 0.1.0");
  ck_assert_str_eq(picture.source, "Normals, period not stated, from tmin.tif");
  ck_assert(g_str_has_prefix(picture.description, "Östra Holm. Map of the best day to sow "));
  ck_assert_ptr_nonnull(strstr(picture.description, "has no sowing window"));
  drop(&picture);
}
END_TEST

/* The picture shows each class in proportion to its cells: counted pixels against counted cells. */
START_TEST(areas_on_paper_are_the_tally) {
  struct isw_map_page page = small_page();
  page.dpi = 300;
  struct picture picture = draw_sowing("areas", &utm, island, &page, &autumn);
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  /* Rows 11-20 are 12 to 21 August: wide bands, of which lines and labels hide a little. */
  long mid_aug = count_colour(&picture, colours[22]),
       late_aug = count_colour(&picture, colours[23]);
  long mid_cells = 0, late_cells = 0;
  for (int row = 0; row < ROWS; row++)
    for (int col = 0; col < COLS; col++) {
      if (!on_island(col, row) || row < 10) continue;
      int period = isw_base_ten_day_period(212 + row);
      mid_cells += period == 22;
      late_cells += period == 23;
    }
  ck_assert_msg(mid_aug > 1000 && late_aug > 1000, "%ld and %ld pixels", mid_aug, late_aug);
  double seen = (double)mid_aug / (double)late_aug, meant = (double)mid_cells / (double)late_cells;
  ck_assert_msg(fabs(seen / meant - 1) < 0.2, "seen %.2f, meant %.2f", seen, meant);
  drop(&picture);
}
END_TEST

/* Without any window the map has no colour at all: every pixel is grey within 12 of 255 (coast and
 * text inks are bluish greys). */
START_TEST(no_window_anywhere_reads_so) {
  struct isw_map_page page = small_page();
  struct picture picture = draw_sowing("windowless", &utm, windowless, &page, &autumn);
  long hatch = 0;
  for (int y = 0; y < picture.height; y++)
    for (int x = 0; x < picture.width; x++) {
      const png_byte *p = picture.rows[y] + 3 * x;
      int most = MAX(p[0], MAX(p[1], p[2])), least = MIN(p[0], MIN(p[1], p[2]));
      ck_assert_msg(most - least <= 16, "colour %06X at %d, %d", pixel(&picture, x, y), x, y);
      hatch += most < 0xE6 && least > 0xA0;
    }
  ck_assert_msg(hatch > 3000, "only %ld hatched pixels", hatch);
  ck_assert_ptr_nonnull(strstr(picture.description, "no sowing window anywhere"));
  drop(&picture);
}
END_TEST

/* North is up whether rows run south or north: the northern half holds 15 April. */
START_TEST(north_is_up) {
  struct isw_map_page page = small_page();
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  uint32_t april = isw_chart_hex_of_colour(colours[10]);
  uint32_t october = isw_chart_hex_of_colour(colours[28]);
  struct picture picture =
      draw_sowing("north", _i == 0 ? &plain : &northward, halves, &page,
                  &(struct isw_season){.name = "all", .title = all_title, .sow_to_day = 364});
  long april_y = 0, october_y = 0, n_april = 0, n_october = 0;
  /* Left two thirds: the map, not the legend. */
  for (int y = 0; y < picture.height; y++)
    for (int x = 0; x < picture.width * 2 / 3; x++) {
      if (pixel(&picture, x, y) == april) april_y += y, n_april++;
      if (pixel(&picture, x, y) == october) october_y += y, n_october++;
    }
  ck_assert(n_april > 1000 && n_october > 1000);
  bool april_above = april_y / n_april < october_y / n_october;
  ck_assert_int_eq(april_above, _i == 0);
  drop(&picture);
}
END_TEST

START_TEST(every_page_size_is_drawn) {
  static const double sizes[][3] = {{297, 210, 40}, {210, 297, 40}, {60, 45, 100},
                                    {90, 250, 60},  {30, 20, 100},  {1189, 841, 15}};
  struct isw_map_page page = small_page();
  page.width_mm = sizes[_i][0];
  page.height_mm = sizes[_i][1];
  page.dpi = sizes[_i][2];
  struct picture picture = draw_sowing("sizes", &utm, island, &page, &autumn);
  ck_assert_int_eq(picture.width, (int)round(sizes[_i][0] / 25.4 * sizes[_i][2]));
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  /* Nothing but paper at the very edge: no text is cut. */
  for (int x = 0; x < picture.width; x++) {
    ck_assert_uint_eq(pixel(&picture, x, 0), 0xFFFFFF);
    ck_assert_uint_eq(pixel(&picture, x, picture.height - 1), 0xFFFFFF);
  }
  for (int y = 0; y < picture.height; y++) {
    ck_assert_uint_eq(pixel(&picture, 0, y), 0xFFFFFF);
    ck_assert_uint_eq(pixel(&picture, picture.width - 1, y), 0xFFFFFF);
  }
  drop(&picture);
}
END_TEST

/* ---- words --------------------------------------------------------------------------------- */

START_TEST(words_follow_the_season_across_new_year) {
  struct isw_map_page page = small_page();
  struct isw_result_tally tally = {0};
  tally.period_m2[35] = 30; /* late December */
  tally.period_m2[0] = 50;  /* early January */
  tally.period_m2[1] = 10;
  tally.no_window_m2 = 10;
  struct isw_map_words words;
  isw_chart_word_sowing_map(&page, &late, &winter, &tally, &words);
  ck_assert_ptr_nonnull(
      strstr(words.description, "Most often it is early Jan (50\u00a0% of the area)"));
  ck_assert_ptr_nonnull(strstr(words.description, "dates from late Dec to mid Jan"));
  ck_assert_ptr_nonnull(strstr(words.description, "10\u00a0% has no sowing window"));
  ck_assert_ptr_nonnull(strstr(words.subtitle, "1 November to 28 February"));
  isw_chart_clear_words(&words);
}
END_TEST

/* Method, equation 14: 182 days are added in the south; 16 July becomes 14 January. */
START_TEST(words_of_the_south) {
  struct isw_map_page page = small_page();
  page.south = true;
  struct isw_result_tally tally = {0};
  tally.period_m2[1] = 75;
  tally.period_m2[3] = 25;
  struct isw_map_words words;
  isw_chart_word_sowing_map(&page, &late, &autumn, &tally, &words);
  ck_assert_ptr_nonnull(strstr(words.subtitle, "14 January to 1 July"));
  ck_assert_ptr_nonnull(strstr(words.description, "dates from mid Jan to early Feb"));
  ck_assert_ptr_nonnull(strstr(words.heading, "everywhere"));
  isw_chart_clear_words(&words);
  struct picture picture = draw_sowing("south", &across_180, new_year, &page, &autumn);
  drop(&picture);
}
END_TEST

/* Both sides of the equator read their own dates, 182 days apart. */
START_TEST(words_across_the_equator) {
  static const struct {
    long long south, valid;
    const char *dates;
  } rows[] = {{0, 9, "looked at: 16 July to 31 December."},
              {9, 9, "looked at: 14 January to 1 July."},
              {1, 9,
               "looked at: 16 July to 31 December north of the equator, 14 January to 1 July south "
               "of it."},
              {8, 9,
               "looked at: 16 July to 31 December north of the equator, 14 January to 1 July south "
               "of it."}};
  for (size_t i = 0; i < G_N_ELEMENTS(rows); i++) {
    struct isw_map_page page = small_page();
    isw_chart_set_hemispheres(&page, rows[i].south, rows[i].valid);
    struct isw_result_tally tally = {.no_window_m2 = 1};
    struct isw_map_words words;
    isw_chart_word_sowing_map(&page, &late, &autumn, &tally, &words);
    ck_assert_msg(strstr(words.subtitle, rows[i].dates) != NULL, "%s", words.subtitle);
    isw_chart_clear_words(&words);
    isw_chart_word_score_map(&page, &late, &autumn, &tally, &words);
    ck_assert_msg(strstr(words.subtitle, rows[i].dates) != NULL, "%s", words.subtitle);
    isw_chart_clear_words(&words);
  }
}
END_TEST

/* The same share is the same number in the legend, the heading and the alt text. */
START_TEST(legend_and_sentence_say_the_same_share) {
  /* 56.5\u00a0% and 26.5\u00a0% are ties that printf rounds to even, and largest remainders may
   * round down.
   */
  struct isw_map_page page = small_page();
  struct isw_result_tally tally = {.no_window_m2 = 26.5};
  tally.period_m2[22] = 56.5;
  tally.period_m2[23] = 17;
  struct isw_map_words words;
  isw_chart_word_sowing_map(&page, &late, &autumn, &tally, &words);
  char text[ISW_SHARE_SIZE];
  ck_assert_str_eq(isw_words_format_share(56.5, 100, text), "57\u202f%");
  ck_assert_str_eq(isw_words_format_share(26.5, 100, text), "27\u202f%");
  ck_assert_ptr_nonnull(strstr(words.description, "mid Aug (57\u00a0% of the area)"));
  ck_assert_ptr_nonnull(strstr(words.description, "27\u00a0% has no sowing window"));
  ck_assert_ptr_nonnull(strstr(words.heading, "74\u00a0% of the area"));
  isw_chart_clear_words(&words);
  ck_assert_str_eq(isw_words_format_share(0.4, 100, text), "<1\u202f%");
  ck_assert_str_eq(isw_words_format_share(99.7, 100, text), ">99\u202f%");
  ck_assert_str_eq(isw_words_format_share(0, 100, text), "0\u202f%");
  ck_assert_str_eq(isw_words_word_share(0.4, 100, text), "less than 1\u00a0%");
  ck_assert_str_eq(isw_words_word_share(99.7, 100, text), "more than 99\u00a0%");
  ck_assert_str_eq(isw_words_word_share(0, 100, text), "none");
}
END_TEST

/* ---- lines and measures -------------------------------------------------------------------- */

START_TEST(levels_are_the_periods_first_days) {
  int after[ISW_TEN_DAY_PERIODS];
  int n = isw_chart_isoline_levels(304, after); /* from 1 November */
  ck_assert_int_eq(n, 35);
  ck_assert_int_eq(after[0], 10); /* 11 November */
  ck_assert_int_eq(after[5], 61); /* 1 January: 30 + 31 days on */
  for (int i = 1; i < n; i++)
    ck_assert(after[i] - after[i - 1] >= 8 && after[i] - after[i - 1] <= 11);
}
END_TEST

/* A surface that gains a day per column has its lines where arithmetic says: 21 December, 1 and 11
 * January lie 6, 17 and 27 columns from 15 December. */
START_TEST(lines_cross_new_year_in_place) {
  enum { W = 60, H = 45 };
  static int16_t after[W * H];
  for (int i = 0; i < W * H; i++) after[i] = (int16_t)(44 + i % W); /* from 1 November */
  struct isw_map_frame frame = {.box = {20, 30, 180, 135}, .window = {0, 0, W, H}};
  struct isw_day_surface surface = {W, H, after, 304, 3};
  GPtrArray *lines;
  struct isw_error error;
  GDALAllRegister();
  ck_assert_int_eq(isw_chart_make_isolines(&frame, &surface, 1, &lines, &error), ISW_OK);
  ck_assert_uint_eq(lines->len, 6); /* 21 Dec, 1, 11, 21 Jan, 1, 11 Feb */
  static const struct {
    int day;
    double columns;
  } expected[] = {{354, 6}, {0, 17}, {10, 27}, {20, 37}, {31, 48}, {41, 58}};
  for (guint i = 0; i < lines->len; i++) {
    const struct isw_isoline *line = g_ptr_array_index(lines, i);
    bool known = false;
    for (size_t k = 0; k < G_N_ELEMENTS(expected); k++) {
      if (expected[k].day != line->day) continue;
      known = true;
      ck_assert_int_eq(line->new_month, line->day == 0 || line->day == 31);
      const struct isw_point *p =
          &g_array_index(line->points, struct isw_point, line->points->len / 2);
      /* Smoothing bends the outermost line towards the edge. */
      double tolerance = expected[k].columns > 55 ? 3 : 0.5;
      ck_assert_double_eq_tol(p->x_mm, 20 + 3 * expected[k].columns, tolerance);
    }
    ck_assert_msg(known, "a line for day %d", line->day);
  }
  g_ptr_array_unref(lines);
}
END_TEST

START_TEST(lines_stay_in_windows_and_off_cliffs) {
  enum { W = 100, H = 80 };
  static int16_t after[W * H];
  for (int i = 0; i < W * H; i++) {
    int col = i % W, row = i / W;
    /* North: rises gently, no window in a block; south: two plateaus with a cliff of 100 days. */
    after[i] = (int16_t)(row < 40 ? (col > 40 && col < 60 ? -1 : col) : (col < 50 ? 5 : 105));
  }
  struct isw_map_frame frame = {.box = {0, 0, 200, 160}, .window = {0, 0, W, H}};
  struct isw_day_surface surface = {W, H, after, 0, 2};
  GPtrArray *lines;
  struct isw_error error;
  GDALAllRegister();
  ck_assert_int_eq(isw_chart_make_isolines(&frame, &surface, 1, &lines, &error), ISW_OK);
  ck_assert_uint_gt(lines->len, 3);
  for (guint i = 0; i < lines->len; i++) {
    const struct isw_isoline *line = g_ptr_array_index(lines, i);
    for (guint k = 0; k < line->points->len; k++) {
      const struct isw_point *p = &g_array_index(line->points, struct isw_point, k);
      ck_assert_msg(!(p->y_mm < 78 && p->x_mm > 84 && p->x_mm < 116), "a line without a window");
      ck_assert_msg(!(p->y_mm > 90 && fabs(p->x_mm - 100) < 10), "a line on a cliff at %g, %g",
                    p->x_mm, p->y_mm);
    }
  }
  g_ptr_array_unref(lines);
}
END_TEST

START_TEST(labels_never_overlap_or_leave) {
  struct isw_label_space space;
  isw_chart_init_label_space(&space, (struct isw_box){0, 0, 100, 100});
  struct isw_label_box flat = {50, 50, 10, 2, 0};
  ck_assert(isw_chart_take_label_space(&space, flat));
  ck_assert(!isw_chart_take_label_space(&space, flat));
  /* Turned by 45 degrees its end would touch; beside it, it would not. */
  ck_assert(!isw_chart_take_label_space(&space, (struct isw_label_box){50, 58, 10, 2, G_PI / 4}));
  ck_assert(isw_chart_take_label_space(&space, (struct isw_label_box){50, 64, 10, 2, G_PI / 4}));
  ck_assert(!isw_chart_take_label_space(&space, (struct isw_label_box){95, 20, 10, 2, 0}));
  ck_assert(!isw_chart_take_label_space(&space, (struct isw_label_box){50, 3, 10, 2, G_PI / 2}));
  isw_chart_clear_label_space(&space);
}
END_TEST

/* Names of places find room around their rings; what finds none stays a ring; districts' names and
 * labels that come later keep clear of both. */
START_TEST(names_of_places_keep_clear) {
  char *raster = make_results("towns", &utm, island, &(struct isw_result_tally){0});
  struct isw_map_source source;
  struct isw_error error = {0};
  ck_assert_int_eq(isw_chart_open_source(raster, "grid", 0, ISW_BANDS_NODATA, &source, &error),
                   ISW_OK);
  struct isw_map_frame frame = isw_chart_fit_frame(&source, (struct isw_box){0, 0, 180, 135}, 10);
  cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 10, 10);
  cairo_t *cr = cairo_create(surface);
  struct isw_pen pen;
  isw_chart_init_pen(&pen, cr, 1);
  /* Cells of 1 km are some 3 mm wide here: ten towns within 3 km, two at one place, one far off. */
  enum { CROWD = 10 };
  struct isw_named_place items[CROWD + 3];
  char name[] = "Little Reedwick";
  for (int i = 0; i < CROWD + 3; i++) {
    double col = i < CROWD ? 30 + 0.3 * i : 15, row = 22;
    items[i] = (struct isw_named_place){.name = name};
    if (i == CROWD + 2)
      items[i].lat_deg = 10, items[i].lon_deg = 10;
    else
      ck_assert(
          isw_climate_locate_cell(source.locator, col, row, &items[i].lat_deg, &items[i].lon_deg));
  }
  struct isw_place_list list = {CROWD + 3, items};
  struct isw_label_space space;
  isw_chart_init_label_space(&space, frame.box);
  GPtrArray *drawn = isw_chart_place_names(&pen, &source, &frame, &list, &space);
  guint named = 0;
  for (guint i = 0; i < drawn->len; i++)
    named += ((struct isw_drawn_place *)g_ptr_array_index(drawn, i))->named;
  ck_assert_msg(drawn->len < CROWD + 2 && drawn->len >= 3, "%u rings", drawn->len);
  ck_assert_msg(named >= 3 && named < drawn->len, "%u of %u named", named, drawn->len);
  ck_assert_uint_eq(space.taken->len, drawn->len + named);
  for (guint i = 0; i < drawn->len; i++) {
    const struct isw_drawn_place *place = g_ptr_array_index(drawn, i);
    struct isw_label_box on_it = {place->x_mm, place->y_mm, 1, 1, 0};
    ck_assert(!isw_chart_take_label_space(&space, on_it));
    on_it.x_mm = place->name_x_mm;
    on_it.y_mm = place->name_y_mm;
    if (place->named) ck_assert(!isw_chart_take_label_space(&space, on_it));
  }
  isw_chart_clear_label_space(&space);
  g_ptr_array_unref(drawn);
  isw_chart_clear_pen(&pen);
  cairo_destroy(cr);
  cairo_surface_destroy(surface);
  isw_chart_close_source(&source);
  remove(raster);
  g_free(raster);
}
END_TEST

/* A line shows itself on both sides of its label, or has none. */
START_TEST(no_label_on_a_stub) {
  cairo_surface_t *surface = cairo_image_surface_create(CAIRO_FORMAT_RGB24, 400, 400);
  cairo_t *cr = cairo_create(surface);
  struct isw_pen pen;
  isw_chart_init_pen(&pen, cr, 1);
  struct isw_text style = {.size_mm = 2.25};
  double width = isw_chart_measure_text(&pen, &style, "1 Aug").width_mm;
  for (int k = 0; k < 2; k++) {
    struct isw_isoline line = {.day = 212, .new_month = true, .length_mm = width + (k ? 14 : 10)};
    line.points = g_array_new(FALSE, FALSE, sizeof(struct isw_point));
    struct isw_point from = {100, 100}, to = {100 + line.length_mm, 100};
    g_array_append_val(line.points, from);
    g_array_append_val(line.points, to);
    GPtrArray *lines = g_ptr_array_new();
    g_ptr_array_add(lines, &line);
    struct isw_label_space space;
    isw_chart_init_label_space(&space, (struct isw_box){0, 0, 300, 300});
    isw_chart_draw_isolines(&pen, lines, &space);
    ck_assert_int_eq((int)space.taken->len, k);
    isw_chart_clear_label_space(&space);
    g_ptr_array_unref(lines);
    g_array_unref(line.points);
  }
  isw_chart_clear_pen(&pen);
  cairo_destroy(cr);
  cairo_surface_destroy(surface);
}
END_TEST

START_TEST(degrees_are_worded) {
  static const struct {
    double value, step;
    bool longitude;
    const char *text;
  } rows[] = {{-105, 5, true, "105° W"}, {255, 5, true, "105° W"},
              {180, 5, true, "180°"},    {-180, 5, true, "180°"},
              {181, 1, true, "179° W"},  {540, 5, true, "180°"},
              {0, 1, true, "0°"},        {360, 1, true, "0°"},
              {0, 1, false, "0°"},       {40.5, 0.5, false, "40.5° N"},
              {-33, 1, false, "33° S"},  {7.25, 0.05, true, "7.25° E"}};
  char text[ISW_DEGREES_SIZE];
  for (size_t i = 0; i < G_N_ELEMENTS(rows); i++)
    ck_assert_str_eq(isw_chart_format_degrees(rows[i].value, rows[i].step, rows[i].longitude, text),
                     rows[i].text);
  ck_assert_double_eq(isw_chart_graticule_step(360, 6), 30);
  ck_assert_double_eq(isw_chart_graticule_step(8.5, 5), 2);
  ck_assert_double_eq(isw_chart_graticule_step(0.3, 5), 0.05);
}
END_TEST

/* UTM keeps the scale 0.9996 at the central meridian and within 0.1 % near it (EPSG method 9807;
 * zone 6 is centred on 147 W, easting 500 km): 1 km cells drawn 2 mm wide are 500 m per mm. On
 * latitude and longitude from 36.5 to 41 degrees north the east-west scale varies by
 * 1 - cos 41 / cos 36.5 = 6 %: no bar is true. */
START_TEST(scale_bar_only_where_it_is_true) {
  struct isw_result_tally tally;
  struct isw_error error;
  for (int k = 0; k < 2; k++) {
    char *raster = make_results("scale", k == 0 ? &utm : &plain, new_year, &tally);
    struct isw_map_source source;
    ck_assert_int_eq(
        isw_chart_open_source(raster, "grid", ISW_BAND_BEST_SOW, ISW_BANDS_NODATA, &source, &error),
        ISW_OK);
    struct isw_map_frame frame = isw_chart_fit_frame(&source, (struct isw_box){0, 0, 120, 200}, 10);
    double scale = isw_chart_true_scale(&source, &frame);
    if (k == 0)
      ck_assert_double_eq_tol(scale, 500 / 0.9996, 0.5);
    else
      ck_assert_double_eq(scale, 0);
    isw_chart_close_source(&source);
    remove(raster);
    g_free(raster);
  }
}
END_TEST

/* Cells of a degree grid are drawn cos(latitude) as wide as high. */
START_TEST(degree_grids_are_not_stretched) {
  struct isw_result_tally tally;
  struct isw_error error;
  char *raster = make_results("aspect", &plain, new_year, &tally);
  struct isw_map_source source;
  ck_assert_int_eq(
      isw_chart_open_source(raster, "grid", ISW_BAND_BEST_SOW, ISW_BANDS_NODATA, &source, &error),
      ISW_OK);
  ck_assert_double_eq_tol(isw_chart_cell_aspect(&source, source.data),
                          cos((41 - ROWS * 0.05) * G_PI / 180), 1e-6);
  isw_chart_close_source(&source);
  remove(raster);
  g_free(raster);
}
END_TEST

/* ---- other maps, failures ------------------------------------------------------------------ */

START_TEST(score_and_pick_maps) {
  struct isw_map_page page = small_page();
  struct isw_result_tally tally;
  struct isw_error error = {0};
  char *raster = make_results("score", &utm, island, &tally);
  char *png = g_strconcat(raster, ".png", NULL);
  ck_assert_int_eq(isw_chart_draw_score_map(&page, raster, &late, &autumn, &tally, png, &error),
                   ISW_OK);
  struct picture picture = decode(png);
  for (int i = 1; i < ISW_SCORE_CLASSES; i++)
    if (tally.score_m2[i] > 0)
      ck_assert_int_gt(count_colour(&picture, isw_chart_score_fill(i).ground), 200);
  ck_assert_ptr_nonnull(strstr(picture.description, "scores 70 or more"));
  drop(&picture);

  char *picks = raster_path("picks");
  GDALDatasetH dataset = create(picks, &utm, 1, GDT_Byte);
  static uint8_t codes[ROWS][COLS];
  struct isw_pick_tally pick_tally = {0};
  for (int row = 0; row < ROWS; row++)
    for (int col = 0; col < COLS; col++) {
      int code = col < 15 ? 0 : col < 30 ? 1 : col < 45 ? 102 : ISW_PICK_NODATA;
      codes[row][col] = (uint8_t)code;
      if (code == 0) pick_tally.none_m2 += 1;
      if (code == 1) pick_tally.variety_m2[0] += 1;
      if (code == 102) pick_tally.risky_m2[1] += 1;
    }
  ck_assert_int_eq(GDALRasterIO(GDALGetRasterBand(dataset, 1), GF_Write, 0, 0, COLS, ROWS, codes,
                                COLS, ROWS, GDT_Byte, 0, 0),
                   CE_None);
  GDALClose(dataset);
  char second[] = "Early <&> type";
  struct isw_variety varieties[2] = {{.title = late_title}, {.title = second}};
  struct isw_sheet sheet = {.n_varieties = 2, .varieties = varieties, .n_seasons = 1};
  sheet.seasons[0] = autumn;
  struct isw_plan plan = {.sheet = &sheet, .n_varieties = 2, .n_seasons = 1};
  ck_assert_int_eq(isw_chart_draw_pick_map(&page, picks, &plan, 0, &pick_tally, png, &error),
                   ISW_OK);
  picture = decode(png);
  ck_assert_int_gt(count_colour(&picture, isw_chart_variety_fill(0, false).ground), 2000);
  ck_assert_int_gt(count_colour(&picture, isw_chart_variety_fill(1, true).ground), 1000);
  ck_assert_ptr_nonnull(strstr(picture.description, "33\u00a0% of the area has none"));
  drop(&picture);
  remove(raster);
  remove(png);
  remove(picks);
  g_free(raster);
  g_free(png);
  g_free(picks);
}
END_TEST

START_TEST(districts_are_outlined_and_named) {
  char *vector = g_strdup_printf("%s/map_sheet_%d.geojson", TEST_BINARY_DIR, (int)getpid());
  static const char text[] =
      "{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":"
      "{\"district\":\"Anner\"},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[[-147.1,45.8],"
      "[-146.7,45.8],[-146.7,46.0],[-147.1,46.0],[-147.1,45.8]]]}}]}";
  ck_assert(g_file_set_contents(vector, text, -1, NULL));
  struct isw_map_page page = small_page();
  struct picture bare = draw_sowing("bare", &utm, island, &page, &autumn);
  char *raster = make_results("grid", &utm, island, &(struct isw_result_tally){0});
  struct isw_map_source source;
  struct isw_error error = {0};
  struct isw_district_set *districts = NULL;
  struct isw_log log = isw_base_log_make(stderr, true);
  ck_assert_int_eq(isw_chart_open_source(raster, "grid", 0, ISW_BANDS_NODATA, &source, &error),
                   ISW_OK);
  ck_assert_msg(isw_regions_open_districts(vector, "district", &source.grid, &log, &districts,
                                           &error) == ISW_OK,
                "%s", error.text);
  page.districts = districts;
  struct picture named = draw_sowing("named", &utm, island, &page, &autumn);
  long changed = 0;
  for (int y = 0; y < bare.height; y++)
    for (int x = 0; x < bare.width; x++) changed += pixel(&bare, x, y) != pixel(&named, x, y);
  ck_assert_msg(changed > 500, "only %ld pixels show the district", changed);
  page.numbered = true;
  struct picture numbered = draw_sowing("numbered", &utm, island, &page, &autumn);
  changed = 0;
  for (int y = 0; y < bare.height; y++)
    for (int x = 0; x < bare.width; x++) changed += pixel(&numbered, x, y) != pixel(&named, x, y);
  ck_assert_msg(changed > 20, "only %ld pixels tell a number from a name", changed);
  drop(&bare);
  drop(&named);
  drop(&numbered);
  isw_chart_close_source(&source);
  isw_regions_free_districts(districts);
  remove(raster);
  remove(vector);
  g_free(raster);
  g_free(vector);
}
END_TEST

/* ---- years, spans, flanks ------------------------------------------------------------------ */

/* Results of the second season's bands: the island's rows by years and edge, and spans. */
static char *make_flanks(struct isw_result_tally *tally, bool edges) {
  char *path = make_results("flanks", &utm, island, tally);
  GDALDatasetH dataset = GDALOpen(path, GA_Update);
  static int16_t years[ROWS][COLS], edge[ROWS][COLS];
  for (int i = 0; i < ISW_EDGES; i++) tally->edge_m2[i] = 0;
  for (int i = 0; i <= ISW_YEARS_OF_TEN; i++) tally->years_m2[i] = 0;
  for (int row = 0; row < ROWS; row++)
    for (int col = 0; col < COLS; col++) {
      bool valid = on_island(col, row), has = valid && island(col, row).window_days > 0;
      years[row][col] = (int16_t)(valid ? row * 11 / ROWS : ISW_BANDS_NODATA);
      edge[row][col] = (int16_t)(valid ? 0 : ISW_BANDS_NODATA);
      if (has && edges && row > 20) edge[row][col] = col < 30 ? 5 : 10;
      if (valid) tally->years_m2[years[row][col]] += 1e6;
      if (has) tally->edge_m2[edge[row][col]] += 1e6;
    }
  ck_assert_int_eq(GDALRasterIO(GDALGetRasterBand(dataset, ISW_BAND_YEARS + 1), GF_Write, 0, 0,
                                COLS, ROWS, years, COLS, ROWS, GDT_Int16, 0, 0),
                   CE_None);
  ck_assert_int_eq(GDALRasterIO(GDALGetRasterBand(dataset, ISW_BAND_EDGE + 1), GF_Write, 0, 0, COLS,
                                ROWS, edge, COLS, ROWS, GDT_Int16, 0, 0),
                   CE_None);
  GDALClose(dataset);
  return path;
}

/* Classes as published in docs/outputs.md. */
START_TEST(years_have_five_classes) {
  static const int classes[ISW_YEARS_OF_TEN + 1] = {0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4};
  for (int years = 0; years <= ISW_YEARS_OF_TEN; years++)
    ck_assert_int_eq(isw_survey_years_class(years), classes[years]);
  struct isw_map_page page = small_page();
  struct isw_result_tally tally;
  struct isw_error error = {0};
  char *raster = make_flanks(&tally, false), *png = g_strconcat(raster, ".png", NULL);
  ck_assert_msg(
      isw_chart_draw_years_map(&page, raster, &late, &autumn, &tally, png, &error) == ISW_OK, "%s",
      error.text);
  struct picture picture = decode(png);
  for (int i = 1; i < ISW_YEARS_CLASSES; i++)
    ck_assert_int_gt(count_colour(&picture, isw_chart_years_fill(i).ground), 500);
  ck_assert_str_eq(
      picture.title,
      "Heading Chinese cabbage, Late storage type: in how many years sowing in autumn succeeds");
  /* Rows 29 to 44 of the island have 7 years or more: share by counting. */
  double good = 0, all = 0;
  for (int years = 0; years <= ISW_YEARS_OF_TEN; years++) {
    all += tally.years_m2[years];
    if (years >= 7) good += tally.years_m2[years];
  }
  char *share =
      g_strdup_printf("7 or more of 10 years on %.0f\u00a0%% of the area", 100 * good / all);
  ck_assert_msg(strstr(picture.description, share) != NULL, "%s", picture.description);
  g_free(share);
  drop(&picture);
  remove(raster);
  remove(png);
  g_free(raster);
  g_free(png);
}
END_TEST

/* edge 5 and 10 are hatched, each its own way; a map without them is not. */
START_TEST(flanks_are_hatched) {
  struct isw_map_page page = small_page();
  page.dpi = 300;
  struct isw_error error = {0};
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  long smooth[2];
  for (int edges = 0; edges < 2; edges++) {
    struct isw_result_tally tally;
    char *raster = make_flanks(&tally, edges == 1), *png = g_strconcat(raster, ".png", NULL);
    ck_assert_int_eq(isw_chart_draw_sowing_map(&page, raster, &late, &autumn, &tally, png, &error),
                     ISW_OK);
    struct picture picture = decode(png);
    smooth[edges] = 0;
    for (int i = 23; i <= 25; i++) smooth[edges] += count_colour(&picture, colours[i]);
    drop(&picture);
    remove(raster);
    remove(png);
    g_free(raster);
    g_free(png);
  }
  /* Lines 0.16 mm wide, 2.4 / sqrt 2 mm apart: they and their soft edges take a tenth or two. */
  ck_assert_msg(
      (double)smooth[1] < 0.95 * (double)smooth[0] && (double)smooth[1] > 0.6 * (double)smooth[0],
      "%ld pixels, %ld without flanks", smooth[1], smooth[0]);
  struct isw_map_theme theme = isw_chart_sowing_theme(&late, &autumn, NULL);
  ck_assert_int_eq(theme.bands[2], ISW_BAND_EDGE);
}
END_TEST

/* First and last day of a span raster, coloured and worded each for itself. */
START_TEST(spans_have_two_maps) {
  char *raster = raster_path("span");
  GDALAllRegister();
  GDALDatasetH dataset = create(raster, &utm, ISW_SPAN_BANDS, GDT_Int16);
  static int16_t bands[ISW_SPAN_BANDS][ROWS][COLS];
  struct isw_span_tally tally = {0};
  for (int row = 0; row < ROWS; row++)
    for (int col = 0; col < COLS; col++) {
      bool valid = on_island(col, row), has = valid && row >= 10;
      for (int b = 0; b < ISW_SPAN_BANDS; b++) bands[b][row][col] = valid ? 0 : ISW_BANDS_NODATA;
      if (has) {
        bands[ISW_SPAN_SOW_FROM][row][col] = 205; /* 24 July */
        bands[ISW_SPAN_SOW_TO][row][col] = 250;   /* 7 September */
        bands[ISW_SPAN_DAYS][row][col] = 46;
        tally.first_period_m2[20] += 1e6;
        tally.last_period_m2[24] += 1e6;
      } else if (valid) {
        tally.none_m2 += 1e6;
      }
    }
  for (int b = 0; b < ISW_SPAN_BANDS; b++)
    ck_assert_int_eq(GDALRasterIO(GDALGetRasterBand(dataset, b + 1), GF_Write, 0, 0, COLS, ROWS,
                                  bands[b], COLS, ROWS, GDT_Int16, 0, 0),
                     CE_None);
  GDALClose(dataset);
  char *png = g_strconcat(raster, ".png", NULL);
  struct isw_map_page page = small_page();
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  for (int last = 0; last < 2; last++) {
    struct isw_error error = {0};
    ck_assert_msg(
        isw_chart_draw_span_map(&page, raster, &autumn, &tally, last == 1, png, &error) == ISW_OK,
        "%s", error.text);
    struct picture picture = decode(png);
    ck_assert_int_gt(count_colour(&picture, colours[last ? 24 : 20]), 5000);
    ck_assert_int_eq(count_colour(&picture, colours[last ? 20 : 24]), 0);
    ck_assert_str_eq(picture.title,
                     last ? "Heading Chinese cabbage: until when some type can be sown in autumn"
                          : "Heading Chinese cabbage: from when some type can be sown in autumn");
    ck_assert_ptr_nonnull(strstr(
        picture.description, last ? "Most often it is early Sep" : "Most often it is late Jul"));
    drop(&picture);
  }
  remove(raster);
  remove(png);
  g_free(raster);
  g_free(png);
}
END_TEST

/* Water is filled, lines are seen, and the legend names what is there. */
START_TEST(layers_lie_under_the_lines) {
  char *vector = g_strdup_printf("%s/map_sheet_layers_%d.geojson", TEST_BINARY_DIR, (int)getpid());
  static const char text[] =
      "{\"type\":\"FeatureCollection\",\"features\":[{\"type\":\"Feature\",\"properties\":"
      "{\"kind\":\"lake\"},\"geometry\":{\"type\":\"Polygon\",\"coordinates\":[[[-147.0,45.8],"
      "[-146.8,45.8],[-146.8,45.9],[-147.0,45.9],[-147.0,45.8]]]}}]}";
  ck_assert(g_file_set_contents(vector, text, -1, NULL));
  struct isw_map_page page = small_page();
  struct picture bare = draw_sowing("waterless", &utm, island, &page, &autumn);
  char *raster = make_results("grid", &utm, island, &(struct isw_result_tally){0});
  struct isw_map_source source;
  struct isw_error error = {0};
  struct isw_map_layers *layers = NULL;
  struct isw_log log = isw_base_log_make(stderr, true);
  ck_assert_int_eq(isw_chart_open_source(raster, "grid", 0, ISW_BANDS_NODATA, &source, &error),
                   ISW_OK);
  ck_assert_msg(isw_regions_open_map_layers(vector, &source.grid, &log, &layers, &error) == ISW_OK,
                "%s", error.text);
  page.layers = layers;
  struct picture wet = draw_sowing("wet", &utm, island, &page, &autumn);
  struct isw_colour water = {204 / 255.0, 224 / 255.0, 240 / 255.0};
  ck_assert_int_eq(count_colour(&bare, water), 0);
  /* The lake is some 15.5 km by 11 km on a map of 60 km in about 70 mm at 150 dpi: some 8000
   * pixels. */
  long pixels = count_colour(&wet, water);
  ck_assert_msg(pixels > 2000 && pixels < 16000, "%ld pixels of water", pixels);
  drop(&bare);
  drop(&wet);
  isw_chart_close_source(&source);
  isw_regions_free_map_layers(layers);
  remove(raster);
  remove(vector);
  g_free(raster);
  g_free(vector);
}
END_TEST

/* Level ground changes nothing; a ridge from south-west to north-east is light on its north-western
 * side, which the light comes from, and dark on the other. Colours stay known. */
START_TEST(hill_shade_tells_sides) {
  enum { SIDE = 60 };
  static float heights[SIDE * SIDE];
  struct isw_relief relief = {{SIDE, SIDE, {480000, 1000, 0, 5100000, 0, -1000}, NULL, false},
                              heights};
  struct isw_map_page page = small_page();
  struct picture bare = draw_sowing("level", &utm, halves, &page, &autumn);
  OGRSpatialReferenceH crs = OSRNewSpatialReference(NULL);
  ck_assert_int_eq(OSRSetFromUserInput(crs, utm.crs), OGRERR_NONE);
  OSRExportToWkt(crs, &relief.grid.wkt);
  OSRDestroySpatialReference(crs);
  page.relief = &relief;
  struct picture level = draw_sowing("level", &utm, halves, &page, &autumn);
  for (int y = 0; y < bare.height; y++)
    ck_assert_mem_eq(bare.rows[y], level.rows[y], 3 * (size_t)bare.width);
  for (int i = 0; i < SIDE * SIDE; i++)
    heights[i] = (float)(2000 - 60 * abs(i % SIDE + i / SIDE - SIDE));
  struct picture ridge = draw_sowing("ridge", &utm, halves, &page, &autumn);
  /* North-west of what became darker lies what became lighter: in the mean, by a good part of the
   * map. */
  double lighter = 0, darker = 0, lighter_at = 0, darker_at = 0;
  for (int y = 0; y < bare.height; y++)
    for (int x = 0; x < bare.width; x++) {
      int change = ridge.rows[y][3 * x] - bare.rows[y][3 * x];
      if (change > 8) lighter++, lighter_at += x + y;
      if (change < -8) darker++, darker_at += x + y;
    }
  ck_assert_msg(lighter > 5000 && darker > 5000, "%g lighter, %g darker", lighter, darker);
  ck_assert_msg(darker_at / darker - lighter_at / lighter > 60, "lighter at %g, darker at %g",
                lighter_at / lighter, darker_at / darker);
  drop(&bare);
  drop(&level);
  drop(&ridge);
  CPLFree(relief.grid.wkt);
  for (int shade = 0; shade < 256; shade++) {
    uint32_t seen = isw_chart_shade_colour(0x5FA894, shade);
    ck_assert(shade != ISW_SHADE_FLAT || seen == 0x5FA894);
    ck_assert(((seen >> 8) & 255) > (seen >> 16) && ((seen >> 8) & 255) > (seen & 255));
  }
}
END_TEST

START_TEST(failures_are_told) {
  struct isw_map_page page = small_page();
  struct isw_result_tally tally;
  struct isw_error error = {0};
  char *raster = make_results("failures", &utm, island, &tally);
  ck_assert_int_eq(isw_chart_draw_sowing_map(&page, raster, &late, &autumn, &tally,
                                             "/nonexistent/map.png", &error),
                   ISW_OUTPUT);
  ck_assert_ptr_nonnull(strstr(error.text, "/nonexistent/map.png"));
  if (g_file_test("/dev/full", G_FILE_TEST_EXISTS)) {
    ck_assert_int_eq(
        isw_chart_draw_sowing_map(&page, raster, &late, &autumn, &tally, "/dev/full", &error),
        ISW_OUTPUT);
    ck_assert_ptr_nonnull(strstr(error.text, "No space left"));
    ck_assert(g_file_test("/dev/full", G_FILE_TEST_EXISTS));
  } else {
    printf("skipped: no /dev/full here\n");
  }
  page.dpi = 1e6;
  ck_assert_int_eq(
      isw_chart_draw_sowing_map(&page, raster, &late, &autumn, &tally, "/nonexistent/a", &error),
      ISW_USAGE);
  remove(raster);
  ck_assert_int_ne(
      isw_chart_draw_sowing_map(&page, raster, &late, &autumn, &tally, "/nonexistent/a", &error),
      ISW_OK);
  g_free(raster);
}
END_TEST

/* pngcheck reads every chunk and the checksums. */
START_TEST(pngcheck_is_content) {
  char *program = g_find_program_in_path("pngcheck");
  if (program == NULL) {
    printf("skipped: pngcheck is not installed\n");
    return;
  }
  struct isw_map_page page = small_page();
  struct isw_result_tally tally;
  struct isw_error error = {0};
  char *raster = make_results("pngcheck", &utm, new_year, &tally);
  char *png = g_strconcat(raster, ".png", NULL);
  ck_assert_int_eq(isw_chart_draw_sowing_map(&page, raster, &late, &winter, &tally, png, &error),
                   ISW_OK);
  char *arguments[] = {program, png, NULL};
  int wait = -1;
  ck_assert(g_spawn_sync(NULL, arguments, NULL, G_SPAWN_STDOUT_TO_DEV_NULL, NULL, NULL, NULL, NULL,
                         &wait, NULL));
  ck_assert(g_spawn_check_wait_status(wait, NULL));
  remove(raster);
  remove(png);
  g_free(raster);
  g_free(png);
  g_free(program);
}
END_TEST

/* Fontconfig and Pango keep their caches until the process ends; LeakSanitizer calls this hook
 * where it is linked in. */
const char *__lsan_default_options(void);
const char *__lsan_default_options(void) {
  return "print_suppressions=0";
}
const char *__lsan_default_suppressions(void);
const char *__lsan_default_suppressions(void) {
  return "leak:libfontconfig\nleak:libpango\nleak:libcairo\n";
}

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("map_sheet");
  TCase *tcase = tcase_create("map_sheet");
  tcase_set_timeout(tcase, 60);
  tcase_add_test(tcase, picture_says_what_it_is);
  tcase_add_test(tcase, areas_on_paper_are_the_tally);
  tcase_add_test(tcase, no_window_anywhere_reads_so);
  tcase_add_loop_test(tcase, north_is_up, 0, 2);
  tcase_add_loop_test(tcase, every_page_size_is_drawn, 0, 6);
  tcase_add_test(tcase, words_follow_the_season_across_new_year);
  tcase_add_test(tcase, words_of_the_south);
  tcase_add_test(tcase, words_across_the_equator);
  tcase_add_test(tcase, legend_and_sentence_say_the_same_share);
  tcase_add_test(tcase, levels_are_the_periods_first_days);
  tcase_add_test(tcase, lines_cross_new_year_in_place);
  tcase_add_test(tcase, lines_stay_in_windows_and_off_cliffs);
  tcase_add_test(tcase, labels_never_overlap_or_leave);
  tcase_add_test(tcase, names_of_places_keep_clear);
  tcase_add_test(tcase, no_label_on_a_stub);
  tcase_add_test(tcase, degrees_are_worded);
  tcase_add_test(tcase, scale_bar_only_where_it_is_true);
  tcase_add_test(tcase, degree_grids_are_not_stretched);
  tcase_add_test(tcase, score_and_pick_maps);
  tcase_add_test(tcase, districts_are_outlined_and_named);
  tcase_add_test(tcase, years_have_five_classes);
  tcase_add_test(tcase, flanks_are_hatched);
  tcase_add_test(tcase, spans_have_two_maps);
  tcase_add_test(tcase, layers_lie_under_the_lines);
  tcase_add_test(tcase, hill_shade_tells_sides);
  tcase_add_test(tcase, failures_are_told);
  tcase_add_test(tcase, pngcheck_is_content);
  suite_add_tcase(suite, tcase);
  return suite;
}
