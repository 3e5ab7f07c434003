/* The shapes of districts as plain points in the grid's CRS, for those who draw them. Safe from
 * several threads at once. */
#ifndef ISW_REGIONS_DISTRICT_SHAPES_H
#define ISW_REGIONS_DISTRICT_SHAPES_H

#include <ogr_api.h>

#include "regions/district_set.h"
#include "regions/ring_visitor.h"

/* Every ring of a district's parts, holes among them, one call of visit each. */
void isw_regions_visit_rings(const struct isw_district_set *set, int district,
                             isw_ring_visitor *visit, void *into);

/* All of a district as one multipolygon, empty where it has no shape. New,
 * OGR_G_DestroyGeometry. */
OGRGeometryH isw_regions_new_district_shape(const struct isw_district_set *set, int district);

/* A point inside the largest part of a district, its middle where that lies inside and in no
 * smaller district; of what is left of it where smaller ones lie in it. false: it has no shape. */
bool isw_regions_find_label(const struct isw_district_set *set, int district, double *x, double *y,
                            double *middle_x);

#endif
