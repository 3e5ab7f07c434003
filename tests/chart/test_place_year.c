/* The chart of the year at one place: where its axis starts, which crops share a panel, what stands
 * in its rows, and what its files are to programs that did not write them. */
#include <cpl_minixml.h>
#include <gdal.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <math.h>
#include <png.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>

#include "chart/place_year.h"
#include "chart/place_year_words.h"
#include "chart/year_drawings.h"
#include "plain_path.h"
#include "science_table.h"
#include "suite_main.h"
#include "survey/cell_bands.h"

enum { NORMALS = 24, STATION_NUMBERS = 1 + NORMALS };

/* Day 0..364 of a date. */
static int on(int month, int day) {
  return isw_base_day_of_date(month, day);
}

/* A calendar with the days marked one by one says whether a year's start cuts a span. */
static bool cut_by_hand(struct isw_window span, int start_day) {
  for (int i = 1; i < span.days; i++)
    if ((span.from_day + i) % ISW_YEAR_DAYS == start_day) return true;
  return false;
}

static const struct {
  int n;
  struct isw_window spans[3];
  bool south;
  int month; /* that the axis starts with */
} starts[] = {
    {0, {{0}}, false, 1},
    {0, {{0}}, true, 7},
    {1, {{100, 200, 101}}, false, 1}, /* inside the year: January stays */
    {1, {{300, 35, 101}}, false, 3},  /* 28 October to 5 February */
    /* 1 April is in the second: October is the nearest that is left */
    {2, {{300, 35, 101}, {45, 90, 46}}, false, 10},
    {1, {{150, 220, 71}}, true, 9},  /* July and August lie in it */
    {1, {{100, 99, 365}}, false, 1}, /* every month but one cuts it */
};

START_TEST(the_axis_starts_where_no_crop_is_cut) {
  int start = isw_chart_choose_year_start(starts[_i].n, starts[_i].spans, starts[_i].south);
  int least = starts[_i].n + 1, cut = 0;
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    int cuts = 0;
    for (int k = 0; k < starts[_i].n; k++)
      cuts += cut_by_hand(starts[_i].spans[k], isw_base_month_start[m]);
    least = MIN(least, cuts);
    if (isw_base_month_start[m] == start) cut = cuts;
  }
  ck_assert_int_eq(cut, least);
  ck_assert_int_eq(start, isw_base_month_start[starts[_i].month - 1]);
}
END_TEST

static const struct {
  int n, most;
  struct isw_window spans[4];
  int ranks[4], panels[4], used;
} rooms[] = {
    {1, 4, {{10, 20, 11}}, {0}, {0}, 1},
    {2, 4, {{10, 20, 11}, {21, 40, 20}}, {0, 1}, {0, 0}, 1}, /* next to each other */
    {2, 4, {{10, 20, 11}, {20, 40, 21}}, {0, 1}, {0, 1}, 2}, /* one day shared */
    {2, 4, {{350, 5, 21}, {0, 40, 41}}, {5, 1}, {1, 0}, 2},  /* across New Year */
    {3, 4, {{10, 60, 51}, {50, 90, 41}, {80, 99, 20}}, {0, 1, 2}, {0, 1, 0}, 2},
    {3, 2, {{1, 99, 99}, {2, 99, 98}, {3, 99, 97}}, {0, 1, 2}, {0, 1, -1}, 2},
    {4, 4, {{1, 0, 365}, {2, 1, 365}, {3, 2, 365}, {4, 3, 365}}, {3, 2, 1, 0}, {3, 2, 1, 0}, 4},
};

START_TEST(crops_of_a_panel_do_not_touch) {
  int panels[4];
  int used = isw_chart_assign_panels(rooms[_i].n, rooms[_i].spans, rooms[_i].ranks, rooms[_i].most,
                                     panels);
  ck_assert_int_eq(used, rooms[_i].used);
  for (int i = 0; i < rooms[_i].n; i++) ck_assert_int_eq(panels[i], rooms[_i].panels[i]);
}
END_TEST

START_TEST(spans_of_days_read_as_people_write_them) {
  static const struct {
    int from_month, from_day, to_month, to_day;
    const char *text;
  } spans[] = {{3, 5, 3, 18, "5–18 Mar"},
               {3, 5, 4, 18, "5 Mar – 18 Apr"},
               {3, 5, 3, 5, "5 Mar"},
               {12, 20, 1, 8, "20 Dec – 8 Jan"},
               {3, 18, 3, 5, "18 Mar – 5 Mar"}}; /* nearly a whole year */
  char *text = isw_chart_word_days(on(spans[_i].from_month, spans[_i].from_day),
                                   on(spans[_i].to_month, spans[_i].to_day));
  ck_assert_str_eq(text, spans[_i].text);
  g_free(text);
}
END_TEST

struct asked {
  struct isw_sheet *sheet;
  struct isw_plan *plan;
  struct isw_place *place;
};

static struct asked ask_normals(struct isw_sheet *sheet, const struct isw_normals *normals,
                                double lat_deg, const char *name) {
  struct asked asked = {.sheet = sheet, .plan = g_new(struct isw_plan, 1)};
  struct isw_conditions conditions = isw_growth_default_conditions();
  isw_growth_make_plan(sheet, &conditions, 0, NULL, 0, NULL, asked.plan);
  struct isw_site site = {.name = name,
                          .lat_text = "40.5",
                          .lon_text = "-100",
                          .lat_deg = lat_deg,
                          .lon_deg = -100,
                          .south = lat_deg < 0,
                          .normals = *normals,
                          .period = "1991-2020"};
  asked.place = isw_survey_new_place(asked.plan, &site);
  return asked;
}

/* Row of tests/tables/station_normals.txt, which names its sources; south: half a year later. */
static struct asked ask(int index, bool south) {
  struct science_row row;
  struct isw_sheet *sheet;
  struct isw_error error;
  ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &sheet, &error), ISW_OK);
  science_table_row("station_normals.txt", STATION_NUMBERS, index, &row);
  struct isw_normals normals = {.has_year_spread = false};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    int from = (m + (south ? ISW_YEAR_MONTHS / 2 : 0)) % ISW_YEAR_MONTHS;
    normals.tmin_C[m] = row.number[1 + from];
    normals.tmax_C[m] = row.number[1 + ISW_YEAR_MONTHS + from];
  }
  return ask_normals(sheet, &normals, south ? -40.5 : 40.5, "A <place> & \"more\"");
}

static void forget(struct asked *asked) {
  isw_survey_free_place(asked->place);
  g_free(asked->plan);
  isw_crop_free_sheet(asked->sheet);
}

/* Each station north and south. */
static int n_places(void) {
  return 2 * science_table_count("station_normals.txt");
}

START_TEST(a_view_holds_what_the_model_says) {
  struct asked asked = ask(_i / 2, _i % 2 == 1);
  struct isw_year_view *view = isw_chart_new_year_view(asked.plan, asked.place);
  ck_assert_int_eq(view->n_rows, asked.plan->n_varieties);
  struct plain_programme_sums *sums = g_new(struct plain_programme_sums, 1);
  for (int r = 0; r < view->n_rows; r++) {
    const struct isw_year_row *row = &view->rows[r];
    const struct isw_programme *programme =
        &asked.plan->programmes[asked.plan->programme_of[row->variety][0]];
    plain_sum_programme(asked.plan, programme, &asked.place->year, sums);
    for (int d = 0; d < ISW_YEAR_DAYS; d += 3) {
      struct isw_sowing sowing;
      plain_score_sowing(asked.plan, programme, sums, d, &sowing);
      ck_assert_int_le(abs(row->score_tenths[d] - sowing.score_tenths),
                       1); /* rounded alike, nearly */
      ck_assert_int_eq(row->limit[d], sowing.limit);
    }
  }
  g_free(sums);
  for (int c = 0; c < view->n_crops; c++) {
    const struct isw_window *window = &view->crops[c].result->result.window;
    for (int r = 0; r < view->n_rows; r++)
      for (int i = 0; i < window->days && view->rows[r].variety == view->crops[c].crop.variety; i++)
        ck_assert(view->rows[r].good[isw_base_wrap_day(window->from_day + i)]);
    ck_assert_int_ge(view->crops[c].panel, 0);
    /* Every pick's stages stand within the axis in one piece where any month allows it. */
    int after = isw_base_days_forward(view->start_day, view->crops[c].result->result.best_sow_day);
    if (view->n_crops == 1)
      ck_assert_int_le(after + view->crops[c].result->result.growing_days, ISW_YEAR_DAYS);
  }
  ck_assert(view->low_C < view->high_C);
  g_free(view);
  forget(&asked);
}
END_TEST

/* 200 cells drawn from a real grid (tests/data/colorado): the days that a row of the chart shows as
 * good, with their years and scores, are those of the numbers that rasters hold. */
enum { DRAWN_CELLS = 200 };

static void hold_row_against_bands(const struct isw_year_view *view, const struct isw_year_row *row,
                                   int season) {
  const struct isw_place *place = view->place;
  const struct isw_place_result *held =
      &place->results[isw_growth_result_index(view->plan, row->variety, season)];
  int16_t bands[ISW_CELL_BANDS];
  isw_survey_encode_result(&held->result, bands);
  if (bands[ISW_BAND_BEST_SOW] == 0) return;
  const int best = bands[ISW_BAND_BEST_SOW] - 1;
  ck_assert_int_eq((row->score_tenths[best] + 5) / 10, bands[ISW_BAND_SCORE]);
  ck_assert_int_eq(row->years[best], bands[ISW_BAND_YEARS]);
  for (int i = 0; i < bands[ISW_BAND_WINDOW_DAYS]; i++)
    ck_assert(row->good[isw_base_wrap_day(bands[ISW_BAND_SOW_FROM] - 1 + i)]);
  /* The day after a window that does not go on is no good one. */
  const struct isw_window dates = place->seasons[season].sowing_dates;
  const int after = isw_base_wrap_day(bands[ISW_BAND_SOW_TO]);
  if (bands[ISW_BAND_WINDOW_DAYS] > 0 && (bands[ISW_BAND_EDGE] & 2) == 0 &&
      isw_base_days_forward(dates.from_day, after) < dates.days)
    ck_assert(!row->good[after]);
}

START_TEST(rows_hold_what_rasters_hold) {
  static const char *const files[2] = {TEST_SOURCE_DIR "/data/colorado/tmin.tif",
                                       TEST_SOURCE_DIR "/data/colorado/tmax.tif"};
  GDALAllRegister();
  GDALDatasetH normals[2];
  for (int f = 0; f < 2; f++) {
    normals[f] = GDALOpen(files[f], GA_ReadOnly);
    ck_assert_ptr_nonnull(normals[f]);
  }
  const int width = GDALGetRasterXSize(normals[0]), height = GDALGetRasterYSize(normals[0]);
  const double nodata = GDALGetRasterNoDataValue(GDALGetRasterBand(normals[0], 1), NULL);
  GRand *dice = g_rand_new_with_seed(1100);
  for (int drawn = 0; drawn < DRAWN_CELLS;) {
    float months[2][ISW_YEAR_MONTHS];
    const int col = g_rand_int_range(dice, 0, width), row = g_rand_int_range(dice, 0, height);
    for (int f = 0; f < 2; f++)
      ck_assert_int_eq(GDALDatasetRasterIO(normals[f], GF_Read, col, row, 1, 1, months[f], 1, 1,
                                           GDT_Float32, ISW_YEAR_MONTHS, NULL, 0, 0, 0),
                       CE_None);
    if ((double)months[0][0] == nodata || (double)months[1][0] == nodata) continue;
    drawn++;
    struct isw_normals cell = {.has_year_spread = false};
    for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
      cell.tmin_C[m] = months[0][m];
      cell.tmax_C[m] = months[1][m];
    }
    struct isw_sheet *sheet;
    struct isw_error error;
    ck_assert_int_eq(isw_crop_load_sheet("napa-cabbage", &sheet, &error), ISW_OK);
    struct asked asked = ask_normals(sheet, &cell, 39, "drawn");
    struct isw_year_view *view = isw_chart_new_year_view(asked.plan, asked.place);
    ck_assert_int_eq(view->n_rows, asked.plan->n_varieties);
    for (int r = 0; r < view->n_rows; r++)
      for (int s = 0; s < asked.plan->n_seasons; s++)
        hold_row_against_bands(view, &view->rows[r], s);
    g_free(view);
    forget(&asked);
  }
  g_rand_free(dice);
  for (int f = 0; f < 2; f++) GDALClose(normals[f]);
}
END_TEST

static char *new_path(const char *name) {
  return g_build_filename(TEST_BINARY_DIR, name, NULL);
}

/* No half-written file may stay in the folder. */
static void check_no_parts(void) {
  GDir *folder = g_dir_open(TEST_BINARY_DIR, 0, NULL);
  const char *name;
  while ((name = g_dir_read_name(folder)) != NULL)
    ck_assert_msg(!g_str_has_suffix(name, ".part"), "%s stayed", name);
  g_dir_close(folder);
}

static void draw(const struct asked *asked, const char *path, bool fahrenheit) {
  struct isw_error error = {.text = ""};
  enum isw_status status =
      isw_chart_draw_place_year(asked->place, asked->plan, path, "isosow test", fahrenheit, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  check_no_parts();
}

/* Pixels of a PNG, read by libpng's own simple reader. */
static png_bytep decode(const char *path, int *width, int *height) {
  png_image image = {.version = PNG_IMAGE_VERSION};
  ck_assert(png_image_begin_read_from_file(&image, path) != 0);
  image.format = PNG_FORMAT_RGB;
  png_bytep pixels = g_malloc(PNG_IMAGE_SIZE(image));
  ck_assert(png_image_finish_read(&image, NULL, pixels, 0, NULL) != 0);
  *width = (int)image.width;
  *height = (int)image.height;
  return pixels;
}

/* Within what laying one near colour over another may change. */
static bool is_colour(const png_byte *pixel, struct isw_colour colour) {
  int hex = (int)isw_chart_hex_of_colour(colour);
  return abs(pixel[0] - (hex >> 16 & 255)) <= 2 && abs(pixel[1] - (hex >> 8 & 255)) <= 2 &&
         abs(pixel[2] - (hex & 255)) <= 2;
}

/* Columns of the lower part, where the rows are, that hold the colour of very good days: they must
 * be those of the axis' very good days. */
START_TEST(the_picture_shows_very_good_days_where_they_are) {
  struct asked asked = ask(_i / 2, _i % 2 == 1);
  char *path = new_path("year.png");
  draw(&asked, path, false);
  int width, height;
  png_bytep pixels = decode(path, &width, &height);
  /* ISO 216 A4 at 300 dpi */
  ck_assert_int_eq(width, 3508);
  ck_assert_int_eq(height, 2480);
  /* Frames of the panels say where the axis is: the longest dark run of the picture's rows. */
  int left = 0, right = 0;
  for (int y = 0; y < height; y++)
    for (int x = 0, start = -1; x < width; x++) {
      const png_byte *p = pixels + 3 * ((size_t)y * (size_t)width + (size_t)x);
      bool dark = p[0] < 200 && p[1] < 200 && p[2] < 205;
      if (dark && start < 0) start = x;
      if (dark && x - start > right - left) {
        left = start;
        right = x;
      }
      if (!dark) start = -1;
    }
  ck_assert_int_gt(right - left, width / 2);
  struct isw_year_view *view = isw_chart_new_year_view(asked.plan, asked.place);
  bool shown[ISW_YEAR_DAYS] = {false}, wanted[ISW_YEAR_DAYS] = {false};
  for (int r = 0; r < view->n_rows; r++)
    for (int d = 0; d < ISW_YEAR_DAYS; d++)
      wanted[d] = wanted[d] || (view->rows[r].good[d] && view->rows[r].score_tenths[d] >= 850);
  for (int i = 0; i < ISW_YEAR_DAYS; i++) {
    int x = left + (int)((i + 0.5) * (right - left) / ISW_YEAR_DAYS);
    for (int y = height * 6 / 10; y < height; y++)
      if (is_colour(pixels + 3 * ((size_t)y * (size_t)width + (size_t)x), isw_year_very_good))
        shown[isw_base_wrap_day(view->start_day + i)] = true;
  }
  /* None is made up, and hardly any hidden by a line or a label. */
  int n_wanted = 0, n_shown = 0;
  for (int d = 0; d < ISW_YEAR_DAYS; d++) {
    ck_assert_msg(!shown[d] || wanted[d], "day %d", d);
    n_wanted += wanted[d];
    n_shown += shown[d];
  }
  ck_assert_int_gt(n_wanted, 0);
  ck_assert_int_ge(n_shown, n_wanted - n_wanted / 20);
  g_free(view);
  g_free(pixels);
  g_free(path);
  forget(&asked);
}
END_TEST

START_TEST(a_png_says_what_it_is) {
  struct asked asked = ask(0, false);
  char *path = new_path("said.png"), *text;
  gsize size;
  draw(&asked, path, true);
  ck_assert(g_file_get_contents(path, &text, &size, NULL));
  static const char *const parts[] = {
      "pHYs",        "sRGB",        "Title",    "The year at A <place> & \"more\"",
      "Description", "isosow test", "1991-2020"};
  for (size_t i = 0; i < G_N_ELEMENTS(parts); i++) {
    bool found = false;
    for (gsize at = 0; !found && at + strlen(parts[i]) <= size; at++)
      found = memcmp(text + at, parts[i], strlen(parts[i])) == 0;
    ck_assert_msg(found, "no %s", parts[i]);
  }
  g_free(text);
  g_free(path);
  forget(&asked);
}
END_TEST

START_TEST(an_svg_is_xml_with_title_and_description) {
  struct asked asked = ask(0, false);
  char *path = new_path("year.SVG");
  draw(&asked, path, false);
  CPLXMLNode *root = CPLParseXMLFile(path);
  ck_assert_ptr_nonnull(root);
  const CPLXMLNode *svg = CPLGetXMLNode(root, "=svg");
  ck_assert_ptr_nonnull(svg);
  ck_assert_str_eq(CPLGetXMLValue(svg, "title", ""), "The year at A <place> & \"more\"");
  ck_assert_ptr_nonnull(strstr(CPLGetXMLValue(svg, "desc", ""), "Heading Chinese cabbage"));
  CPLDestroyXMLNode(root);
  g_free(path);
  forget(&asked);
}
END_TEST

START_TEST(a_pdf_starts_and_ends_as_one) {
  struct asked asked = ask(0, false);
  char *path = new_path("year.pdf"), *text;
  gsize size;
  draw(&asked, path, false);
  ck_assert(g_file_get_contents(path, &text, &size, NULL));
  /* ISO 32000-1, 7.5.2 and 7.5.5 */
  ck_assert(memcmp(text, "%PDF-1.", 7) == 0);
  ck_assert(memcmp(text + size - 6, "%%EOF\n", 6) == 0);
  g_free(text);
  g_free(path);
  forget(&asked);
}
END_TEST

START_TEST(other_endings_are_refused) {
  static const char *const names[] = {"year", "year.jpg", ".png", "year.png.txt", "png", ""};
  struct isw_error error;
  ck_assert_int_eq(isw_chart_check_year_path(names[_i], &error), ISW_USAGE);
  ck_assert_ptr_nonnull(strstr(error.text, ".svg"));
}
END_TEST

static const char *const endings[] = {"png", "pdf", "svg"};

START_TEST(a_full_disk_is_told_and_leaves_the_old_chart) {
  struct asked asked = ask(0, false);
  char *name = g_strdup_printf("full.%s", endings[_i]), *path = new_path(name), *text;
  ck_assert(g_file_set_contents(path, "old", 3, NULL));
  /* A limit on file size stands for a full disk: writes fail with EFBIG. */
  signal(SIGXFSZ, SIG_IGN);
  struct rlimit limit = {20000, 20000};
  ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
  struct isw_error error;
  ck_assert_int_eq(
      isw_chart_draw_place_year(asked.place, asked.plan, path, "isosow test", false, &error),
      ISW_OUTPUT);
  ck_assert(g_file_get_contents(path, &text, NULL, NULL));
  ck_assert_str_eq(text, "old");
  check_no_parts();
  g_free(text);
  g_remove(path);
  g_free(path);
  g_free(name);
  forget(&asked);
}
END_TEST

START_TEST(a_folder_that_is_not_there_is_told) {
  struct asked asked = ask(0, false);
  char *name = g_strdup_printf("nowhere/year.%s", endings[_i]), *path = new_path(name);
  struct isw_error error;
  ck_assert_int_eq(
      isw_chart_draw_place_year(asked.place, asked.plan, path, "isosow test", false, &error),
      ISW_OUTPUT);
  ck_assert_ptr_nonnull(strstr(error.text, "nowhere"));
  g_free(path);
  g_free(name);
  forget(&asked);
}
END_TEST

/* Twelve seasons that overlap and thirty varieties: crops and varieties that have no room are
 * counted, the rest is drawn. */
START_TEST(many_seasons_and_varieties_are_drawn) {
  GString *yaml = g_string_new(
      "crop: many\ntitle: Many\nunit: C\nstages:\n"
      "  - {stage: all, days: 40, band: [0, 10, 25, 35]}\n"
      "seasons:\n");
  for (int s = 0; s < 12; s++)
    g_string_append_printf(yaml, "  - {season: s%d, sow: [04-%02d, 04-%02d]}\n", s, 2 * s + 1,
                           2 * s + 2);
  g_string_append(yaml, "varieties:\n");
  for (int v = 0; v < 30; v++)
    g_string_append_printf(yaml,
                           "  - variety: v%d\n    title: A variety with a long name, number %d\n"
                           "    stages: [{stage: all, days: %d}]\n",
                           v, v, 40 + v);
  struct isw_sheet *sheet;
  struct isw_error error = {.text = ""};
  ck_assert_msg(isw_crop_parse_sheet(yaml->str, yaml->len, "many.yaml", &sheet, &error) == ISW_OK,
                "%s", error.text);
  g_string_free(yaml, TRUE);
  struct isw_normals normals = {.has_year_spread = false};
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    normals.tmin_C[m] = 5 - 10 * cos(m * G_PI / 6);
    normals.tmax_C[m] = normals.tmin_C[m] + 12;
  }
  struct asked asked = ask_normals(sheet, &normals, 45, "Many");
  struct isw_year_view *view = isw_chart_new_year_view(asked.plan, asked.place);
  ck_assert_int_eq(view->n_rows, ISW_YEAR_ROWS_MAX);
  ck_assert_int_le(view->n_panels, ISW_YEAR_PANELS_MAX);
  g_free(view);
  char *path = new_path("many.png");
  draw(&asked, path, true);
  g_free(path);
  forget(&asked);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("place_year");
  TCase *tcase = tcase_create("view");
  tcase_add_loop_test(tcase, the_axis_starts_where_no_crop_is_cut, 0, G_N_ELEMENTS(starts));
  tcase_add_loop_test(tcase, crops_of_a_panel_do_not_touch, 0, G_N_ELEMENTS(rooms));
  tcase_add_loop_test(tcase, spans_of_days_read_as_people_write_them, 0, 5);
  tcase_add_loop_test(tcase, a_view_holds_what_the_model_says, 0, n_places());
  suite_add_tcase(suite, tcase);
  tcase = tcase_create("cells");
  tcase_set_timeout(tcase, 60);
  tcase_add_test(tcase, rows_hold_what_rasters_hold);
  suite_add_tcase(suite, tcase);
  tcase = tcase_create("files");
  tcase_set_timeout(tcase, 60);
  tcase_add_loop_test(tcase, the_picture_shows_very_good_days_where_they_are, 0, n_places());
  tcase_add_test(tcase, a_png_says_what_it_is);
  tcase_add_test(tcase, an_svg_is_xml_with_title_and_description);
  tcase_add_test(tcase, a_pdf_starts_and_ends_as_one);
  tcase_add_loop_test(tcase, other_endings_are_refused, 0, 6);
  tcase_add_loop_test(tcase, a_full_disk_is_told_and_leaves_the_old_chart, 0, 3);
  tcase_add_loop_test(tcase, a_folder_that_is_not_there_is_told, 0, 3);
  tcase_add_test(tcase, many_seasons_and_varieties_are_drawn);
  suite_add_tcase(suite, tcase);
  return suite;
}
