/* The years that normals stand for, as text. */
#ifndef ISW_CLIMATE_PERIOD_H
#define ISW_CLIMATE_PERIOD_H

#include <stdbool.h>

/* "1961-1990", with a slash or a dash between, blanks allowed. */
bool isw_climate_is_period(const char *text);

#endif
