#include "regions/district_shapes.h"

#include "regions/district_inner.h"

double isw_regions_middle_of(OGRGeometryH shape) {
  OGREnvelope envelope;
  OGR_G_GetEnvelope(shape, &envelope);
  return (envelope.MinX + envelope.MaxX) / 2;
}

void isw_regions_visit_parts(OGRGeometryH shape, double middle_x, isw_ring_visitor *visit,
                             void *into) {
  int parts = OGR_G_GetGeometryCount(shape);
  for (int i = 0; i < parts; i++)
    isw_regions_visit_parts(OGR_G_GetGeometryRef(shape, i), middle_x, visit, into);
  int n = parts == 0 ? OGR_G_GetPointCount(shape) : 0;
  if (n == 0) return;
  double *x = g_new(double, (size_t)n), *y = g_new(double, (size_t)n);
  OGR_G_GetPoints(shape, x, sizeof *x, y, sizeof *y, NULL, 0);
  visit(into, n, x, y, middle_x);
  g_free(x);
  g_free(y);
}

void isw_regions_visit_rings(const struct isw_district_set *set, int district,
                             isw_ring_visitor *visit, void *into) {
  const struct isw_district *it = isw_regions_district_at(set, district);
  for (guint i = 0; i < it->shapes->len; i++) {
    OGRGeometryH shape = g_ptr_array_index(it->shapes, i);
    isw_regions_visit_parts(shape, isw_regions_middle_of(shape), visit, into);
  }
}

static void add_polygons(OGRGeometryH shape, OGRGeometryH all) {
  if (wkbFlatten(OGR_G_GetGeometryType(shape)) == wkbPolygon) {
    OGR_G_AddGeometry(all, shape);
    return;
  }
  for (int i = 0; i < OGR_G_GetGeometryCount(shape); i++)
    add_polygons(OGR_G_GetGeometryRef(shape, i), all);
}

OGRGeometryH isw_regions_new_district_shape(const struct isw_district_set *set, int district) {
  const struct isw_district *it = isw_regions_district_at(set, district);
  OGRGeometryH all = OGR_G_CreateGeometry(wkbMultiPolygon);
  for (guint i = 0; i < it->shapes->len; i++) add_polygons(g_ptr_array_index(it->shapes, i), all);
  return all;
}

static void find_largest(OGRGeometryH shape, OGRGeometryH *part, double *most) {
  OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(shape));
  if (type == wkbMultiPolygon) {
    for (int i = 0; i < OGR_G_GetGeometryCount(shape); i++)
      find_largest(OGR_G_GetGeometryRef(shape, i), part, most);
  } else if (OGR_G_Area(shape) > *most) {
    *most = OGR_G_Area(shape);
    *part = shape;
  }
}

/* Is a point (of the part) in a shape of a smaller district? */
static bool is_taken(const struct isw_district_set *set, int rank, OGRGeometryH point) {
  for (int i = 0; i < rank; i++) {
    const struct isw_district *other = isw_regions_district_at(set, set->smaller_first[i]);
    double x = OGR_G_GetX(point, 0), y = OGR_G_GetY(point, 0);
    if (x < other->envelope.MinX || x > other->envelope.MaxX || y < other->envelope.MinY ||
        y > other->envelope.MaxY)
      continue;
    for (guint s = 0; s < other->shapes->len; s++)
      if (OGR_G_Contains(g_ptr_array_index(other->shapes, s), point)) return true;
  }
  return false;
}

/* The largest piece of a part that smaller districts leave; NULL: none. New. */
static OGRGeometryH leave_smaller_out(const struct isw_district_set *set, int rank,
                                      OGRGeometryH part) {
  OGRGeometryH left = OGR_G_Clone(part);
  for (int i = 0; i < rank && left != NULL; i++) {
    const struct isw_district *other = isw_regions_district_at(set, set->smaller_first[i]);
    for (guint s = 0; s < other->shapes->len && left != NULL; s++) {
      OGRGeometryH shape = g_ptr_array_index(other->shapes, s);
      if (!OGR_G_Intersects(left, shape)) continue;
      OGRGeometryH rest = OGR_G_Difference(left, shape);
      OGR_G_DestroyGeometry(left);
      left = rest;
    }
  }
  OGRGeometryH largest = NULL;
  double most = 0.0;
  if (left != NULL) find_largest(left, &largest, &most);
  OGRGeometryH piece = largest != NULL ? OGR_G_Clone(largest) : NULL;
  OGR_G_DestroyGeometry(left);
  return piece;
}

bool isw_regions_find_label(const struct isw_district_set *set, int district, double *x, double *y,
                            double *middle_x) {
  const struct isw_district *it = isw_regions_district_at(set, district);
  OGRGeometryH part = NULL;
  double most = -1.0;
  for (guint i = 0; i < it->shapes->len; i++) {
    OGRGeometryH shape = g_ptr_array_index(it->shapes, i), before = part;
    find_largest(shape, &part, &most);
    if (part != before) *middle_x = isw_regions_middle_of(shape);
  }
  if (part == NULL) return false;
  OGRGeometryH centre = OGR_G_CreateGeometry(wkbPoint);
  bool found = OGR_G_Centroid(part, centre) == OGRERR_NONE;
  if (!found || !OGR_G_Contains(part, centre)) {
    OGR_G_DestroyGeometry(centre);
    centre = OGR_G_PointOnSurface(part);
  }
  if (centre == NULL) return false;
  if (is_taken(set, it->rank, centre)) {
    OGRGeometryH piece = leave_smaller_out(set, it->rank, part);
    OGRGeometryH inside = piece != NULL ? OGR_G_PointOnSurface(piece) : NULL;
    OGR_G_DestroyGeometry(piece);
    if (inside != NULL) {
      OGR_G_DestroyGeometry(centre);
      centre = inside;
    }
  }
  *x = OGR_G_GetX(centre, 0);
  *y = OGR_G_GetY(centre, 0);
  OGR_G_DestroyGeometry(centre);
  return true;
}
