#include "chart/drawn_with.h"

#include <cairo.h>
#include <fontconfig/fontconfig.h>
#include <glib.h>
#include <pango/pango.h>
#include <png.h>
#include <proj.h>

char *isw_chart_drawn_with(void) {
  const int fontconfig = FcGetVersion();
  PJ_INFO proj = proj_info();
  return g_strdup_printf("cairo %s, Pango %s, fontconfig %d.%d.%d, libpng %s, PROJ %s",
                         cairo_version_string(), pango_version_string(), fontconfig / 10000,
                         fontconfig / 100 % 100, fontconfig % 100, png_get_libpng_ver(NULL),
                         proj.version);
}
