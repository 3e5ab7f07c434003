#include <math.h>
#include <string.h>

#include "base/dates.h"
#include "crop/sheet_temperatures.h"

static const double at_most_times_days = 3.0;
const double isw_crop_clock_tolerance_days = 1e-6;

int isw_crop_find_draft_stage(const struct isw_sheet_draft *draft, const char *name) {
  for (int k = 0; k < draft->sheet->n_stages; k++)
    if (strcmp(draft->stages[k].stage.name, name) == 0) return k;
  return -1;
}

bool isw_crop_fail_stage_reference(const struct isw_sheet_draft *draft,
                                   const struct isw_yaml_map *map, const char *key,
                                   const yaml_node_t *value) {
  const char *names[ISW_STAGES_MAX];
  for (int k = 0; k < draft->sheet->n_stages; k++) names[k] = draft->stages[k].stage.name;
  return isw_documents_fail_reference(&draft->reader, map,
                                      isw_documents_entry_line(&draft->reader, map, key), key,
                                      value, "stages", draft->sheet->n_stages, names);
}

static bool read_shelter_of_stage(const struct isw_sheet_draft *draft,
                                  const struct isw_yaml_map *map, int *out) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, "shelter");
  if (entry.value == NULL) return true;
  const char *name = isw_documents_read_word(reader, map, "shelter", entry.line, entry.value);
  if (name == NULL) return false;
  *out = isw_crop_find_shelter(draft->sheet, name);
  if (*out >= 0 || strcmp(name, isw_crop_open_ground_name) == 0) return true;
  const char *names[ISW_SHELTERS_MAX];
  for (int i = 0; i < draft->sheet->n_shelters; i++) names[i] = draft->sheet->shelters[i].name;
  return isw_documents_fail_reference(reader, map, entry.line, "shelter", entry.value, "shelters",
                                      draft->sheet->n_shelters, names);
}

bool isw_crop_read_stage_values(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                                struct isw_stage_draft *out) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_stage *stage = &out->stage;
  if (isw_documents_find_entry(reader, map, "at_most").value != NULL) out->at_most_stated = true;
  return isw_documents_read_number(reader, map, "days",
                                   (struct isw_yaml_range){0, ISW_YEAR_DAYS, true}, &stage->days) &&
         isw_documents_read_whole(reader, map, "at_most", 1, ISW_YEAR_DAYS, &stage->at_most_days) &&
         isw_crop_read_band(draft, map, &stage->band) &&
         isw_crop_read_temperature(draft, map, "dies_below", &stage->dies_below_C) &&
         isw_documents_read_flag(reader, map, "chills", &stage->chills) &&
         read_shelter_of_stage(draft, map, &stage->shelter);
}

int isw_crop_usual_at_most(double days) {
  return (int)fmin(ceil(at_most_times_days * days), ISW_YEAR_DAYS);
}

bool isw_crop_settle_stage(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                           struct isw_stage_draft *stage) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_stage *it = &stage->stage;
  if (!stage->at_most_stated) it->at_most_days = isw_crop_usual_at_most(it->days);
  if (it->at_most_days < it->days - isw_crop_clock_tolerance_days)
    return isw_documents_fail_at(
        reader, map, isw_documents_entry_line(reader, map, "at_most"),
        "at_most is %d, but the stage takes %g days even at best temperature; "
        "raise at_most",
        it->at_most_days, it->days);
  if (it->dies_below_C >= it->band.best_from_C)
    return isw_documents_fail_at(
        reader, map, isw_documents_entry_line(reader, map, "dies_below"),
        "dies_below is not below the temperature from which the stage is at "
        "its best (%g deg%s); lower it",
        isw_base_from_celsius(it->band.best_from_C, draft->unit), isw_base_unit_name(draft->unit));
  return true;
}

static bool is_task_moment(const char *name) {
  return strcmp(name, "sowing") == 0 || strcmp(name, "transplant") == 0 ||
         strcmp(name, "harvest") == 0;
}

static bool read_stage(struct isw_sheet_draft *draft, const yaml_node_t *node,
                       size_t lines[ISW_STAGES_MAX]) {
  static const char *const keys[] = {"stage", "shelter",    "transplant", "days", "at_most",
                                     "band",  "dies_below", "chills",     "says", NULL};
  const struct isw_yaml_reader *reader = &draft->reader;
  int k = draft->sheet->n_stages;
  struct isw_stage_draft *stage = &draft->stages[k];
  stage->stage.shelter = ISW_OPEN_GROUND;
  stage->stage.dies_below_C = -INFINITY;
  struct isw_yaml_map map;
  if (!isw_documents_enter_map(reader, node, NULL, "stage", keys, &map) ||
      !isw_documents_read_id(reader, &map, "stage", &stage->stage.name))
    return false;
  lines[k] = isw_documents_entry_line(reader, &map, "stage");
  int first = isw_crop_find_draft_stage(draft, stage->stage.name);
  if (first >= 0)
    return isw_documents_fail_at(reader, &map, lines[k],
                                 "there twice, first in line %zu; rename or remove one",
                                 lines[first]);
  if (is_task_moment(stage->stage.name))
    return isw_documents_fail_at(
        reader, &map, lines[k],
        "tasks use the words sowing, transplant and harvest for moments; name "
        "the stage otherwise");
  if (!isw_documents_require_key(reader, &map, "days", "20") ||
      !isw_documents_require_key(reader, &map, "band", "[4, 17, 22, 30]") ||
      !isw_crop_read_stage_values(draft, &map, stage) ||
      !isw_documents_read_flag(reader, &map, "transplant", &stage->stage.transplant) ||
      !isw_crop_read_says(draft, &map, &stage->stage.says) ||
      !isw_crop_settle_stage(draft, &map, stage))
    return false;
  if (!stage->stage.transplant) return true;
  size_t line = isw_documents_entry_line(reader, &map, "transplant");
  if (k == 0)
    return isw_documents_fail_at(
        reader, &map, line,
        "the first stage begins with sowing and cannot be the transplant; mark "
        "the stage that begins in the field");
  for (int earlier = 0; earlier < k; earlier++)
    if (draft->stages[earlier].stage.transplant)
      return isw_documents_fail_at(
          reader, &map, line,
          "a second stage is marked transplant, the first is '%s' in line %zu; "
          "mark one",
          draft->stages[earlier].stage.name, lines[earlier]);
  return true;
}

bool isw_crop_read_stages(struct isw_sheet_draft *draft) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_yaml_list list;
  if (!isw_documents_require_key(reader, &draft->top, "stages",
                                 "[{stage: emergence, days: 4, band: [4, 17, 22, 30]}]") ||
      !isw_documents_read_list(reader, &draft->top, "stages", ISW_STAGES_MAX, &list))
    return false;
  if (list.count == 0)
    return isw_documents_fail_at(reader, NULL, list.line,
                                 "stages is empty; a crop needs at least one");
  size_t lines[ISW_STAGES_MAX];
  for (int k = 0; k < list.count; k++) {
    if (!read_stage(draft, isw_documents_list_item(reader, &list, k), lines)) return false;
    draft->sheet->crop_stages[k] = draft->stages[k].stage;
    draft->sheet->crop_stages[k].name = NULL; /* texts are the draft's */
    draft->sheet->crop_stages[k].says = (struct isw_says){NULL, NULL};
    draft->sheet->n_stages++;
  }
  return true;
}
