/* What the files of the district set share: districts as OGR shapes in the grid's CRS. */
#ifndef ISW_REGIONS_DISTRICT_INNER_H
#define ISW_REGIONS_DISTRICT_INNER_H

#include <glib.h>
#include <ogr_api.h>

#include "base/log.h"
#include "climate/grid.h"
#include "regions/ring_visitor.h"

struct isw_district {
  char *name;        /* "" where names were not asked for */
  GPtrArray *shapes; /* OGRGeometryH in the grid's CRS, one per feature */
  OGREnvelope envelope;
  int rank;                                                /* by size, the smallest being 0 */
  long long cells_inside, cells_with_data, cells_left_out; /* of the blocks seen so far */
};

struct isw_district_set {
  struct isw_grid grid;
  bool named;
  GPtrArray *districts; /* struct isw_district */
  GHashTable *by_name;  /* its keys are the districts' own */
  GArray *found;        /* struct isw_district_cells of the block in hand */
  GPtrArray *found_cells;
  int *smaller_first;   /* all districts (regions/district_overlaps.h) */
  GHashTable *overlaps; /* two districts as a key -> long long: cells that they share */
};

/* When all shapes are there: which is smaller. */
void isw_regions_order_districts(struct isw_district_set *set);
/* Count what the districts found in the block in hand share. */
void isw_regions_note_overlaps(struct isw_district_set *set);

/* The middle of a shape from west to east; every line or ring of it. */
double isw_regions_middle_of(OGRGeometryH shape);
void isw_regions_visit_parts(OGRGeometryH shape, double middle_x, isw_ring_visitor *visit,
                             void *into);

struct isw_district *isw_regions_district_at(const struct isw_district_set *set, int index);

/* As isw_regions_open_districts, all shapes being one district without a name. noun: what messages
 * call them. ISW_INPUT_FILE, ISW_INPUT_CONTENT. */
enum isw_status isw_regions_open_shapes(const char *vector, const char *noun,
                                        const struct isw_grid *grid, struct isw_log *log,
                                        struct isw_district_set **out, struct isw_error *error);

#endif
