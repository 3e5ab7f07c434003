#include "chart/districts.h"

#include <cpl_error.h>
#include <gdal.h>
#include <math.h>
#include <ogr_api.h>
#include <ogr_srs_api.h>

/* What both passes over a layer need. */
struct district_reader {
  GDALDatasetH dataset;
  OGRLayerH layer;
  OGRSpatialReferenceH to;
  OGRCoordinateTransformationH transform; /* NULL: none needed */
  double to_cell[6];                      /* inverse of the grid's transform */
};

static void close_reader(struct district_reader *reader) {
  if (reader->transform != NULL) OCTDestroyCoordinateTransformation(reader->transform);
  if (reader->to != NULL) OSRRelease(reader->to);
  if (reader->dataset != NULL) GDALClose(reader->dataset);
  *reader = (struct district_reader){0};
}

static enum isw_status open_reader(const struct isw_map_source *source, const char *vector,
                                   struct district_reader *reader, struct isw_error *error) {
  *reader = (struct district_reader){0};
  CPLPushErrorHandler(CPLQuietErrorHandler);
  reader->dataset = GDALOpenEx(vector, GDAL_OF_VECTOR | GDAL_OF_READONLY | GDAL_OF_VERBOSE_ERROR,
                               NULL, NULL, NULL);
  CPLPopErrorHandler();
  reader->layer = reader->dataset != NULL ? GDALDatasetGetLayer(reader->dataset, 0) : NULL;
  if (reader->layer == NULL) {
    close_reader(reader);
    return isw_base_fail(error, ISW_INPUT_FILE, "cannot read districts from %s: %s", vector,
                         CPLGetLastErrorMsg());
  }
  OGRSpatialReferenceH from = OGR_L_GetSpatialRef(reader->layer);
  reader->to = OSRNewSpatialReference(source->grid.wkt);
  if (from != NULL && reader->to != NULL) {
    OGRSpatialReferenceH plain = OSRClone(from);
    OSRSetAxisMappingStrategy(plain, OAMS_TRADITIONAL_GIS_ORDER);
    OSRSetAxisMappingStrategy(reader->to, OAMS_TRADITIONAL_GIS_ORDER);
    reader->transform = OCTNewCoordinateTransformation(plain, reader->to);
    OSRRelease(plain);
    if (reader->transform == NULL) {
      close_reader(reader);
      return isw_base_fail(error, ISW_INPUT_CONTENT,
                           "the CRS of %s cannot be brought into the normals' CRS: %s", vector,
                           CPLGetLastErrorMsg());
    }
  }
  double transform[6];
  for (int i = 0; i < 6; i++) transform[i] = source->grid.transform[i];
  if (!GDALInvGeoTransform(transform, reader->to_cell)) {
    close_reader(reader);
    return isw_base_fail(error, ISW_INPUT_CONTENT, "the grid's cells have no area");
  }
  return ISW_OK;
}

/* The feature's shape in the grid's CRS, or NULL; to be destroyed. */
static OGRGeometryH crs_geometry(const struct district_reader *reader, OGRFeatureH feature) {
  OGRGeometryH given = OGR_F_GetGeometryRef(feature);
  if (given == NULL) return NULL;
  OGRGeometryH geometry = OGR_G_GetLinearGeometry(given, 0, NULL);
  if (geometry == NULL) return NULL;
  if (reader->transform != NULL && OGR_G_Transform(geometry, reader->transform) != OGRERR_NONE) {
    OGR_G_DestroyGeometry(geometry);
    return NULL;
  }
  return geometry;
}

/* Degrees that bring a district to the side on which a grid of longitudes 0..360 or past 180 has
 * it.
 */
static double turns_of(const struct isw_map_source *source, OGRGeometryH geometry) {
  if (!source->grid.geographic) return 0;
  OGREnvelope envelope;
  OGR_G_GetEnvelope(geometry, &envelope);
  double middle = source->grid.transform[0] +
                  source->grid.transform[1] * (source->data.col + source->data.cols / 2.0);
  return 360 * round((middle - (envelope.MinX + envelope.MaxX) / 2) / 360);
}

static void place(const struct district_reader *reader, const struct isw_map_frame *frame, double x,
                  double y, double *x_mm, double *y_mm) {
  const double *t = reader->to_cell;
  isw_chart_place_cell(frame, t[0] + x * t[1] + y * t[2], t[3] + x * t[4] + y * t[5], x_mm, y_mm);
}

/* What tracing an outline needs besides its points. */
struct outline {
  cairo_t *cr;
  const struct isw_map_frame *frame;
  const struct isw_class_grid *grid;
  double coast_mm; /* this near to no data, the coast stands for the outline */
  double step_mm;  /* how finely that is asked */
  bool drawing;
};

static bool has_data(const struct outline *outline, double x_mm, double y_mm) {
  double col, row;
  isw_chart_find_cell(outline->frame, x_mm, y_mm, &col, &row);
  const struct isw_cell_window *window = &outline->frame->window;
  int x = (int)floor((col - window->col) / window->cols * outline->grid->width);
  int y = (int)floor((row - window->row) / window->rows * outline->grid->height);
  if (x < 0 || y < 0 || x >= outline->grid->width || y >= outline->grid->height) return true;
  return outline->grid->classes[(size_t)y * (size_t)outline->grid->width + (size_t)x] !=
         ISW_CLASS_NONE;
}

static bool is_inland(const struct outline *outline, double x_mm, double y_mm) {
  enum { AROUND = 8 };
  for (int k = 0; k < AROUND; k++)
    if (!has_data(outline, x_mm + outline->coast_mm * cos(2 * G_PI * k / AROUND),
                  y_mm + outline->coast_mm * sin(2 * G_PI * k / AROUND)))
      return false;
  return true;
}

static void trace_piece(struct outline *outline, double from_x, double from_y, double to_x,
                        double to_y) {
  /* Far outside the page nothing is asked step by step. */
  double length = hypot(to_x - from_x, to_y - from_y);
  int n = (int)fmin(ceil(length / outline->step_mm), 4000);
  for (int i = 0; i < n; i++) {
    double middle = (i + 0.5) / n, end = (i + 1.0) / n;
    bool inland =
        is_inland(outline, from_x + middle * (to_x - from_x), from_y + middle * (to_y - from_y));
    double x = from_x + end * (to_x - from_x), y = from_y + end * (to_y - from_y);
    if (inland && !outline->drawing)
      cairo_move_to(outline->cr, from_x + (double)i / n * (to_x - from_x),
                    from_y + (double)i / n * (to_y - from_y));
    if (inland) cairo_line_to(outline->cr, x, y);
    outline->drawing = inland;
  }
}

static void trace(struct outline *outline, const struct district_reader *reader,
                  OGRGeometryH geometry, double shift) {
  int parts = OGR_G_GetGeometryCount(geometry);
  for (int i = 0; i < parts; i++) trace(outline, reader, OGR_G_GetGeometryRef(geometry, i), shift);
  int n = parts == 0 ? OGR_G_GetPointCount(geometry) : 0;
  double last_x = 0, last_y = 0;
  outline->drawing = false;
  for (int i = 0; i < n; i++) {
    double x_mm, y_mm;
    place(reader, outline->frame, OGR_G_GetX(geometry, i) + shift, OGR_G_GetY(geometry, i), &x_mm,
          &y_mm);
    if (i > 0) trace_piece(outline, last_x, last_y, x_mm, y_mm);
    last_x = x_mm;
    last_y = y_mm;
  }
}

enum isw_status isw_chart_draw_district_outlines(struct isw_pen *pen,
                                                 const struct isw_map_source *source,
                                                 const struct isw_map_frame *frame,
                                                 const struct isw_class_grid *grid,
                                                 const char *vector, struct isw_error *error) {
  struct district_reader reader;
  enum isw_status status = open_reader(source, vector, &reader, error);
  if (status != ISW_OK) return status;
  cairo_t *cr = pen->cr;
  cairo_save(cr);
  isw_chart_clip_box(pen, frame->box);
  struct outline outline = {.cr = cr, .frame = frame, .grid = grid};
  outline.coast_mm = fmax(0.7 * pen->scale, 1.1 * frame->box.width_mm / frame->window.cols);
  outline.step_mm = 0.7 * pen->scale;
  OGRFeatureH feature;
  while ((feature = OGR_L_GetNextFeature(reader.layer)) != NULL) {
    OGRGeometryH geometry = crs_geometry(&reader, feature);
    if (geometry != NULL) {
      trace(&outline, &reader, geometry, turns_of(source, geometry));
      OGR_G_DestroyGeometry(geometry);
    }
    OGR_F_Destroy(feature);
  }
  isw_chart_stroke_border(pen);
  cairo_restore(cr);
  close_reader(&reader);
  return ISW_OK;
}

/* The largest polygon of a shape; the shape itself where it has no parts. */
static OGRGeometryH largest_part(OGRGeometryH geometry) {
  OGRwkbGeometryType type = wkbFlatten(OGR_G_GetGeometryType(geometry));
  if (type != wkbMultiPolygon && type != wkbGeometryCollection) return geometry;
  OGRGeometryH best = geometry;
  double most = -1;
  for (int i = 0; i < OGR_G_GetGeometryCount(geometry); i++) {
    OGRGeometryH part = OGR_G_GetGeometryRef(geometry, i);
    if (OGR_G_Area(part) > most) {
      most = OGR_G_Area(part);
      best = part;
    }
  }
  return best;
}

static const struct isw_text name_style = {
    .size_mm = 2.9, .bold = true, .ink = {0.16, 0.16, 0.2}, .halo_mm = 0.6};

static void free_name(gpointer data) {
  struct isw_district_name *name = data;
  g_free(name->name);
  g_free(name);
}

static void place_name(struct isw_pen *pen, const struct district_reader *reader,
                       const struct isw_map_source *source, const struct isw_map_frame *frame,
                       OGRGeometryH geometry, const char *name, struct isw_label_space *space,
                       GPtrArray *names) {
  OGRGeometryH part = largest_part(geometry);
  OGRGeometryH centre = OGR_G_CreateGeometry(wkbPoint);
  bool found = OGR_G_Centroid(part, centre) == OGRERR_NONE;
  if (!found || !OGR_G_Contains(part, centre)) {
    OGR_G_DestroyGeometry(centre);
    centre = OGR_G_PointOnSurface(part);
  }
  if (centre == NULL) return;
  double x_mm, y_mm;
  place(reader, frame, OGR_G_GetX(centre, 0) + turns_of(source, geometry), OGR_G_GetY(centre, 0),
        &x_mm, &y_mm);
  OGR_G_DestroyGeometry(centre);
  struct isw_extent extent = isw_chart_measure_text(pen, &name_style, name);
  for (int step = 0; step < 9; step++) {
    /* Up and down by half lines until the name is free of the others. */
    double away = (step + 1) / 2 * (step % 2 ? -1.0 : 1.0) * 2.2 * pen->scale;
    struct isw_label_box box = {x_mm, y_mm + away, extent.width_mm / 2 + 0.8 * pen->scale,
                                1.9 * pen->scale, 0};
    if (!isw_chart_take_label_space(space, box)) continue;
    struct isw_district_name *placed = g_new(struct isw_district_name, 1);
    *placed = (struct isw_district_name){g_strdup(name), x_mm, y_mm + away};
    g_ptr_array_add(names, placed);
    return;
  }
}

enum isw_status isw_chart_place_district_names(struct isw_pen *pen,
                                               const struct isw_map_source *source,
                                               const struct isw_map_frame *frame,
                                               const char *vector, const char *name_column,
                                               struct isw_label_space *space, GPtrArray **names,
                                               struct isw_error *error) {
  struct district_reader reader;
  enum isw_status status = open_reader(source, vector, &reader, error);
  if (status != ISW_OK) return status;
  int column = OGR_FD_GetFieldIndex(OGR_L_GetLayerDefn(reader.layer), name_column);
  if (column < 0) {
    close_reader(&reader);
    return isw_base_fail(error, ISW_USAGE, "%s has no column \"%s\"; name one that it has", vector,
                         name_column);
  }
  *names = g_ptr_array_new_with_free_func(free_name);
  OGRFeatureH feature;
  while ((feature = OGR_L_GetNextFeature(reader.layer)) != NULL) {
    OGRGeometryH geometry = crs_geometry(&reader, feature);
    const char *name = OGR_F_GetFieldAsString(feature, column);
    if (geometry != NULL && name != NULL && name[0] != '\0' && g_utf8_validate(name, -1, NULL))
      place_name(pen, &reader, source, frame, geometry, name, space, *names);
    if (geometry != NULL) OGR_G_DestroyGeometry(geometry);
    OGR_F_Destroy(feature);
  }
  close_reader(&reader);
  return ISW_OK;
}

void isw_chart_draw_district_names(struct isw_pen *pen, const GPtrArray *names) {
  for (guint i = 0; i < names->len; i++) {
    const struct isw_district_name *name = g_ptr_array_index(names, i);
    isw_chart_draw_turned_text(pen, &name_style, name->x_mm, name->y_mm, 0, name->name);
  }
}
