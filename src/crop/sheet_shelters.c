#include <glib.h>
#include <math.h>
#include <string.h>

#include "crop/sheet_temperatures.h"

const char isw_crop_open_ground_name[] = "open-ground";

static const char *const keys[] = {"shelter",   "title",   "warm_to",   "warm_most", "cool_to",
                                   "cool_most", "seasons", "varieties", NULL};

static bool read_shelter(struct isw_sheet_draft *draft, const yaml_node_t *node, size_t *line) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_shelter *shelter = &draft->sheet->shelters[draft->sheet->n_shelters];
  *shelter = (struct isw_shelter){NULL, -INFINITY, INFINITY, INFINITY, INFINITY, NULL};
  struct isw_yaml_map map;
  if (!isw_documents_enter_map(reader, node, NULL, "shelter", keys, &map) ||
      !isw_documents_read_id(reader, &map, "shelter", &shelter->name))
    return false;
  *line = isw_documents_entry_line(reader, &map, "shelter");
  if (strcmp(shelter->name, isw_crop_open_ground_name) == 0)
    return isw_documents_fail_at(reader, &map, *line,
                                 "'%s' stands for no shelter at all; choose another name",
                                 isw_crop_open_ground_name);
  if (!isw_documents_read_text(reader, &map, "title", ISW_SHEET_TITLE_MAX, &shelter->title))
    return false;
  if (shelter->title == NULL) shelter->title = g_strdelimit(g_strdup(shelter->name), "-", ' ');
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

/* What a list does not name is left out; a list that is not there leaves nothing out. */
static bool read_list(struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                      const char *key, const struct isw_known_names *known, bool *left_out,
                      bool *there) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_name_list list;
  *there = isw_documents_find_entry(reader, map, key).value != NULL;
  if (!*there) return true;
  if (!isw_crop_read_names(reader, map, key, known, &list)) return false;
  if (list.count == 0)
    return isw_documents_fail_at(reader, map, list.line,
                                 "%s is empty: the shelter would never be used; name some, or "
                                 "leave the key out for all",
                                 key);
  for (int i = 0; i < known->count; i++) left_out[i] = true;
  for (int i = 0; i < list.count; i++) left_out[list.indexes[i]] = false;
  return true;
}

/* How often a variety stands otherwise: under other shelters in a season, or sown direct. */
static int count_ways(const struct isw_sheet *sheet, int variety) {
  struct isw_stage placed[ISW_SEASONS_MAX][ISW_STAGES_MAX];
  int count = 0;
  bool direct = false;
  for (int s = 0; s < sheet->n_seasons; s++) {
    isw_crop_place_stages(
        sheet, variety, (struct isw_placing){s, ISW_START_NURSERY, ISW_OPEN_GROUND}, placed[count]);
    bool known = false;
    for (int i = 0; i < count; i++)
      known = known || isw_crop_same_shelters(sheet, placed[i], placed[count]);
    count += !known;
    direct = direct || sheet->seasons[s].start == ISW_START_DIRECT;
  }
  return count + direct;
}

bool isw_crop_read_shelter_lists(struct isw_sheet_draft *draft) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_sheet *sheet = draft->sheet;
  struct isw_known_names seasons, varieties;
  isw_crop_know_seasons(sheet, &seasons);
  isw_crop_know_varieties(sheet, &varieties);
  struct isw_yaml_list list;
  if (!isw_documents_read_list(reader, &draft->top, "shelters", ISW_SHELTERS_MAX, &list))
    return false;
  for (int i = 0; i < list.count; i++) {
    struct isw_shelter_use *use = &sheet->shelter_uses[i];
    struct isw_yaml_map map;
    bool some_varieties;
    if (!isw_documents_enter_map(reader, isw_documents_list_item(reader, &list, i), NULL, "shelter",
                                 keys, &map) ||
        !read_list(draft, &map, "seasons", &seasons, use->not_in_season, &use->only_in_seasons) ||
        !read_list(draft, &map, "varieties", &varieties, use->not_for_variety, &some_varieties))
      return false;
  }
  int ways = 0;
  for (int v = 0; v < sheet->n_varieties; v++) ways += count_ways(sheet, v);
  if (ways > ISW_WAYS_MAX)
    return isw_documents_fail_at(
        reader, NULL, list.line,
        "the lists of the shelters make %d ways to grow, a variety counted anew for each set of "
        "shelters it stands under; up to %d are possible: list fewer, or keep fewer varieties",
        ways, ISW_WAYS_MAX);
  return true;
}
