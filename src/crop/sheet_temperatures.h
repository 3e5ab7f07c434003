/* Temperatures and differences of a sheet, in its unit outside, within what is found on farms. */
#ifndef ISW_CROP_SHEET_TEMPERATURES_H
#define ISW_CROP_SHEET_TEMPERATURES_H

#include "crop/sheet_sections.h"

/* Fails unless value (in the sheet's unit) lies within -60..60 degC. */
bool isw_crop_check_temperature(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                                const char *key, size_t line, double value);

/* A temperature to degC, a difference [0..60 K] to K; an absent key leaves *out as it was. */
bool isw_crop_read_temperature(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                               const char *key, double *out_C);
bool isw_crop_read_difference(const struct isw_sheet_draft *draft, const struct isw_yaml_map *map,
                              const char *key, double *out_K);

#endif
