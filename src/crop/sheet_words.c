#include <glib.h>
#include <stdio.h>

#include "crop/sheet_sections.h"

bool isw_crop_read_says(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                        struct isw_says *out) {
  static const char *const keys[] = {"cold", "warm", NULL};
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, map, "says");
  if (entry.value == NULL) return true;
  struct isw_yaml_map says;
  if (!isw_documents_enter_map(reader, entry.value, map, "says", keys, &says)) return false;
  return isw_documents_read_text(reader, &says, "cold", ISW_SHEET_CLAUSE_MAX, &out->cold) &&
         isw_documents_read_text(reader, &says, "warm", ISW_SHEET_CLAUSE_MAX, &out->warm);
}

void isw_crop_free_says(struct isw_says *says) {
  g_free(says->cold);
  g_free(says->warm);
}

bool isw_crop_read_cut(struct isw_sheet_draft *draft) {
  static const char *const keys[] = {"one", "many", "ready", NULL};
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_cut_words *cut = &draft->sheet->cut;
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, &draft->top, "cut");
  if (entry.value == NULL) return true;
  struct isw_yaml_map map;
  if (!isw_documents_enter_map(reader, entry.value, NULL, "cut", keys, &map)) return false;
  snprintf(map.what, sizeof map.what, "cut"); /* the group has no id */
  return isw_documents_require_key(reader, &map, "one", "piece") &&
         isw_documents_require_key(reader, &map, "many", "pieces") &&
         isw_documents_read_text(reader, &map, "one", ISW_SHEET_CLAUSE_MAX, &cut->one) &&
         isw_documents_read_text(reader, &map, "many", ISW_SHEET_CLAUSE_MAX, &cut->many) &&
         isw_documents_read_text(reader, &map, "ready", ISW_SHEET_CLAUSE_MAX, &cut->ready);
}
