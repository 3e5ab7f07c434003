#include "crop/sheet_temperatures.h"

#include <math.h>

/* Outside these no crop grows and no farm is; a unit was mixed up. */
static const double coldest_C = -60.0;
static const double hottest_C = 60.0;
static const double largest_difference_K = 60.0;

bool isw_crop_check_temperature(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                                const char *key, size_t line, double value) {
  double value_C = isw_base_to_celsius(value, draft->unit);
  if (value_C >= coldest_C && value_C <= hottest_C) return true;
  const char *unit = isw_base_unit_name(draft->unit);
  return isw_documents_fail_at(
      &draft->reader, map, line,
      "%s holds %g deg%s; temperatures lie between %g and %g deg%s: check the number and the "
      "sheet's unit",
      key, value, unit, isw_base_from_celsius(coldest_C, draft->unit),
      isw_base_from_celsius(hottest_C, draft->unit), unit);
}

bool isw_crop_read_temperature(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                               const char *key, double *out_C) {
  const struct isw_yaml_range any = {-INFINITY, INFINITY, false};
  struct isw_yaml_entry entry = isw_documents_find_entry(&draft->reader, map, key);
  double number = 0;
  if (entry.value == NULL) return true;
  if (!isw_documents_read_number(&draft->reader, map, key, any, &number) ||
      !isw_crop_check_temperature(draft, map, key, entry.line, number))
    return false;
  *out_C = isw_base_to_celsius(number, draft->unit);
  return true;
}

bool isw_crop_read_difference(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                              const char *key, double *out_K) {
  double per_unit_K = isw_base_difference_to_kelvin(1.0, draft->unit);
  double number = 0;
  if (isw_documents_find_entry(&draft->reader, map, key).value == NULL) return true;
  if (!isw_documents_read_number(
          &draft->reader, map, key,
          (struct isw_yaml_range){0, largest_difference_K / per_unit_K, false}, &number))
    return false;
  *out_K = isw_base_difference_to_kelvin(number, draft->unit);
  return true;
}
