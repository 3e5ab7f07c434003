#include "crop/sheet_sections.h"

bool isw_crop_read_names(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                         const char *key, const struct isw_known_names *known,
                         struct isw_name_list *out) {
  struct isw_yaml_list list;
  out->count = 0;
  if (!isw_documents_read_list(reader, map, key, ISW_VARIETIES_MAX, &list)) return false;
  out->line = list.line;
  for (int i = 0; i < list.count; i++) {
    const yaml_node_t *item = isw_documents_list_item(reader, &list, i);
    size_t line = isw_documents_node_line(item);
    const char *name = isw_documents_read_word(reader, map, key, line, item);
    if (name == NULL) return false;
    int index = known->find(known->sheet, name);
    if (index < 0)
      return isw_documents_fail_reference(reader, map, line, key, item, known->kinds, known->count,
                                          known->names);
    for (int before = 0; before < out->count; before++)
      if (out->indexes[before] == index)
        return isw_documents_fail_at(reader, map, line, "%s names '%s' twice; name it once", key,
                                     name);
    out->indexes[out->count++] = index;
  }
  return true;
}

void isw_crop_know_varieties(const struct isw_sheet *sheet, struct isw_known_names *out) {
  *out = (struct isw_known_names){.sheet = sheet,
                                  .kinds = "varieties",
                                  .find = isw_crop_find_variety,
                                  .count = sheet->n_varieties};
  for (int v = 0; v < sheet->n_varieties; v++) out->names[v] = sheet->varieties[v].name;
}

void isw_crop_know_seasons(const struct isw_sheet *sheet, struct isw_known_names *out) {
  *out = (struct isw_known_names){
      .sheet = sheet, .kinds = "seasons", .find = isw_crop_find_season, .count = sheet->n_seasons};
  for (int s = 0; s < sheet->n_seasons; s++) out->names[s] = sheet->seasons[s].name;
}
