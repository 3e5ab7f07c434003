/* The publisher's logo: a PNG or an SVG, drawn into print, carried by the page. */
#ifndef ISW_GUIDE_LOGO_H
#define ISW_GUIDE_LOGO_H

#include <cairo.h>
#include <stdbool.h>

#include "base/status.h"

struct isw_logo;

/* By its first bytes, whatever its name says. Nothing outside the file is read. ISW_INPUT_FILE:
 * cannot be read. ISW_INPUT_CONTENT: neither PNG nor SVG, damaged, or of no size. *out is new. */
enum isw_status isw_guide_read_logo(const char *path, struct isw_logo **out,
                                    struct isw_error *error);
void isw_guide_free_logo(struct isw_logo *logo); /* takes NULL */

/* Its size (mm) where it may be at most this large. */
void isw_guide_fit_logo(const struct isw_logo *logo, double most_width_mm, double most_height_mm,
                        double *width_mm, double *height_mm);

/* On a surface whose user space is mm; x, y: the upper left corner. */
void isw_guide_draw_logo(const struct isw_logo *logo, cairo_t *cr, double x_mm, double y_mm,
                         double width_mm, double height_mm);

/* "data:image/png;base64,...": new. */
char *isw_guide_logo_as_link(const struct isw_logo *logo);

#endif
