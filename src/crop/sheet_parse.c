#include <glib.h>
#include <string.h>

#include "crop/sheet_sections.h"
#include "documents/yaml_document.h"

static bool read_unit(struct isw_sheet_draft *draft) {
  const struct isw_yaml_reader *reader = &draft->reader;
  if (!isw_documents_require_key(reader, &draft->top, "unit", "C")) return false;
  struct isw_yaml_entry entry = isw_documents_find_entry(reader, &draft->top, "unit");
  const char *word = isw_documents_read_word(reader, &draft->top, "unit", entry.line, entry.value);
  if (word == NULL) return false;
  char shown[ISW_YAML_VALUE_SIZE];
  draft->unit = isw_base_parse_unit(word);
  if (draft->unit != ISW_UNIT_C && draft->unit != ISW_UNIT_F)
    return isw_documents_fail_at(reader, &draft->top, entry.line,
                                 "unit is %s; write C or F, for every temperature in the sheet",
                                 isw_documents_show_value(entry.value, shown));
  draft->sheet->unit = draft->unit;
  return true;
}

static bool read_head(struct isw_sheet_draft *draft) {
  const struct isw_yaml_reader *reader = &draft->reader;
  struct isw_sheet *sheet = draft->sheet;
  sheet->swing = 1.0;
  if (!isw_documents_read_id(reader, &draft->top, "crop", &sheet->crop) || !read_unit(draft) ||
      !isw_documents_read_text(reader, &draft->top, "title", ISW_SHEET_TITLE_MAX, &sheet->title) ||
      !isw_documents_read_number(reader, &draft->top, "swing", (struct isw_yaml_range){0, 1, false},
                                 &sheet->swing))
    return false;
  if (sheet->title == NULL) sheet->title = g_strdup(sheet->crop);
  return true;
}

static bool read_sheet(struct isw_sheet_draft *draft) {
  static const char *const keys[] = {"crop",     "title",    "unit",   "swing",   "cut",
                                     "shelters", "chilling", "stages", "seasons", "varieties",
                                     "tasks",    "sources",  NULL};
  return isw_documents_enter_map(&draft->reader,
                                 yaml_document_get_root_node(draft->reader.document), NULL, NULL,
                                 keys, &draft->top) &&
         read_head(draft) && isw_crop_read_shelters(draft) && isw_crop_read_chilling(draft) &&
         isw_crop_read_cut(draft) && isw_crop_read_stages(draft) &&
         isw_crop_read_varieties(draft) && isw_crop_read_seasons(draft) &&
         isw_crop_read_shelter_lists(draft) && isw_crop_read_tasks(draft) &&
         isw_crop_read_sources(draft) && isw_crop_check_result_names(draft);
}

enum isw_status isw_crop_parse_sheet(const char *text, size_t size, const char *origin,
                                     struct isw_sheet **out, struct isw_error *error) {
  *out = NULL;
  static const struct isw_yaml_kind kind = {"crop sheet",
                                            "crop, unit, stages, seasons and varieties"};
  yaml_document_t document;
  enum isw_status status = isw_documents_open_yaml(&kind, text, size, origin, &document, error);
  if (status != ISW_OK) return status;
  struct isw_sheet *sheet = g_new0(struct isw_sheet, 1);
  sheet->origin = g_strdup(origin);
  sheet->text = g_strndup(text, size);
  sheet->text_size = size;
  struct isw_sheet_draft *draft = g_new0(struct isw_sheet_draft, 1);
  draft->reader = (struct isw_yaml_reader){&kind, origin, &document, error};
  draft->sheet = sheet;
  bool fine = read_sheet(draft);
  for (int k = 0; k < ISW_STAGES_MAX; k++) {
    g_free(draft->stages[k].stage.name);
    isw_crop_free_says(&draft->stages[k].stage.says);
  }
  g_free(draft);
  yaml_document_delete(&document);
  if (!fine) {
    isw_crop_free_sheet(sheet);
    return ISW_INPUT_CONTENT;
  }
  *out = sheet;
  return ISW_OK;
}

void isw_crop_free_sheet(struct isw_sheet *sheet) {
  if (sheet == NULL) return;
  for (int i = 0; i < sheet->n_shelters; i++) {
    g_free(sheet->shelters[i].name);
    g_free(sheet->shelters[i].title);
  }
  for (int s = 0; s < sheet->n_seasons; s++) {
    g_free(sheet->seasons[s].name);
    g_free(sheet->seasons[s].title);
  }
  for (int v = 0; v < sheet->n_varieties; v++) {
    for (int k = 0; k < ISW_STAGES_MAX; k++) {
      g_free(sheet->varieties[v].stages[k].name);
      g_free(sheet->varieties[v].stages[k].title);
      isw_crop_free_says(&sheet->varieties[v].stages[k].says);
    }
    g_free(sheet->varieties[v].name);
    g_free(sheet->varieties[v].title);
  }
  g_free(sheet->varieties);
  for (int i = 0; i < sheet->n_tasks; i++) g_free(sheet->tasks[i].text);
  for (int i = 0; i < sheet->n_sources; i++) g_free(sheet->sources[i]);
  g_free(sheet->chilling_makes);
  g_free(sheet->cut.one);
  g_free(sheet->cut.many);
  g_free(sheet->cut.ready);
  g_free(sheet->crop);
  g_free(sheet->title);
  g_free(sheet->origin);
  g_free(sheet->text);
  g_free(sheet);
}
