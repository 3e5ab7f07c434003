/* PNG with what a picture should say of itself: sRGB, size in print, and texts. */
#ifndef ISW_CHART_PNG_FILE_H
#define ISW_CHART_PNG_FILE_H

#include <cairo.h>
#include <stdio.h>

#include "base/status.h"

/* UTF-8; NULL: left out. */
struct isw_png_texts {
  const char *title, *description, *software, *source;
};

/* Write an RGB24 image surface to a stream that is open; path is what messages call it. Chunks as
 * below. ISW_OUTPUT: cannot be written. */
enum isw_status isw_chart_write_png_stream(cairo_surface_t *surface, double dpi,
                                           const struct isw_png_texts *texts, FILE *file,
                                           const char *path, struct isw_error *error);

/* Write an RGB24 image surface. Chunks: sRGB (perceptual), pHYs from dpi, iTXt Title, Description,
 * Software, Source. ISW_OUTPUT: cannot be written; nothing stays at path. */
enum isw_status isw_chart_write_png(cairo_surface_t *surface, double dpi,
                                    const struct isw_png_texts *texts, const char *path,
                                    struct isw_error *error);

#endif
