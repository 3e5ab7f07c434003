#include "crop/builtin_texts.h"
#include "crop/sheet.h"

static const struct isw_builtin_text *builtin_at(int index) {
  if (index < 0) return NULL;
  for (int i = 0; isw_crop_builtin_texts[i].name != NULL; i++)
    if (i == index) return &isw_crop_builtin_texts[i];
  return NULL;
}

const char *isw_crop_builtin_name(int index) {
  const struct isw_builtin_text *builtin = builtin_at(index);
  return builtin == NULL ? NULL : builtin->name;
}

const char *isw_crop_builtin_text(int index, size_t *size) {
  const struct isw_builtin_text *builtin = builtin_at(index);
  if (builtin == NULL) return NULL;
  if (size != NULL) *size = builtin->size;
  return (const char *)builtin->text;
}
