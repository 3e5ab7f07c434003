#include <math.h>
#include <stdio.h>

#include "crop/sheet_temperatures.h"

/* Ramps narrower than this would be steps: two numbers that differ by a rounding are a mistake. */
static const double narrowest_ramp_K = 0.01;

bool isw_crop_read_band(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                        struct isw_band *out) {
  const struct isw_yaml_reader *reader = &draft->reader;
  if (isw_documents_find_entry(reader, map, "band").value == NULL) return true;
  double t[4];
  const char *order = "[stops below, best from, best to, stops above]";
  if (!isw_documents_read_numbers(reader, map, "band", 4, order,
                                  (struct isw_yaml_range){-INFINITY, INFINITY, false}, t))
    return false;
  size_t line = isw_documents_entry_line(reader, map, "band");
  for (int i = 0; i < 4; i++)
    if (!isw_crop_check_temperature(draft, map, "band", line, t[i])) return false;
  if (!(t[0] < t[1] && t[1] <= t[2] && t[2] < t[3]))
    return isw_documents_fail_at(
        reader, map, line,
        "band is out of order: [%g, %g, %g, %g]; write %s, rising; only the "
        "two in the middle may be equal",
        t[0], t[1], t[2], t[3], order);
  double ramp = fmin(t[1] - t[0], t[3] - t[2]);
  if (isw_base_difference_to_kelvin(ramp, draft->unit) < narrowest_ramp_K)
    return isw_documents_fail_at(
        reader, map, line,
        "band rises or falls within %g degrees; leave at least %g K between "
        "'stops' and 'best'",
        ramp, narrowest_ramp_K);
  *out = (struct isw_band){
      isw_base_to_celsius(t[0], draft->unit), isw_base_to_celsius(t[1], draft->unit),
      isw_base_to_celsius(t[2], draft->unit), isw_base_to_celsius(t[3], draft->unit)};
  return true;
}

bool isw_crop_read_chilling(struct isw_sheet_draft *draft) {
  static const char *const keys[] = {"band", "makes", NULL};
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, &draft->top, "chilling");
  if (entry.value == NULL) return true;
  struct isw_yaml_map map;
  if (!isw_documents_enter_map(reader, entry.value, NULL, "chilling", keys, &map)) return false;
  /* The group has no id; the band that enter_map would show as one is not its name. */
  snprintf(map.what, sizeof map.what, "chilling");
  draft->sheet->has_chilling = true;
  return isw_documents_require_key(reader, &map, "band", "[-1, 3, 12, 15]") &&
         isw_crop_read_band(draft, &map, &draft->sheet->chilling) &&
         isw_documents_read_text(reader, &map, "makes", ISW_SHEET_CLAUSE_MAX,
                                 &draft->sheet->chilling_makes);
}
