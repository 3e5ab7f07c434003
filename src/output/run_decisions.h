/* What decides the bytes of a run's results: written into every record, and compared with an
 * earlier one. */
#ifndef ISW_OUTPUT_RUN_DECISIONS_H
#define ISW_OUTPUT_RUN_DECISIONS_H

#include <json-glib/json-glib.h>

#include "crop/sheet.h"
#include "output/run_facts.h"

struct isw_run_option {
  const char *name, *value;
};

struct isw_run_decisions {
  const char *command_name; /* "map" */
  const struct isw_run_facts *facts;
  int n_sheets; /* 1 or more */
  const struct isw_sheet *const *sheets;
  const char *districts; /* vector source that is drawn or counted, NULL: none */
  const char *layers, *places, *hill_shade, *logo, *mask, *heights,
      *record;            /* the same of what maps, page and print show beside */
  const char *drawn_with; /* libraries that drew the pages and their versions, NULL: no pages */
  int n_options;          /* what was in force, defaults included, threads left out */
  const struct isw_run_option *options;
};

/* A member "grid" of the object that is open in builder: size, transform, CRS. */
void isw_output_add_grid(JsonBuilder *builder, const struct isw_grid *grid);

/* As members of the object that is open in builder. Reads districts and layers for their
 * checksums. ISW_INPUT_FILE: they cannot be read. */
enum isw_status isw_output_add_run_decisions(JsonBuilder *builder,
                                             const struct isw_run_decisions *run,
                                             struct isw_error *error);

#endif
