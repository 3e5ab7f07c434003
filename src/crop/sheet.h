/* A crop sheet in memory: what a crop's stages want, which varieties there are, when they may be
 * sown. Overrides are resolved: every variety carries its own full list of stages. All temperatures
 * are degC, all differences K, all dates days 0..364 of the northern hemisphere's year. */
#ifndef ISW_CROP_SHEET_H
#define ISW_CROP_SHEET_H

#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"
#include "base/units.h"

enum {
  ISW_STAGES_MAX = 16,
  ISW_VARIETIES_MAX = 64, /* pick rasters code a variety in 1..100 */
  ISW_SEASONS_MAX = 12,
  ISW_SHELTERS_MAX = 12,
  ISW_TASKS_MAX = 64,
  ISW_SOURCES_MAX = 64
};
/* Ways to grow of a whole sheet: varieties, each as often as a list of a shelter or a direct start
 * makes it stand otherwise. Without lists two of each variety at most. */
enum { ISW_WAYS_MAX = 2 * ISW_VARIETIES_MAX };
enum { ISW_OPEN_GROUND = -1 }; /* "no shelter", where a shelter's index is asked for */

/* A shelter warms a cold day up to warm_to_C by at most warm_most_K and cools a hot one down to
 * cool_to_C by at most cool_most_K. No change on a side: warm_to_C = -INFINITY, cool_to_C =
 * +INFINITY. No bound: *_most_K = INFINITY */
struct isw_shelter {
  char *name;
  double warm_to_C, warm_most_K;
  double cool_to_C, cool_most_K;
  char *title; /* what readers see: the name with blanks for hyphens where the sheet gives none */
};

/* Where a shelter is not used, the stages that name it stand in open ground. All false: everywhere.
 */
struct isw_shelter_use {
  bool not_in_season[ISW_SEASONS_MAX]; /* by index */
  bool not_for_variety[ISW_VARIETIES_MAX];
  bool only_in_seasons; /* seasons were listed: nor is it used outside every season */
};

/* stops_below < best_from <= best_to < stops_above */
struct isw_band {
  double stops_below_C, best_from_C, best_to_C, stops_above_C;
};

/* What is said of a crop whose stage passes too cold or too warm, as a clause: "heads stay small in
 * the cold". NULL: the reader gets words made from the stage's name. */
struct isw_says {
  char *cold, *warm;
};

struct isw_stage {
  char *name;
  char *title; /* what readers see: the name with blanks for hyphens */
  struct isw_says says;
  int shelter;      /* index into the sheet's shelters, or ISW_OPEN_GROUND */
  bool transplant;  /* the stage begins with setting plants out */
  double days;      /* at best temperature, > 0, may be fractional */
  int at_most_days; /* never matures past this; 1..365 */
  struct isw_band band;
  double dies_below_C; /* -INFINITY: cannot freeze */
  bool chills;         /* chilling counts during the stage */
};

struct isw_variety {
  char *name;
  char *title;                             /* the name where the sheet gives none */
  bool bolts;                              /* false: never; the two below are then 0 */
  double bolts_safe;                       /* chilling days, safe up to */
  double bolts_all;                        /* chilling days, all bolt from; > bolts_safe */
  struct isw_stage stages[ISW_STAGES_MAX]; /* n_stages of the sheet, same names and order */
};

enum isw_start { ISW_START_NURSERY = 0, ISW_START_DIRECT = 1 };

struct isw_season {
  char *name;
  char *title;                  /* what readers see: the name, unless a region says another */
  int sow_from_day, sow_to_day; /* 0..364 inclusive; from > to: across New Year */
  enum isw_start start;
  bool cut_at_once;                 /* its crop does not wait in the field */
  int preferred[ISW_VARIETIES_MAX]; /* all varieties by index: `prefer` first, then sheet order */
};

/* A calendar line. anchor: the moment it counts from. */
enum isw_task_anchor { ISW_AT_SOWING, ISW_AT_TRANSPLANT, ISW_AT_HARVEST, ISW_AT_STAGE };
struct isw_task {
  enum isw_task_anchor anchor;
  int stage; /* for ISW_AT_STAGE: index */
  int day;   /* days after the anchor; negative before */
  char *text;
};

/* What is cut, and how it is told ready: "head", "heads", "gives only a little under firm
 * pressure". Each NULL where the sheet is silent. */
struct isw_cut_words {
  char *one, *many, *ready;
};

struct isw_sheet {
  char *crop; /* id, [a-z0-9-]+ */
  char *title;
  char *origin; /* the file it came from, or "built-in NAME" */
  char *text;   /* the YAML it was read from, whole */
  size_t text_size;
  enum isw_unit unit; /* C or F: what its text is written in; all numbers here are degC and K */
  double swing;       /* 0..1 */
  int n_shelters;
  struct isw_shelter shelters[ISW_SHELTERS_MAX];
  struct isw_shelter_use shelter_uses[ISW_SHELTERS_MAX];
  bool has_chilling;
  struct isw_band chilling;
  char *chilling_makes; /* the word for what chilling does to the crop; NULL: bolting */
  struct isw_cut_words cut;
  int n_stages;
  struct isw_stage crop_stages[ISW_STAGES_MAX]; /* before any variety; numbers, no texts */
  int n_seasons;
  struct isw_season seasons[ISW_SEASONS_MAX];
  int n_varieties;
  struct isw_variety *varieties;
  int n_tasks;
  struct isw_task tasks[ISW_TASKS_MAX];
  int n_sources;
  char *sources[ISW_SOURCES_MAX];
};

/* Load a sheet: a name without '/' and without a .yaml or .yml ending is a built-in sheet; "-" is
 * standard input; anything else a path. *out is new, to be freed with isw_crop_free_sheet.
 * ISW_USAGE: no such built-in sheet (the message lists them). ISW_INPUT_FILE: cannot be read.
 * ISW_INPUT_CONTENT: "file:line: what is wrong, what to do". ISW_RESOURCES. */
enum isw_status isw_crop_load_sheet(const char *name_or_path, struct isw_sheet **out,
                                    struct isw_error *error);

/* The same from memory; origin is named in messages. ISW_INPUT_CONTENT, ISW_RESOURCES. */
enum isw_status isw_crop_parse_sheet(const char *text, size_t size, const char *origin,
                                     struct isw_sheet **out, struct isw_error *error);

void isw_crop_free_sheet(struct isw_sheet *sheet); /* takes NULL */

/* Built-in sheets by index from 0; NULL past the last. Not to be freed; *size without the NUL. */
const char *isw_crop_builtin_name(int index);
const char *isw_crop_builtin_text(int index, size_t *size);

/* Index of a name in the sheet, or -1. */
int isw_crop_find_variety(const struct isw_sheet *sheet, const char *name);
int isw_crop_find_season(const struct isw_sheet *sheet, const char *name);
int isw_crop_find_shelter(const struct isw_sheet *sheet, const char *name);

/* The stage that is marked transplant, or -1. */
int isw_crop_transplant_stage(const struct isw_sheet *sheet);

/* Can a crop in the field stand under it? What shelters only stages before transplanting cannot: a
 * nursery, a room where seed sprouts. Without a transplant stage every shelter can. */
bool isw_crop_is_field_shelter(const struct isw_sheet *sheet, int shelter);

/* How a sowing is placed. */
struct isw_placing {
  int season; /* index, or ISW_NO_SEASON: a date outside every season */
  enum isw_start start;
  int grown_under; /* shelter index or ISW_OPEN_GROUND */
};
enum { ISW_NO_SEASON = -1 };

/* The stages of a variety as they stand so: a shelter that is not used in the season or for the
 * variety leaves its stages in open ground; direct puts all there and clears `transplant`;
 * grown_under then shelters every stage that has no shelter, whatever that shelter's own lists.
 * Strings stay the sheet's. out: sheet->n_stages entries. */
void isw_crop_place_stages(const struct isw_sheet *sheet, int variety, struct isw_placing placing,
                           struct isw_stage out[ISW_STAGES_MAX]);

/* Do two placings of one variety have every stage under the same shelter? */
bool isw_crop_same_shelters(const struct isw_sheet *sheet, const struct isw_stage *a,
                            const struct isw_stage *b);

#endif
