#include "guide/print_structure.h"

static const char document[] = "Document", figure[] = "Figure";
static const char *const part_tags[] = {
    [ISW_PART_NONE] = NULL, [ISW_PART_LIST] = "L", [ISW_PART_TABLE] = "Table"};

void isw_guide_begin_tag(struct isw_structure *structure, const char *tag) {
  if (structure->cr != NULL) cairo_tag_begin(structure->cr, tag, NULL);
}

void isw_guide_end_tag(struct isw_structure *structure, const char *tag) {
  if (structure->cr != NULL) cairo_tag_end(structure->cr, tag);
}

void isw_guide_begin_structure(struct isw_structure *structure, cairo_t *cr) {
  *structure =
      (struct isw_structure){.cr = cr, .alternatives = g_ptr_array_new_with_free_func(g_free)};
  isw_guide_begin_tag(structure, document);
}

void isw_guide_end_structure(struct isw_structure *structure) {
  isw_guide_leave_part(structure);
  isw_guide_end_tag(structure, document);
  structure->cr = NULL;
}

void isw_guide_clear_structure(struct isw_structure *structure) {
  if (structure->alternatives != NULL) g_ptr_array_unref(structure->alternatives);
  structure->alternatives = NULL;
}

void isw_guide_leave_part(struct isw_structure *structure) {
  if (part_tags[structure->part] != NULL) isw_guide_end_tag(structure, part_tags[structure->part]);
  structure->part = ISW_PART_NONE;
}

void isw_guide_enter_part(struct isw_structure *structure, enum isw_structure_part part) {
  if (structure->part == part) return;
  isw_guide_leave_part(structure);
  structure->part = part;
  if (part_tags[part] != NULL) isw_guide_begin_tag(structure, part_tags[part]);
}

void isw_guide_begin_figure(struct isw_structure *structure, const char *alternative) {
  isw_guide_leave_part(structure);
  if (structure->cr != NULL) g_ptr_array_add(structure->alternatives, g_strdup(alternative));
  isw_guide_begin_tag(structure, figure);
}

void isw_guide_end_figure(struct isw_structure *structure) {
  isw_guide_end_tag(structure, figure);
}
