/* The sections of a sheet, each read by its own file. All return false after filling the error. */
#ifndef ISW_CROP_SHEET_SECTIONS_H
#define ISW_CROP_SHEET_SECTIONS_H

#include "base/units.h"
#include "crop/sheet.h"
#include "documents/yaml_reader.h"

enum { ISW_SHEET_TITLE_MAX = 120, ISW_SHEET_CLAUSE_MAX = 80, ISW_SHEET_LINE_MAX = 500 };

/* A stage before it is final: at_most follows days unless it was stated. */
struct isw_stage_draft {
  struct isw_stage stage;
  bool at_most_stated;
};

/* A sheet while it is read. Names of the base stages belong to the draft's `stages`. */
struct isw_sheet_draft {
  struct isw_yaml_reader reader;
  enum isw_unit unit; /* of temperatures and differences in the sheet */
  struct isw_sheet *sheet;
  struct isw_yaml_map top;
  struct isw_stage_draft stages[ISW_STAGES_MAX];
};

/* The word that stands for "no shelter". */
extern const char isw_crop_open_ground_name[];

/* The stage clock ends a stage when its days are reached to this. */
extern const double isw_crop_clock_tolerance_days;

/* stops_below < best_from <= best_to < stops_above, in the sheet's unit; absent: *out stays. */
bool isw_crop_read_band(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                        struct isw_band *out);

bool isw_crop_read_shelters(struct isw_sheet_draft *draft);
bool isw_crop_read_chilling(struct isw_sheet_draft *draft);
bool isw_crop_read_cut(struct isw_sheet_draft *draft);
bool isw_crop_read_stages(struct isw_sheet_draft *draft);
bool isw_crop_read_varieties(struct isw_sheet_draft *draft); /* after the stages */
bool isw_crop_read_seasons(struct isw_sheet_draft *draft);   /* after the varieties */
bool isw_crop_read_tasks(struct isw_sheet_draft *draft);     /* after the stages */
bool isw_crop_read_sources(struct isw_sheet_draft *draft);

/* `seasons` and `varieties` of the shelters: after the seasons, as they name both. */
bool isw_crop_read_shelter_lists(struct isw_sheet_draft *draft);

/* Ids that a list may name. */
struct isw_known_names {
  const struct isw_sheet *sheet;
  const char *kinds; /* "varieties", for messages */
  int (*find)(const struct isw_sheet *sheet, const char *name);
  int count;
  const char *names[ISW_VARIETIES_MAX];
};
void isw_crop_know_varieties(const struct isw_sheet *sheet, struct isw_known_names *out);
void isw_crop_know_seasons(const struct isw_sheet *sheet, struct isw_known_names *out);

/* A list of known ids, none twice; absent or empty: count 0. */
struct isw_name_list {
  size_t line;
  int count;
  int indexes[ISW_VARIETIES_MAX];
};
bool isw_crop_read_names(const struct isw_yaml_reader *reader, const struct isw_yaml_map *map,
                         const char *key, const struct isw_known_names *known,
                         struct isw_name_list *out);

/* days, at_most, band, dies_below, chills, shelter: those that are there replace what draft holds.
 */
bool isw_crop_read_stage_values(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                                struct isw_stage_draft *out);

/* `says`, into what the sheet owns: those that are there replace what out holds. */
bool isw_crop_read_says(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                        struct isw_says *out);
void isw_crop_free_says(struct isw_says *says);

/* Days a stage may take where a sheet does not say at_most. */
int isw_crop_usual_at_most(double days);

/* Settle at_most and check the values against each other. */
bool isw_crop_settle_stage(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                           struct isw_stage_draft *stage);

/* Base stage of that name, or -1; and all names for messages. */
int isw_crop_find_draft_stage(const struct isw_sheet_draft *draft, const char *name);
bool isw_crop_fail_stage_reference(const struct isw_sheet_draft *draft,
                                   const struct isw_yaml_map *map, const char *key,
                                   const yaml_node_t *value);

/* No two results of a run over all varieties and seasons may have one file name. */
bool isw_crop_check_result_names(const struct isw_sheet_draft *draft);

#endif
