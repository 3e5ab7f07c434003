#include "guide/place_table.h"

#include "output/place_csv.h"
#include "output/text_result.h"

static void append_place(GString *text, const struct isw_plan *plan,
                         const struct isw_guide_site *site, bool crop_column) {
  char lat_text[32], lon_text[32];
  g_ascii_formatd(lat_text, sizeof lat_text, "%.4f", site->lat_deg);
  g_ascii_formatd(lon_text, sizeof lon_text, "%.4f", site->lon_deg);
  struct isw_site asked = {.name = site->name, .lat_text = lat_text, .lon_text = lon_text};
  int n = plan->n_varieties * plan->n_seasons;
  struct isw_result *results = g_new0(struct isw_result, (gsize)n);
  for (int r = 0; r < n; r++) results[r] = site->place->results[r].result;
  isw_output_append_place_rows(text, plan, &asked, results, crop_column);
  g_free(results);
}

enum isw_status isw_guide_write_places(int n, const struct isw_plan *const *plans,
                                       const struct isw_guide_sites *const *sites, const char *path,
                                       struct isw_error *error) {
  GString *text = g_string_new(NULL);
  isw_output_append_place_header(text, n > 1, false);
  for (int c = 0; c < n; c++)
    for (int i = 0; i < sites[c]->n_named; i++)
      if (sites[c]->named[i].place != NULL)
        append_place(text, plans[c], &sites[c]->named[i], n > 1);
  return isw_output_write_text(text, path, error);
}
