#include <glib.h>
#include <string.h>

#include "base/dates.h"
#include "crop/sheet_sections.h"

static bool read_date(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                      const yaml_node_t *node, int *out_day) {
  size_t line = isw_documents_node_line(node);
  const char *text = isw_documents_read_word(reader, map, "sow", line, node);
  if (text == NULL) return false;
  *out_day = isw_base_parse_month_day(text);
  if (*out_day >= 0) return true;
  char shown[ISW_YAML_VALUE_SIZE];
  isw_documents_show_value(node, shown);
  if (strcmp(text, "02-29") == 0)
    return isw_documents_fail_at(
        reader, map, line, "sow holds %s; the year here has 365 days: write 02-28 or 03-01", shown);
  return isw_documents_fail_at(
      reader, map, line,
      "sow holds %s, which is no date; write month and day as MM-DD, such as "
      "07-16",
      shown);
}

static bool read_sowing_dates(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                              struct isw_season *season) {
  struct isw_yaml_list list;
  if (!isw_documents_require_key(reader, map, "sow", "[07-16, 09-30]") ||
      !isw_documents_read_list(reader, map, "sow", 2, &list))
    return false;
  if (list.count != 2)
    return isw_documents_fail_at(reader, map, list.line,
                                 "sow needs a first and a last date, such as [07-16, 09-30]");
  return read_date(reader, map, isw_documents_list_item(reader, &list, 0), &season->sow_from_day) &&
         read_date(reader, map, isw_documents_list_item(reader, &list, 1), &season->sow_to_day);
}

static bool read_start(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                       enum isw_start *out) {
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, "start");
  if (entry.value == NULL) return true;
  const char *word = isw_documents_read_word(reader, map, "start", entry.line, entry.value);
  if (word == NULL) return false;
  bool direct = strcmp(word, "direct") == 0;
  char shown[ISW_YAML_VALUE_SIZE];
  if (!direct && strcmp(word, "nursery") != 0)
    return isw_documents_fail_at(reader, map, entry.line, "start is %s; write nursery or direct",
                                 isw_documents_show_value(entry.value, shown));
  *out = direct ? ISW_START_DIRECT : ISW_START_NURSERY;
  return true;
}

static bool read_preferences(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                             struct isw_season *season) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_known_names varieties;
  struct isw_name_list first;
  isw_crop_know_varieties(draft->sheet, &varieties);
  if (!isw_crop_read_names(reader, map, "prefer", &varieties, &first)) return false;
  bool taken[ISW_VARIETIES_MAX] = {false};
  int n = 0;
  for (int i = 0; i < first.count; i++) {
    taken[first.indexes[i]] = true;
    season->preferred[n++] = first.indexes[i];
  }
  for (int v = 0; v < draft->sheet->n_varieties; v++)
    if (!taken[v]) season->preferred[n++] = v;
  return true;
}

static bool read_season(struct isw_sheet_draft *draft, const yaml_node_t *node, int s,
                        size_t lines[ISW_SEASONS_MAX]) {
  static const char *const keys[] = {"season", "sow", "prefer", "start", "cut_at_once", NULL};
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_season *season = &draft->sheet->seasons[s];
  struct isw_yaml_map map;
  if (!isw_documents_enter_map(reader, node, NULL, "season", keys, &map) ||
      !isw_documents_read_id(reader, &map, "season", &season->name))
    return false;
  season->title = g_strdup(season->name);
  lines[s] = isw_documents_entry_line(reader, &map, "season");
  int first = isw_crop_find_season(draft->sheet, season->name);
  if (first < s)
    return isw_documents_fail_at(reader, &map, lines[s],
                                 "there twice, first in line %zu; rename or remove one",
                                 lines[first]);
  return read_sowing_dates(reader, &map, season) && read_start(reader, &map, &season->start) &&
         isw_documents_read_flag(reader, &map, "cut_at_once", &season->cut_at_once) &&
         read_preferences(draft, &map, season);
}

bool isw_crop_read_seasons(struct isw_sheet_draft *draft) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_yaml_list list;
  if (!isw_documents_require_key(reader, &draft->top, "seasons",
                                 "[{season: autumn, sow: [07-16, 09-30]}]") ||
      !isw_documents_read_list(reader, &draft->top, "seasons", ISW_SEASONS_MAX, &list))
    return false;
  if (list.count == 0)
    return isw_documents_fail_at(reader, NULL, list.line,
                                 "seasons is empty; a crop needs at least one");
  size_t lines[ISW_SEASONS_MAX];
  for (int s = 0; s < list.count; s++) {
    draft->sheet->n_seasons = s + 1;
    if (!read_season(draft, isw_documents_list_item(reader, &list, s), s, lines)) return false;
  }
  return true;
}
