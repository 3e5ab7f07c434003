#include "jobs/publish.h"

#include <string.h>

/* The nth name of a kind; NULL past the last. */
typedef const char *nth_name(const void *of, int n);

static const char *season_name(const void *of, int n) {
  const struct isw_sheet *sheet = of;
  return n < sheet->n_seasons ? sheet->seasons[n].name : NULL;
}

static const char *variety_name(const void *of, int n) {
  const struct isw_sheet *sheet = of;
  return n < sheet->n_varieties ? sheet->varieties[n].name : NULL;
}

static const char *district_name(const void *of, int n) {
  return n < isw_regions_district_count(of) ? isw_regions_district_name(of, n) : NULL;
}

struct kind {
  const char *key, *what;
  nth_name *name;
};

static bool is_pair_of(const char *pair, const char *name) {
  size_t length = strlen(name);
  return strncmp(pair, name, length) == 0 && pair[length] == '=';
}

static enum isw_status refuse_pair(const struct isw_options *options, const struct kind *kind,
                                   const void *of, const char *pair, struct isw_error *error) {
  enum { LISTED = 20 };
  GString *names = g_string_new(NULL);
  const char *name;
  for (int n = 0; n <= LISTED && (name = kind->name(of, n)) != NULL; n++)
    g_string_append_printf(names, "%s%s", n > 0 ? ", " : "", n < LISTED ? name : "...");
  enum isw_status status =
      isw_base_fail(error, ISW_INPUT_CONTENT, "%s: %s: there is no %s '%.*s'; there are: %s",
                    options->region_file != NULL ? options->region_file : "region file", kind->key,
                    kind->what, (int)MIN(strcspn(pair, "="), 60), pair, names->str);
  g_string_free(names, TRUE);
  return status;
}

/* Is every pair's name among those of its kind? */
static enum isw_status check_pairs(const struct isw_options *options, const struct kind *kind,
                                   const void *of, char *const *pairs, struct isw_error *error) {
  for (; pairs != NULL && *pairs != NULL; pairs++) {
    int n = 0;
    while (kind->name(of, n) != NULL && !is_pair_of(*pairs, kind->name(of, n))) n++;
    if (kind->name(of, n) == NULL) return refuse_pair(options, kind, of, *pairs, error);
  }
  return ISW_OK;
}

static void set_title(char *const *pairs, const char *name, char **title) {
  const char *given = isw_guide_text_of(pairs, name);
  if (given == NULL) return;
  g_free(*title);
  *title = g_strdup(given);
}

enum isw_status isw_jobs_name_as_read(const struct isw_options *options, struct isw_sheet *sheet,
                                      struct isw_error *error) {
  static const struct kind seasons = {"season-names", "season", season_name},
                           varieties = {"type-names", "variety", variety_name};
  enum isw_status status = check_pairs(options, &seasons, sheet, options->season_names, error);
  if (status == ISW_OK)
    status = check_pairs(options, &varieties, sheet, options->type_names, error);
  if (status != ISW_OK) return status;
  for (int s = 0; s < sheet->n_seasons; s++)
    set_title(options->season_names, sheet->seasons[s].name, &sheet->seasons[s].title);
  for (int v = 0; v < sheet->n_varieties; v++)
    set_title(options->type_names, sheet->varieties[v].name, &sheet->varieties[v].title);
  return ISW_OK;
}

enum isw_status isw_jobs_open_publication(const struct isw_options *options,
                                          const struct isw_sheet *sheet,
                                          const struct isw_district_set *districts,
                                          struct isw_publication *out, struct isw_logo **logo,
                                          struct isw_error *error) {
  static const struct kind seasons = {"season-texts", "season", season_name},
                           named = {"district-texts", "district", district_name};
  *logo = NULL;
  enum isw_status status = check_pairs(options, &seasons, sheet, options->season_texts, error);
  if (status == ISW_OK)
    status = check_pairs(options, &named, districts, options->district_texts, error);
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
