#include <glib.h>
#include <math.h>
#include <string.h>

#include "base/dates.h"
#include "crop/sheet_sections.h"

static bool read_override(const struct isw_sheet_draft *draft, const yaml_node_t *node,
                          const struct isw_yaml_map *map_of_variety, struct isw_variety *variety,
                          struct isw_stage_draft *stages, size_t lines[ISW_STAGES_MAX]) {
  static const char *const keys[] = {"stage", "shelter",    "transplant", "days", "at_most",
                                     "band",  "dies_below", "chills",     "says", NULL};
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_yaml_map map;
  if (!isw_documents_enter_map(reader, node, map_of_variety, "stage", keys, &map) ||
      !isw_documents_require_key(reader, &map, "stage", "emergence"))
    return false;
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, &map, "stage");
  const char *name = isw_documents_read_word(reader, &map, "stage", entry.line, entry.value);
  if (name == NULL) return false;
  int k = isw_crop_find_draft_stage(draft, name);
  if (k < 0) return isw_crop_fail_stage_reference(draft, &map, "stage", entry.value);
  if (lines[k] != 0)
    return isw_documents_fail_at(reader, &map, entry.line,
                                 "there twice, first in line %zu; put all keys into one", lines[k]);
  lines[k] = entry.line;
  struct isw_yaml_entry transplant = isw_documents_find_entry(reader, &map, "transplant");
  if (transplant.value != NULL)
    return isw_documents_fail_at(
        reader, &map, transplant.line,
        "a variety cannot move the transplant; mark it in the crop's stages");
  return isw_crop_read_says(draft, &map, &variety->stages[k].says) &&
         isw_crop_read_stage_values(draft, &map, &stages[k]) &&
         isw_crop_settle_stage(draft, &map, &stages[k]);
}

static bool read_bolts(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                       struct isw_variety *variety) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, "bolts");
  if (entry.value == NULL) return true;
  double days[2];
  if (!isw_documents_read_numbers(reader, map, "bolts", 2,
                                  "[safe up to, all bolt from] chilling days",
                                  (struct isw_yaml_range){0, ISW_YEAR_DAYS, false}, days))
    return false;
  if (!(days[0] < days[1]))
    return isw_documents_fail_at(
        reader, map, entry.line,
        "bolts is out of order: [%g, %g]; write [safe up to, all bolt from] "
        "chilling days, rising",
        days[0], days[1]);
  /* Without a chilling band there is nothing to count, so nothing bolts. */
  if (!draft->sheet->has_chilling) return true;
  variety->bolts = true;
  variety->bolts_safe = days[0];
  variety->bolts_all = days[1];
  return true;
}

static bool check_whole_crop(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                             const struct isw_variety *variety) {
  double days = 0;
  for (int k = 0; k < draft->sheet->n_stages; k++)
    days += ceil(variety->stages[k].days - isw_crop_clock_tolerance_days);
  if (days <= ISW_YEAR_DAYS) return true;
  return isw_documents_fail_at(
      &draft->reader, map, map->line,
      "its stages take %g days even at best temperature, longer than a year; "
      "shorten their days",
      days);
}

static bool read_variety(struct isw_sheet_draft *draft, const yaml_node_t *node, int v,
                         size_t lines[ISW_VARIETIES_MAX]) {
  static const char *const keys[] = {"variety", "title", "bolts", "stages", NULL};
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_sheet *sheet = draft->sheet;
  struct isw_variety *variety = &sheet->varieties[v];
  struct isw_yaml_map map;
  if (!isw_documents_enter_map(reader, node, NULL, "variety", keys, &map) ||
      !isw_documents_read_id(reader, &map, "variety", &variety->name))
    return false;
  lines[v] = isw_documents_entry_line(reader, &map, "variety");
  int first = isw_crop_find_variety(sheet, variety->name);
  if (first < v)
    return isw_documents_fail_at(reader, &map, lines[v],
                                 "there twice, first in line %zu; rename or remove one",
                                 lines[first]);
  struct isw_yaml_list list;
  if (!isw_documents_read_text(reader, &map, "title", ISW_SHEET_TITLE_MAX, &variety->title) ||
      !read_bolts(draft, &map, variety) ||
      !isw_documents_read_list(reader, &map, "stages", ISW_STAGES_MAX, &list))
    return false;
  if (variety->title == NULL) variety->title = g_strdup(variety->name);

  struct isw_stage_draft stages[ISW_STAGES_MAX];
  memcpy(stages, draft->stages, sizeof stages);
  size_t stage_lines[ISW_STAGES_MAX] = {0};
  for (int i = 0; i < list.count; i++)
    if (!read_override(draft, isw_documents_list_item(reader, &list, i), &map, variety, stages,
                       stage_lines))
      return false;
  for (int k = 0; k < sheet->n_stages; k++) {
    const struct isw_stage *base = &stages[k].stage;
    struct isw_says says = variety->stages[k].says; /* the variety's own */
    if (says.cold == NULL) says.cold = g_strdup(base->says.cold);
    if (says.warm == NULL) says.warm = g_strdup(base->says.warm);
    variety->stages[k] = *base;
    variety->stages[k].says = says;
    variety->stages[k].name = g_strdup(base->name);
    variety->stages[k].title = g_strdelimit(g_strdup(base->name), "-", ' ');
  }
  return check_whole_crop(draft, &map, variety);
}

bool isw_crop_read_varieties(struct isw_sheet_draft *draft) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_sheet *sheet = draft->sheet;
  struct isw_yaml_list list;
  if (!isw_documents_require_key(reader, &draft->top, "varieties", "[{variety: standard}]") ||
      !isw_documents_read_list(reader, &draft->top, "varieties", ISW_VARIETIES_MAX, &list))
    return false;
  if (list.count == 0)
    return isw_documents_fail_at(reader, NULL, list.line,
                                 "varieties is empty; a crop needs at least one, if only 'variety: "
                                 "standard'");
  sheet->varieties = g_new0(struct isw_variety, (gsize)list.count);
  size_t lines[ISW_VARIETIES_MAX];
  for (int v = 0; v < list.count; v++) {
    sheet->n_varieties = v + 1;
    if (!read_variety(draft, isw_documents_list_item(reader, &list, v), v, lines)) return false;
  }
  return true;
}
