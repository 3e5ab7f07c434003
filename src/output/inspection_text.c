#include <math.h>

#include "output/inspection_report.h"

static void append_bands(GString *out, const struct isw_inspection *i) {
  const char *unit = i->unit_guessed ? "an unsaid unit" : i->elevation ? "m" : "degC";
  g_string_append_printf(out, "  %-9s  %4s  %9s  %9s  %9s  %10s   in %s\n",
                         i->elevation ? "values" : "month", "band", "lowest", "mean", "highest",
                         "no value", unit);
  for (int b = 0; b < i->band_count; b++) {
    const struct isw_inspection_band *band = &i->bands[b];
    g_string_append_printf(out, "  %-9s  %4d", i->elevation ? "all" : isw_base_month_name(b),
                           band->number);
    if (band->with_value == 0)
      g_string_append_printf(out, "  %9s  %9s  %9s", "-", "-", "-");
    else
      g_string_append_printf(out, "  %9.2f  %9.2f  %9.2f", band->low, band->mean, band->high);
    g_string_append_printf(out, "  %10lld\n", band->missing);
  }
}

static void append_text(GString *out, const struct isw_inspection *i) {
  const struct isw_grid *grid = &i->grid;
  const struct isw_inspection_band *first = &i->bands[0];
  g_string_append_printf(out, "%s\n", i->name);
  g_string_append_printf(
      out, "  holds      %s, %s, %s\n",
      i->unit_guessed ? "one band that says no unit: an elevation, or one month of temperature"
      : i->elevation  ? "elevation"
                      : "twelve months of temperature",
      i->format, i->type);
  if (g_strcmp0(first->file, i->name) != 0)
    g_string_append_printf(out, "  read as    %s\n", first->file);
  if (i->unit_guessed)
    g_string_append_printf(out, "  value      as stored; nodata %s\n", first->nodata);
  else
    g_string_append_printf(out, "  value      %s = %s, unit %s by %s; nodata %s\n",
                           i->elevation ? "m" : "degC", first->formula, i->unit, i->unit_reason,
                           first->nodata);
  if (i->month_reason != NULL) g_string_append_printf(out, "  months     by %s\n", i->month_reason);
  g_string_append_printf(out, "  period     %s\n", i->period == NULL ? "not stated" : i->period);
  g_string_append_printf(out, "  grid       %d x %d cells of %.10g x %.10g from %.10g, %.10g%s\n",
                         grid->width, grid->height, i->cell_width, i->cell_height,
                         grid->transform[0], grid->transform[3],
                         grid->transform[5] > 0.0 ? ", south up" : "");
  g_string_append_printf(out, "  CRS        %s%s\n", i->crs_name,
                         i->crs_assumed ? ", assumed" : "");
  if (!isnan(i->south_deg))
    g_string_append_printf(out, "  extent     latitude %.4f to %.4f, longitude %.4f to %.4f\n",
                           i->south_deg, i->north_deg, i->west_deg, i->east_deg);
  g_string_append_printf(out, "  cell       %.4g km2 in the middle of the grid\n",
                         i->cell_area_km2);
  double share = i->cells > 0 ? 100.0 * (double)i->whole / (double)i->cells : 0.0;
  g_string_append_printf(
      out,
      "  cells      %lld looked at (%s): %lld with all values (%.1f %%), %lld with some, %lld "
      "with none\n",
      i->cells, i->every_cell ? "all" : "a sample", i->whole, share, i->partial, i->empty);
  append_bands(out, i);
  for (char **text = i->notices; *text != NULL; text++)
    g_string_append_printf(out, "  notice     %s\n", *text);
  for (char **text = i->doubts; *text != NULL; text++)
    g_string_append_printf(out, "  doubt      %s\n", *text);
}

void isw_output_append_inspection_text(GString *out, const struct isw_finding *findings, int count,
                                       const char *command, const struct isw_error *pair_error) {
  for (int k = 0; k < count; k++) {
    if (k > 0) g_string_append_c(out, '\n');
    if (findings[k].inspection != NULL)
      append_text(out, findings[k].inspection);
    else
      g_string_append_printf(out, "%s\n  refused    %s\n", findings[k].src, findings[k].error.text);
  }
  if (pair_error != NULL)
    g_string_append_printf(out, "\nTogether they are refused: %s\n", pair_error->text);
  if (command != NULL) g_string_append_printf(out, "\n%s\n", command);
}
