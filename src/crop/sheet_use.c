#include <string.h>

#include "crop/sheet.h"

int isw_crop_find_variety(const struct isw_sheet *sheet, const char *name) {
  for (int v = 0; v < sheet->n_varieties; v++)
    if (strcmp(sheet->varieties[v].name, name) == 0) return v;
  return -1;
}

int isw_crop_find_season(const struct isw_sheet *sheet, const char *name) {
  for (int s = 0; s < sheet->n_seasons; s++)
    if (strcmp(sheet->seasons[s].name, name) == 0) return s;
  return -1;
}

int isw_crop_find_shelter(const struct isw_sheet *sheet, const char *name) {
  for (int i = 0; i < sheet->n_shelters; i++)
    if (strcmp(sheet->shelters[i].name, name) == 0) return i;
  return -1;
}

int isw_crop_transplant_stage(const struct isw_sheet *sheet) {
  for (int k = 0; sheet->n_varieties > 0 && k < sheet->n_stages; k++)
    if (sheet->varieties[0].stages[k].transplant) return k;
  return -1;
}

bool isw_crop_is_field_shelter(const struct isw_sheet *sheet, int shelter) {
  const int transplant = isw_crop_transplant_stage(sheet);
  bool before = false;
  for (int v = 0; v < sheet->n_varieties; v++) {
    for (int k = 0; k < sheet->n_stages; k++) {
      if (sheet->varieties[v].stages[k].shelter != shelter) continue;
      if (k >= transplant) return true;
      before = true;
    }
  }
  return !before;
}

static bool is_used(const struct isw_shelter_use *use, int variety, int season) {
  return !use->not_for_variety[variety] &&
         (season == ISW_NO_SEASON ? !use->only_in_seasons : !use->not_in_season[season]);
}

void isw_crop_place_stages(const struct isw_sheet *sheet, int variety, struct isw_placing placing,
                           struct isw_stage out[ISW_STAGES_MAX]) {
  for (int k = 0; k < sheet->n_stages; k++) {
    out[k] = sheet->varieties[variety].stages[k];
    if (placing.start == ISW_START_DIRECT) {
      out[k].shelter = ISW_OPEN_GROUND;
      out[k].transplant = false;
    }
    if (out[k].shelter != ISW_OPEN_GROUND &&
        !is_used(&sheet->shelter_uses[out[k].shelter], variety, placing.season))
      out[k].shelter = ISW_OPEN_GROUND;
    if (out[k].shelter == ISW_OPEN_GROUND) out[k].shelter = placing.grown_under;
  }
}

bool isw_crop_same_shelters(const struct isw_sheet *sheet, const struct isw_stage *a,
                            const struct isw_stage *b) {
  for (int k = 0; k < sheet->n_stages; k++)
    if (a[k].shelter != b[k].shelter) return false;
  return true;
}
