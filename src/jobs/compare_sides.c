#include "jobs/compare_sides.h"

#include <math.h>
#include <string.h>

/* "SHEET:VARIETY" into its two words; no sheet: that of --crop. The last colon counts: paths may
 * hold others. */
static void split_side(const char *side, char **sheet, char **variety) {
  const char *colon = strrchr(side, ':');
  *sheet = colon != NULL ? g_strndup(side, (gsize)(colon - side)) : NULL;
  *variety = g_strdup(colon != NULL ? colon + 1 : side);
}

/* The side's own, or that of --crop; NULL: neither. */
static const char *sheet_of(const struct isw_options *options, const char *named) {
  return named != NULL || options->crops == NULL ? named : options->crops[0];
}

static enum isw_status load_sheet(const struct isw_options *options, const char *named,
                                  const char *side, struct isw_sheet **out,
                                  struct isw_error *error) {
  const char *sheet = sheet_of(options, named);
  if (sheet == NULL || sheet[0] == '\0')
    return isw_base_fail(
        error, ISW_USAGE,
        "%s: of which sheet? Give --crop, or write SHEET:VARIETY (built-in sheets: "
        "isosow crop list)",
        side);
  return isw_crop_load_sheet(sheet, out, error);
}

static enum isw_status find_variety(const struct isw_sheet *sheet, const char *name, int *out,
                                    struct isw_error *error) {
  *out = isw_crop_find_variety(sheet, name);
  if (*out >= 0) return ISW_OK;
  GString *names = g_string_new(NULL);
  for (int v = 0; v < sheet->n_varieties; v++)
    g_string_append_printf(names, "%s%s", v > 0 ? ", " : "", sheet->varieties[v].name);
  enum isw_status status =
      isw_base_fail(error, ISW_USAGE, "%s: %s (%s) has no such variety; it has: %s", name,
                    sheet->crop, sheet->origin, names->str);
  g_string_free(names, TRUE);
  return status;
}

static bool is_wanted(char **seasons, const char *name) {
  return seasons == NULL || g_strv_contains((const char *const *)seasons, name);
}

/* Seasons of one sheet that the other has too and --season lets through. */
static int shared_seasons(const struct isw_sheet *sheet, const struct isw_sheet *other,
                          char **wanted, const char *side, struct isw_log *log,
                          int out[ISW_SEASONS_MAX]) {
  int n = 0;
  for (int s = 0; s < sheet->n_seasons; s++) {
    const struct isw_season *season = &sheet->seasons[s];
    if (!is_wanted(wanted, season->name)) continue;
    int in_other = isw_crop_find_season(other, season->name);
    if (in_other < 0) {
      isw_base_warn(log, "season %s is only in the sheet of %s; it is left out", season->name,
                    side);
      continue;
    }
    out[n++] = s;
  }
  return n;
}

static void warn_of_dates(const struct isw_compare_sides *sides, struct isw_log *log) {
  for (int i = 0; i < sides->n_seasons; i++) {
    const struct isw_plan *a = sides->a.plan, *b = sides->b.plan;
    const struct isw_season *in_a = &a->sheet->seasons[a->seasons[sides->a_season[i]]];
    const struct isw_season *in_b = &b->sheet->seasons[b->seasons[sides->b_season[i]]];
    if (in_a->sow_from_day != in_b->sow_from_day || in_a->sow_to_day != in_b->sow_to_day)
      isw_base_warn(log,
                    "season %s has other sowing dates in the two sheets; each side keeps its "
                    "own",
                    in_a->name);
  }
}

static enum isw_status check_seasons(const struct isw_options *options, const struct isw_sheet *a,
                                     const struct isw_sheet *b, struct isw_error *error) {
  for (char **name = options->seasons; name != NULL && *name != NULL; name++)
    if (isw_crop_find_season(a, *name) < 0 && isw_crop_find_season(b, *name) < 0)
      return isw_base_fail(error, ISW_USAGE, "--season %s: neither sheet has such a season", *name);
  return ISW_OK;
}

static void match_seasons(struct isw_compare_sides *sides) {
  const struct isw_plan *a = sides->a.plan, *b = sides->b.plan;
  sides->n_seasons = a->n_seasons;
  for (int i = 0; i < a->n_seasons; i++) {
    const char *name = a->sheet->seasons[a->seasons[i]].name;
    sides->a_season[i] = i;
    for (int j = 0; j < b->n_seasons; j++)
      if (strcmp(b->sheet->seasons[b->seasons[j]].name, name) == 0) sides->b_season[i] = j;
  }
}

/* B's conditions: A's, where B has none of its own. */
static enum isw_status make_b_conditions(const struct isw_options *options,
                                         const struct isw_sheet *sheet, struct isw_conditions *out,
                                         struct isw_error *error) {
  struct isw_options changed = *options;
  if (options->b_grown_under != NULL) changed.grown_under = options->b_grown_under;
  if (options->b_start != ISW_NOT_GIVEN) changed.start = options->b_start;
  if (!isnan(options->b_warmer_K)) changed.warmer_K += options->b_warmer_K;
  enum isw_status status = isw_jobs_make_conditions(&changed, sheet, out, error);
  if (status != ISW_OK && options->b_grown_under != NULL) isw_base_prefix_error(error, "of B: ");
  return status;
}

/* Numbers as files and people see them: "2", "1.5". */
static void append_number(GString *text, double value) {
  char number[32];
  g_ascii_formatd(number, sizeof number, "%g", value);
  g_string_append(text, number);
}

/* own: the options whose conditions of its own the side has (B's), or NULL. */
static void name_side(struct isw_compare_side *side, int variety, const struct isw_options *own) {
  GString *label = g_string_new(side->sheet->varieties[variety].name);
  GString *title = g_string_new(side->sheet->varieties[variety].title);
  if (own != NULL && own->b_grown_under != NULL) {
    g_string_append_printf(label, "-grown-under-%s", own->b_grown_under);
    g_string_append_printf(title, ", grown under %s", own->b_grown_under);
  }
  if (own != NULL && own->b_start != ISW_NOT_GIVEN) {
    bool direct = own->b_start == ISW_CHOSE_DIRECT;
    g_string_append_printf(label, "-start-%s", direct ? "direct" : "nursery");
    g_string_append_printf(title, ", %s", direct ? "sown in place" : "started in a nursery");
  }
  if (own != NULL && !isnan(own->b_warmer_K)) {
    const char *word = own->b_warmer_K < 0.0 ? "cooler" : "warmer";
    g_string_append_printf(label, "-%s-", word);
    append_number(label, ABS(own->b_warmer_K));
    g_string_append(title, ", ");
    append_number(title, ABS(own->b_warmer_K));
    g_string_append_printf(title, " °C %s", word);
  }
  side->label = g_string_free(label, FALSE);
  side->title = g_string_free(title, FALSE);
}

static bool same_conditions(const struct isw_conditions *a, const struct isw_conditions *b) {
  return a->warmer_K == b->warmer_K && a->grown_under == b->grown_under && a->start == b->start;
}

static enum isw_status refuse_same(const struct isw_compare_sides *sides, struct isw_error *error) {
  const struct isw_compare_side *a = &sides->a, *b = &sides->b;
  bool same_sheet = a->sheet == b->sheet;
  if (same_sheet && a->plan->varieties[0] == b->plan->varieties[0] &&
      same_conditions(&a->plan->conditions, &b->plan->conditions))
    return isw_base_fail(error, ISW_USAGE,
                         "A and B are both %s under the same conditions; name another variety, or "
                         "give B a condition of its own (--b-grown-under, --b-warmer, --b-start)",
                         a->label);
  if (strcmp(a->label, b->label) == 0)
    return isw_base_fail(error, ISW_USAGE,
                         "A and B would both be called %s in file names; rename the variety in one "
                         "of the sheets (%s, %s)",
                         a->label, a->sheet->origin, b->sheet->origin);
  return ISW_OK;
}

static enum isw_status load_sides(const struct isw_options *options, char *const sheets[2],
                                  const char *a, const char *b, struct isw_compare_sides *out,
                                  struct isw_error *error) {
  enum isw_status status = load_sheet(options, sheets[0], a, &out->a.sheet, error);
  if (status != ISW_OK) return status;
  const char *a_sheet = sheet_of(options, sheets[0]);
  const char *b_sheet = sheet_of(options, sheets[1]);
  if (b_sheet != NULL && strcmp(a_sheet, b_sheet) == 0) {
    out->b.sheet = out->a.sheet;
    return ISW_OK;
  }
  return load_sheet(options, sheets[1], b, &out->b.sheet, error);
}

enum isw_status isw_jobs_make_compare_sides(const struct isw_options *options, const char *a,
                                            const char *b, struct isw_log *log,
                                            struct isw_compare_sides *out,
                                            struct isw_error *error) {
  *out = (struct isw_compare_sides){.n_seasons = 0};
  char *sheets[2], *names[2];
  split_side(a, &sheets[0], &names[0]);
  split_side(b, &sheets[1], &names[1]);
  int varieties[2] = {0, 0};
  struct isw_conditions conditions[2];
  const char *crop;
  enum isw_status status =
      options->crops != NULL ? isw_jobs_one_crop(options, &crop, error) : ISW_OK;
  if (status == ISW_OK) status = load_sides(options, sheets, a, b, out, error);
  struct isw_sheet *a_sheet = out->a.sheet, *b_sheet = out->b.sheet;
  if (status == ISW_OK) status = find_variety(a_sheet, names[0], &varieties[0], error);
  if (status == ISW_OK) status = find_variety(b_sheet, names[1], &varieties[1], error);
  if (status == ISW_OK) status = check_seasons(options, a_sheet, b_sheet, error);
  if (status == ISW_OK) status = isw_jobs_make_conditions(options, a_sheet, &conditions[0], error);
  if (status == ISW_OK) status = make_b_conditions(options, b_sheet, &conditions[1], error);
  if (status == ISW_OK) {
    int a_seasons[ISW_SEASONS_MAX], b_seasons[ISW_SEASONS_MAX];
    int n_a = shared_seasons(a_sheet, b_sheet, options->seasons, "A", log, a_seasons);
    int n_b = shared_seasons(b_sheet, a_sheet, options->seasons, "B", log, b_seasons);
    if (n_a == 0)
      status = isw_base_fail(error, ISW_USAGE,
                             "the sheets of A and B have no season in common to compare (%s, %s)",
                             a_sheet->origin, b_sheet->origin);
    if (status == ISW_OK) {
      out->a.plan = g_new(struct isw_plan, 1);
      out->b.plan = g_new(struct isw_plan, 1);
      isw_growth_make_plan(a_sheet, &conditions[0], 1, &varieties[0], n_a, a_seasons, out->a.plan);
      isw_growth_make_plan(b_sheet, &conditions[1], 1, &varieties[1], n_b, b_seasons, out->b.plan);
      match_seasons(out);
      name_side(&out->a, varieties[0], NULL);
      name_side(&out->b, varieties[1], options);
      status = refuse_same(out, error);
      if (status == ISW_OK) warn_of_dates(out, log);
    }
  }
  for (int i = 0; i < 2; i++) {
    g_free(sheets[i]);
    g_free(names[i]);
  }
  return status;
}

void isw_jobs_free_compare_sides(struct isw_compare_sides *sides) {
  if (sides->b.sheet != sides->a.sheet) isw_crop_free_sheet(sides->b.sheet);
  isw_crop_free_sheet(sides->a.sheet);
  struct isw_compare_side *both[] = {&sides->a, &sides->b};
  for (size_t i = 0; i < G_N_ELEMENTS(both); i++) {
    g_free(both[i]->plan);
    g_free(both[i]->label);
    g_free(both[i]->title);
  }
}
