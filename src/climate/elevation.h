/* Coarse normals brought to a fine elevation grid: bilinear in temperature reduced to sea level,
 * then back up at the fine grid's elevation (docs/method.md, elevation). */
#ifndef ISW_CLIMATE_ELEVATION_H
#define ISW_CLIMATE_ELEVATION_H

#include "climate/climate_request.h"
#include "climate/normals.h"

/* Yearly mean of minimum and maximum over 185 Colorado stations, 1961-1990; between the Cascades'
 * 3.9-5.2 (Minder et al. 2010) and the standard atmosphere's 6.5 (ISO 2533). K per km. */
#define ISW_LAPSE_DEFAULT_K_KM 5.7

struct isw_elevation;

/* From open sources, all of them borrowed and to outlive *out, which is new. ISW_INPUT_CONTENT: an
 * elevation of the normals on another grid than theirs, a fine grid coarser than the normals, CRS
 * between which PROJ knows no way; ISW_USAGE: a lapse rate outside -10..20 K/km, or neither 1, 12
 * nor 24 of them. */
enum isw_status isw_climate_open_elevation(const struct isw_normal_sources *normals,
                                           const struct isw_climate_request *request,
                                           struct isw_source *fine, struct isw_source *coarse,
                                           struct isw_elevation **out, struct isw_error *error);
void isw_climate_free_elevation(struct isw_elevation *elevation); /* takes NULL; not the sources */

/* As isw_climate_read_planes, on the grid of the fine elevation. A cell has data where the normals'
 * cell it lies in and the fine elevation have; neighbours without data leave their weight to the
 * others. ISW_INPUT_FILE, ISW_RESOURCES (a row that spreads over too many cells of the normals
 * too).
 */
enum isw_status isw_climate_read_lifted(const struct isw_elevation *elevation, int col, int row,
                                        int width, int height, float *planes, size_t stride,
                                        struct isw_error *error);

/* "lapse rate 5.7 K/km"; new text. */
char *isw_climate_describe_lapse(const struct isw_elevation *elevation);

#endif
