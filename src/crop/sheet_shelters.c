#include <math.h>
#include <string.h>

#include "crop/sheet_temperatures.h"

const char isw_crop_open_ground_name[] = "open-ground";

static bool read_shelter(struct isw_sheet_draft *draft, const yaml_node_t *node, size_t *line) {
  static const char *const keys[] = {"shelter", "warm_to",   "warm_most",
                                     "cool_to", "cool_most", NULL};
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_shelter *shelter = &draft->sheet->shelters[draft->sheet->n_shelters];
  *shelter = (struct isw_shelter){NULL, -INFINITY, INFINITY, INFINITY, INFINITY};
  struct isw_yaml_map map;
  if (!isw_documents_enter_map(reader, node, NULL, "shelter", keys, &map) ||
      !isw_documents_read_id(reader, &map, "shelter", &shelter->name))
    return false;
  *line = isw_documents_entry_line(reader, &map, "shelter");
  if (strcmp(shelter->name, isw_crop_open_ground_name) == 0)
    return isw_documents_fail_at(reader, &map, *line,
                                 "'%s' stands for no shelter at all; choose another name",
                                 isw_crop_open_ground_name);
  if (!isw_crop_read_temperature(draft, &map, "warm_to", &shelter->warm_to_C) ||
      !isw_crop_read_temperature(draft, &map, "cool_to", &shelter->cool_to_C) ||
      !isw_crop_read_difference(draft, &map, "warm_most", &shelter->warm_most_K) ||
      !isw_crop_read_difference(draft, &map, "cool_most", &shelter->cool_most_K))
    return false;
  static const char *const pairs[][2] = {{"warm_most", "warm_to"}, {"cool_most", "cool_to"}};
  for (int i = 0; i < 2; i++) {
    struct isw_yaml_entry bound = isw_documents_find_entry(reader, &map, pairs[i][0]);
    if (bound.value != NULL && isw_documents_find_entry(reader, &map, pairs[i][1]).value == NULL)
      return isw_documents_fail_at(reader, &map, bound.line, "%s says nothing without %s; add %s",
                                   pairs[i][0], pairs[i][1], pairs[i][1]);
  }
  if (shelter->warm_to_C > shelter->cool_to_C)
    return isw_documents_fail_at(reader, &map, isw_documents_entry_line(reader, &map, "warm_to"),
                                 "warm_to is above cool_to: it would heat and cool at once; lower "
                                 "warm_to or raise cool_to");
  return true;
}

bool isw_crop_read_shelters(struct isw_sheet_draft *draft) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_sheet *sheet = draft->sheet;
  struct isw_yaml_list list;
  if (!isw_documents_read_list(reader, &draft->top, "shelters", ISW_SHELTERS_MAX, &list))
    return false;
  size_t lines[ISW_SHELTERS_MAX];
  for (int i = 0; i < list.count; i++) {
    bool fine = read_shelter(draft, isw_documents_list_item(reader, &list, i), &lines[i]);
    if (!fine) {
      sheet->n_shelters++; /* its name is freed with the sheet */
      return false;
    }
    int first = isw_crop_find_shelter(sheet, sheet->shelters[i].name);
    sheet->n_shelters++;
    if (first >= 0)
      return isw_documents_fail_at(
          reader, NULL, lines[i],
          "shelter '%s' is there twice, first in line %zu; rename or remove "
          "one",
          sheet->shelters[i].name, lines[first]);
  }
  return true;
}
