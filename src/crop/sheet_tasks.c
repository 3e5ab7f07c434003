/* Calendar lines and the list of sources. */
#include <string.h>

#include "base/dates.h"
#include "crop/sheet_sections.h"

static bool read_anchor(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                        struct isw_task *task) {
  const struct isw_yaml_reader *reader = &draft->reader;
  if (!isw_documents_require_key(reader, map, "at", "sowing")) return false;
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, "at");
  const char *word = isw_documents_read_word(reader, map, "at", entry.line, entry.value);
  if (word == NULL) return false;
  task->stage = -1;
  if (strcmp(word, "sowing") == 0) {
    task->anchor = ISW_AT_SOWING;
  } else if (strcmp(word, "harvest") == 0) {
    task->anchor = ISW_AT_HARVEST;
  } else if (strcmp(word, "transplant") == 0) {
    task->anchor = ISW_AT_TRANSPLANT;
    for (int k = 0; k < draft->sheet->n_stages; k++)
      if (draft->stages[k].stage.transplant) return true;
    return isw_documents_fail_at(
        reader, map, entry.line,
        "at is 'transplant', but no stage is marked 'transplant: true'; mark "
        "one or choose another moment");
  } else {
    task->anchor = ISW_AT_STAGE;
    task->stage = isw_crop_find_draft_stage(draft, word);
    if (task->stage < 0) {
      const char *moments[ISW_STAGES_MAX + 3] = {"sowing", "transplant", "harvest"};
      for (int k = 0; k < draft->sheet->n_stages; k++) moments[k + 3] = draft->stages[k].stage.name;
      return isw_documents_fail_reference(reader, map, entry.line, "at", entry.value,
                                          "moments and stages", draft->sheet->n_stages + 3,
                                          moments);
    }
  }
  return true;
}

bool isw_crop_read_tasks(struct isw_sheet_draft *draft) {
  static const char *const keys[] = {"at", "day", "do", NULL};
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_yaml_list list;
  if (!isw_documents_read_list(reader, &draft->top, "tasks", ISW_TASKS_MAX, &list)) return false;
  for (int i = 0; i < list.count; i++) {
    struct isw_task *task = &draft->sheet->tasks[i];
    draft->sheet->n_tasks = i + 1;
    struct isw_yaml_map map;
    if (!isw_documents_enter_map(reader, isw_documents_list_item(reader, &list, i), NULL, "task at",
                                 keys, &map) ||
        !read_anchor(draft, &map, task) ||
        !isw_documents_read_whole(reader, &map, "day", -ISW_YEAR_DAYS, ISW_YEAR_DAYS, &task->day) ||
        !isw_documents_require_key(reader, &map, "do", "\"Water\"") ||
        !isw_documents_read_text(reader, &map, "do", ISW_SHEET_LINE_MAX, &task->text))
      return false;
  }
  return true;
}

bool isw_crop_read_sources(struct isw_sheet_draft *draft) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_yaml_list list;
  if (!isw_documents_read_list(reader, &draft->top, "sources", ISW_SOURCES_MAX, &list))
    return false;
  for (int i = 0; i < list.count; i++) {
    const yaml_node_t *item = isw_documents_list_item(reader, &list, i);
    draft->sheet->n_sources = i + 1;
    if (!isw_documents_clean_text(reader, NULL, "sources", isw_documents_node_line(item), item,
                                  ISW_SHEET_LINE_MAX, &draft->sheet->sources[i]))
      return false;
  }
  return true;
}
