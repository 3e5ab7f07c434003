#include "jobs/publish.h"

#include <string.h>

/* Names of a kind: of every sheet that has them, each once; borrowed. */
static GPtrArray *list_seasons(int n, const struct isw_sheet *const *sheets) {
  GPtrArray *names = g_ptr_array_new();
  for (int c = 0; c < n; c++)
    for (int i = 0; i < sheets[c]->n_seasons; i++)
      if (!g_ptr_array_find_with_equal_func(names, sheets[c]->seasons[i].name, g_str_equal, NULL))
        g_ptr_array_add(names, (char *)sheets[c]->seasons[i].name);
  return names;
}

static GPtrArray *list_varieties(int n, const struct isw_sheet *const *sheets) {
  GPtrArray *names = g_ptr_array_new();
  for (int c = 0; c < n; c++)
    for (int i = 0; i < sheets[c]->n_varieties; i++)
      if (!g_ptr_array_find_with_equal_func(names, sheets[c]->varieties[i].name, g_str_equal, NULL))
        g_ptr_array_add(names, (char *)sheets[c]->varieties[i].name);
  return names;
}

static GPtrArray *list_districts(const struct isw_district_set *districts) {
  GPtrArray *names = g_ptr_array_new();
  for (int d = 0; d < isw_regions_district_count(districts); d++)
    g_ptr_array_add(names, (char *)isw_regions_district_name(districts, d));
  return names;
}

static bool is_pair_of(const char *pair, const char *name) {
  size_t length = strlen(name);
  return strncmp(pair, name, length) == 0 && pair[length] == '=';
}

static enum isw_status refuse_pair(const struct isw_options *options, const char *key,
                                   const char *what, const GPtrArray *names, const char *pair,
                                   struct isw_error *error) {
  enum { LISTED = 20 };
  GString *list = g_string_new(NULL);
  for (guint n = 0; n < names->len && n <= LISTED; n++)
    g_string_append_printf(list, "%s%s", n > 0 ? ", " : "",
                           n < LISTED ? (const char *)names->pdata[n] : "...");
  enum isw_status status =
      isw_base_fail(error, ISW_INPUT_CONTENT, "%s: %s: there is no %s '%.*s'; there are: %s",
                    options->region_file != NULL ? options->region_file : "region file", key, what,
                    (int)MIN(strcspn(pair, "="), 60), pair, list->str);
  g_string_free(list, TRUE);
  return status;
}

/* Is every pair's name among those there are? Takes names. */
static enum isw_status check_pairs(const struct isw_options *options, const char *key,
                                   const char *what, GPtrArray *names, char *const *pairs,
                                   struct isw_error *error) {
  enum isw_status status = ISW_OK;
  for (; pairs != NULL && *pairs != NULL && status == ISW_OK; pairs++) {
    guint n = 0;
    while (n < names->len && !is_pair_of(*pairs, names->pdata[n])) n++;
    if (n == names->len) status = refuse_pair(options, key, what, names, *pairs, error);
  }
  g_ptr_array_unref(names);
  return status;
}

static void set_title(char *const *pairs, const char *name, char **title) {
  const char *given = isw_guide_text_of(pairs, name);
  if (given == NULL) return;
  g_free(*title);
  *title = g_strdup(given);
}

enum isw_status isw_jobs_name_as_read(const struct isw_options *options, int n,
                                      struct isw_sheet *const *sheets, struct isw_error *error) {
  const struct isw_sheet *const *read = (const struct isw_sheet *const *)sheets;
  enum isw_status status = check_pairs(options, "season-names", "season", list_seasons(n, read),
                                       options->season_names, error);
  if (status == ISW_OK)
    status = check_pairs(options, "type-names", "variety", list_varieties(n, read),
                         options->type_names, error);
  for (int c = 0; c < n && status == ISW_OK; c++) {
    for (int s = 0; s < sheets[c]->n_seasons; s++)
      set_title(options->season_names, sheets[c]->seasons[s].name, &sheets[c]->seasons[s].title);
    for (int v = 0; v < sheets[c]->n_varieties; v++)
      set_title(options->type_names, sheets[c]->varieties[v].name, &sheets[c]->varieties[v].title);
  }
  return status;
}

enum isw_status isw_jobs_open_publication(const struct isw_options *options, int n,
                                          const struct isw_sheet *const *sheets,
                                          const struct isw_district_set *districts,
                                          struct isw_publication *out, struct isw_logo **logo,
                                          struct isw_error *error) {
  *logo = NULL;
  enum isw_status status = check_pairs(options, "season-texts", "season", list_seasons(n, sheets),
                                       options->season_texts, error);
  if (status == ISW_OK)
    status = check_pairs(options, "district-texts", "district", list_districts(districts),
                         options->district_texts, error);
  if (status == ISW_OK && options->logo != NULL)
    status = isw_guide_read_logo(options->logo, logo, error);
  *out = (struct isw_publication){.subtitle = options->subtitle,
                                  .publisher = options->publisher,
                                  .edition = options->edition,
                                  .contact = options->contact,
                                  .page_address = options->page_address,
                                  .credit = options->credit,
                                  .licence = options->licence,
                                  .before = options->text_before,
                                  .after = options->text_after,
                                  .season_texts = options->season_texts,
                                  .district_texts = options->district_texts,
                                  .glossary = options->glossary,
                                  .logo = *logo};
  return status;
}
