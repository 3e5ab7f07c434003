#include "guide/logo.h"

#include <glib.h>
#include <librsvg/rsvg.h>
#include <math.h>
#include <string.h>

static const gsize bytes_most = 8 << 20;

struct isw_logo {
  char *bytes;
  gsize size;
  cairo_surface_t *image; /* of a PNG */
  RsvgHandle *drawing;    /* of an SVG */
  double width, height;   /* in its own units */
};

struct bytes_left {
  const char *at;
  gsize n;
};

static cairo_status_t take_bytes(void *self, unsigned char *out, unsigned n) {
  struct bytes_left *left = self;
  if (n > left->n) return CAIRO_STATUS_READ_ERROR;
  memcpy(out, left->at, n);
  left->at += n;
  left->n -= n;
  return CAIRO_STATUS_SUCCESS;
}

static const char *open_png(struct isw_logo *logo) {
  struct bytes_left left = {logo->bytes, logo->size};
  logo->image = cairo_image_surface_create_from_png_stream(take_bytes, &left);
  cairo_status_t answer = cairo_surface_status(logo->image);
  if (answer != CAIRO_STATUS_SUCCESS) return cairo_status_to_string(answer);
  logo->width = cairo_image_surface_get_width(logo->image);
  logo->height = cairo_image_surface_get_height(logo->image);
  return NULL;
}

static char *open_svg(struct isw_logo *logo) {
  GError *failure = NULL;
  logo->drawing = rsvg_handle_new_from_data((const guint8 *)logo->bytes, logo->size, &failure);
  if (logo->drawing == NULL) {
    char *text = g_strdup(failure->message);
    g_error_free(failure);
    return text;
  }
  if (rsvg_handle_get_intrinsic_size_in_pixels(logo->drawing, &logo->width, &logo->height))
    return NULL;
  gboolean has_box;
  RsvgRectangle box;
  rsvg_handle_get_intrinsic_dimensions(logo->drawing, NULL, NULL, NULL, NULL, &has_box, &box);
  if (has_box) {
    logo->width = box.width;
    logo->height = box.height;
  }
  return NULL;
}

static enum isw_status open_logo(struct isw_logo *logo, const char *path, struct isw_error *error) {
  static const char png_start[] = "\211PNG\r\n\032\n";
  bool png = logo->size >= 8 && memcmp(logo->bytes, png_start, 8) == 0;
  bool svg = !png && g_strstr_len(logo->bytes, (gssize)MIN(logo->size, 4096), "<svg") != NULL;
  if (!png && !svg)
    return isw_base_fail(error, ISW_INPUT_CONTENT,
                         "logo %s: is neither a PNG nor an SVG picture; save it as one of them",
                         path);
  char *reason = png ? g_strdup(open_png(logo)) : open_svg(logo);
  enum isw_status status = ISW_OK;
  if (reason != NULL)
    status = isw_base_fail(error, ISW_INPUT_CONTENT, "logo %s: cannot be read as %s: %s", path,
                           png ? "PNG" : "SVG", reason);
  else if (!(logo->width >= 1.0) || !(logo->height >= 1.0) || !isfinite(logo->width) ||
           !isfinite(logo->height))
    status =
        isw_base_fail(error, ISW_INPUT_CONTENT,
                      "logo %s: says no size; give it a width and a height, or a viewBox", path);
  g_free(reason);
  return status;
}

enum isw_status isw_guide_read_logo(const char *path, struct isw_logo **out,
                                    struct isw_error *error) {
  struct isw_logo *logo = g_new0(struct isw_logo, 1);
  GError *failure = NULL;
  enum isw_status status = ISW_OK;
  if (!g_file_test(path, G_FILE_TEST_IS_REGULAR))
    status = isw_base_fail(error, ISW_INPUT_FILE, "logo %s: there is no such file", path);
  else if (!g_file_get_contents(path, &logo->bytes, &logo->size, &failure))
    status =
        isw_base_fail(error, ISW_INPUT_FILE, "logo %s: cannot be read: %s", path, failure->message);
  else if (logo->size > bytes_most)
    status = isw_base_fail(error, ISW_INPUT_CONTENT,
                           "logo %s: is larger than %d MB, and would be in every page; make it "
                           "smaller",
                           path, (int)(bytes_most >> 20));
  else
    status = open_logo(logo, path, error);
  g_clear_error(&failure);
  if (status == ISW_OK)
    *out = logo;
  else
    isw_guide_free_logo(logo);
  return status;
}

void isw_guide_free_logo(struct isw_logo *logo) {
  if (logo == NULL) return;
  if (logo->image != NULL) cairo_surface_destroy(logo->image);
  if (logo->drawing != NULL) g_object_unref(logo->drawing);
  g_free(logo->bytes);
  g_free(logo);
}

void isw_guide_fit_logo(const struct isw_logo *logo, double most_width_mm, double most_height_mm,
                        double *width_mm, double *height_mm) {
  double scale = fmin(most_width_mm / logo->width, most_height_mm / logo->height);
  *width_mm = logo->width * scale;
  *height_mm = logo->height * scale;
}

void isw_guide_draw_logo(const struct isw_logo *logo, cairo_t *cr, double x_mm, double y_mm,
                         double width_mm, double height_mm) {
  cairo_save(cr);
  if (logo->drawing != NULL) {
    RsvgRectangle box = {x_mm, y_mm, width_mm, height_mm};
    rsvg_handle_render_document(logo->drawing, cr, &box, NULL);
  } else {
    cairo_translate(cr, x_mm, y_mm);
    cairo_scale(cr, width_mm / logo->width, height_mm / logo->height);
    cairo_set_source_surface(cr, logo->image, 0.0, 0.0);
    cairo_paint(cr);
  }
  cairo_restore(cr);
}

char *isw_guide_logo_as_link(const struct isw_logo *logo) {
  char *data = g_base64_encode((const guchar *)logo->bytes, logo->size);
  char *link =
      g_strdup_printf("data:image/%s;base64,%s", logo->drawing != NULL ? "svg+xml" : "png", data);
  g_free(data);
  return link;
}
