#include "cli/map_pages.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "base/interrupt.h"
#include "output/window_rasters.h"
#include "survey/side_by_side.h"

static const double a4_long_mm = 297.0, a4_short_mm = 210.0;
static const double letter_long_mm = 279.4, letter_short_mm = 215.9;
static const double default_dpi = 300.0, dpi_least = 50.0, dpi_most = 1200.0;
static const double page_least_mm = 90.0, page_most_mm = 1200.0;

void isw_cli_start_page_options(struct isw_page_options *options) {
  *options = (struct isw_page_options){.dpi = default_dpi};
}

void isw_cli_free_page_options(struct isw_page_options *options) {
  g_free(options->maps);
  g_free(options->size);
  g_free(options->title);
  g_free(options->districts);
  g_free(options->district_name);
}

void isw_cli_add_page_options(GOptionContext *context, struct isw_page_options *o) {
  const GOptionEntry entries[] = {
      {"maps", 0, 0, G_OPTION_ARG_STRING, &o->maps,
       "Printed maps: none, main (the default) or all (map and guide: score maps too)",
       "none|main|all"},
      {"title", 0, 0, G_OPTION_ARG_STRING, &o->title, "Name of the region on the maps", "TEXT"},
      {"districts", 0, 0, G_OPTION_ARG_FILENAME, &o->districts,
       "District outlines: any vector file", "VECTOR"},
      {"district-name", 0, 0, G_OPTION_ARG_STRING, &o->district_name,
       "The column that holds the districts' names", "COLUMN"},
      {"size", 0, 0, G_OPTION_ARG_STRING, &o->size,
       "Page size: A4 (default), A3, letter, or WIDTHxHEIGHT in mm", "SIZE"},
      {"dpi", 0, 0, G_OPTION_ARG_DOUBLE, &o->dpi, "Resolution of the maps (300)", "N"},
      G_OPTION_ENTRY_NULL};
  GOptionGroup *group = g_option_group_new("maps", "Maps:", "Show options for maps", NULL, NULL);
  g_option_group_add_entries(group, entries);
  g_option_context_add_group(context, group);
}

static enum isw_status parse_size(const char *size, struct isw_map_page *page,
                                  struct isw_error *error) {
  if (size == NULL || g_ascii_strcasecmp(size, "a4") == 0) {
    page->width_mm = a4_long_mm;
    page->height_mm = a4_short_mm;
    return ISW_OK;
  }
  if (g_ascii_strcasecmp(size, "a3") == 0) {
    page->width_mm = 2.0 * a4_short_mm;
    page->height_mm = a4_long_mm;
    return ISW_OK;
  }
  if (g_ascii_strcasecmp(size, "letter") == 0) {
    page->width_mm = letter_long_mm;
    page->height_mm = letter_short_mm;
    return ISW_OK;
  }
  char *end;
  page->width_mm = g_ascii_strtod(size, &end);
  if (end != size && (*end == 'x' || *end == 'X')) {
    const char *second = end + 1;
    page->height_mm = g_ascii_strtod(second, &end);
    if (end != second && *end == '\0' && page->width_mm >= page_least_mm &&
        page->width_mm <= page_most_mm && page->height_mm >= page_least_mm &&
        page->height_mm <= page_most_mm)
      return ISW_OK;
  }
  return isw_base_fail(error, ISW_USAGE,
                       "--size %s: is neither A4, A3, letter nor WIDTHxHEIGHT in mm, each from %g "
                       "to %g",
                       size, page_least_mm, page_most_mm);
}

enum isw_status isw_cli_make_page(const struct isw_page_options *options,
                                  const struct isw_sheet *sheet, enum isw_maps *maps,
                                  struct isw_map_page *page, struct isw_error *error) {
  static const char *const words[] = {"none", "main", "all"};
  size_t word = ISW_MAPS_MAIN;
  if (options->maps != NULL) {
    word = 0;
    while (word < G_N_ELEMENTS(words) && strcmp(words[word], options->maps) != 0) word++;
    if (word == G_N_ELEMENTS(words))
      return isw_base_fail(error, ISW_USAGE, "--maps %s: is none of none, main, all",
                           options->maps);
  }
  *maps = (enum isw_maps)word;
  if (!isfinite(options->dpi) || options->dpi < dpi_least || options->dpi > dpi_most)
    return isw_base_fail(error, ISW_USAGE, "--dpi %g: must be from %g to %g", options->dpi,
                         dpi_least, dpi_most);
  if (options->district_name != NULL && options->districts == NULL)
    return isw_base_fail(error, ISW_USAGE, "--district-name needs --districts");
  *page = (struct isw_map_page){.dpi = options->dpi,
                                .crop_title = sheet->title,
                                .region_title = options->title,
                                .software = "isosow " ISOSOW_VERSION,
                                .districts = options->districts,
                                .district_name = options->district_name};
  return parse_size(options->size, page, error);
}

enum page_kind { PAGE_SOWING, PAGE_SCORE, PAGE_PICK };

struct page_task {
  enum page_kind kind;
  int v, s;
};

/* The pages of a plan in order; v is not used for picks. */
static GArray *list_tasks(const struct isw_plan *plan, enum isw_maps maps) {
  GArray *tasks = g_array_new(FALSE, FALSE, sizeof(struct page_task));
  if (maps == ISW_MAPS_NONE) return tasks;
  for (int v = 0; v < plan->n_varieties; v++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      struct page_task sowing = {PAGE_SOWING, v, s}, score = {PAGE_SCORE, v, s};
      g_array_append_val(tasks, sowing);
      if (maps == ISW_MAPS_ALL) g_array_append_val(tasks, score);
    }
  }
  for (int s = 0; s < plan->n_seasons; s++) {
    struct page_task pick = {PAGE_PICK, 0, s};
    g_array_append_val(tasks, pick);
  }
  return tasks;
}

static char *page_name(const struct isw_plan *plan, const struct page_task *task) {
  switch (task->kind) {
    case PAGE_SOWING: return isw_output_result_name(plan, task->v, task->s, "-sowing.png");
    case PAGE_SCORE: return isw_output_result_name(plan, task->v, task->s, "-score.png");
    case PAGE_PICK: break;
  }
  return isw_output_pick_name(plan, task->s, ".png");
}

void isw_cli_list_pages(const struct isw_plan *plan, enum isw_maps maps, GPtrArray *names) {
  GArray *tasks = list_tasks(plan, maps);
  for (guint i = 0; i < tasks->len; i++)
    g_ptr_array_add(names, page_name(plan, &g_array_index(tasks, struct page_task, i)));
  g_array_unref(tasks);
}

/* What the drawing threads share. */
struct drawing {
  const struct isw_plan *plan;
  const struct isw_map_page *page;
  const struct isw_tally *tally;
  const struct page_task *tasks;
  const char **rasters, **pages;
};

static enum isw_status draw_page(void *self, int i, struct isw_error *error) {
  const struct drawing *drawing = self;
  const struct isw_plan *plan = drawing->plan;
  const struct page_task *task = &drawing->tasks[i];
  const struct isw_season *season = &plan->sheet->seasons[plan->seasons[task->s]];
  if (isw_base_interrupted_by())
    return isw_base_fail(error, ISW_INTERRUPTED, "interrupted; no results were changed");
  if (task->kind == PAGE_PICK)
    return isw_chart_draw_pick_map(drawing->page, drawing->rasters[i], plan, task->s,
                                   isw_survey_pick_tally(drawing->tally, task->s),
                                   drawing->pages[i], error);
  const struct isw_variety *variety = &plan->sheet->varieties[plan->varieties[task->v]];
  const struct isw_result_tally *tally =
      isw_survey_result_tally(drawing->tally, isw_growth_result_index(plan, task->v, task->s));
  if (task->kind == PAGE_SOWING)
    return isw_chart_draw_sowing_map(drawing->page, drawing->rasters[i], variety, season, tally,
                                     drawing->pages[i], error);
  return isw_chart_draw_score_map(drawing->page, drawing->rasters[i], variety, season, tally,
                                  drawing->pages[i], error);
}

enum isw_status isw_cli_draw_pages(const struct isw_plan *plan, enum isw_maps maps,
                                   const struct isw_map_page *page, const struct isw_tally *tally,
                                   int threads, struct isw_folder *folder, struct isw_log *log,
                                   struct isw_error *error) {
  struct isw_map_page said = *page;
  said.plan = plan;
  GArray *tasks = list_tasks(plan, maps);
  guint n = tasks->len;
  struct drawing drawing = {.plan = plan,
                            .page = &said,
                            .tally = tally,
                            .tasks = (const void *)tasks->data,
                            .rasters = g_new(const char *, n),
                            .pages = g_new(const char *, n)};
  for (guint i = 0; i < n; i++) {
    const struct page_task *task = &drawing.tasks[i];
    char *raster = task->kind == PAGE_PICK ? isw_output_pick_name(plan, task->s, ".tif")
                                           : isw_output_result_name(plan, task->v, task->s, ".tif");
    char *name = page_name(plan, task);
    drawing.rasters[i] = isw_output_temporary_path(folder, raster);
    drawing.pages[i] = isw_output_temporary_path(folder, name);
    g_free(raster);
    g_free(name);
  }
  if (n > 0) isw_base_notice(log, "drawing %u maps", n);
  enum isw_status status = isw_survey_do_tasks((int)n, threads, draw_page, &drawing, log, error);
  g_free(drawing.rasters);
  g_free(drawing.pages);
  g_array_unref(tasks);
  return status;
}
