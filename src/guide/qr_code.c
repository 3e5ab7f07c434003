#include "guide/qr_code.h"

#include <glib.h>
#include <qrencode.h>

struct isw_qr_code {
  QRcode *code;
};

struct isw_qr_code *isw_guide_new_qr_code(const char *text) {
  struct isw_qr_code *made = g_new(struct isw_qr_code, 1);
  made->code = QRcode_encodeString8bit(text, 0, QR_ECLEVEL_M);
  if (made->code == NULL)
    g_error("no memory for a QR code"); /* ends as GLib's own allocation does */
  return made;
}

void isw_guide_free_qr_code(struct isw_qr_code *code) {
  if (code == NULL) return;
  QRcode_free(code->code);
  g_free(code);
}

int isw_guide_qr_modules(const struct isw_qr_code *code) {
  return code->code->width + 2 * ISW_QR_QUIET_MODULES;
}

/* Runs of a row are one rectangle, and all are one path: a printer sees no seams in the black. */
void isw_guide_draw_qr_code(const struct isw_qr_code *code, cairo_t *cr, double x, double y,
                            double side) {
  const int n = code->code->width;
  const double module = side / isw_guide_qr_modules(code);
  cairo_save(cr);
  cairo_set_source_rgb(cr, 1.0, 1.0, 1.0);
  cairo_rectangle(cr, x, y, side, side);
  cairo_fill(cr);
  cairo_set_source_rgb(cr, 0.0, 0.0, 0.0);
  for (int row = 0; row < n; row++) {
    const unsigned char *modules = code->code->data + row * n; /* the lowest bit: black */
    for (int from = 0, to; from < n; from = to) {
      to = from + 1;
      if ((modules[from] & 1) == 0) continue;
      while (to < n && (modules[to] & 1) != 0) to++;
      cairo_rectangle(cr, x + (ISW_QR_QUIET_MODULES + from) * module,
                      y + (ISW_QR_QUIET_MODULES + row) * module, (to - from) * module, module);
    }
  }
  cairo_fill(cr);
  cairo_restore(cr);
}
