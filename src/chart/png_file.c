#include "chart/png_file.h"

#include <errno.h>
#include <glib.h>
#include <math.h>
#include <png.h>
#include <setjmp.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <string.h>
#include <zlib.h>

enum { REASON_SIZE = 256, TEXTS = 4 };

/* Everything that must survive the long jump lives here, not in registers. */
struct writer {
  FILE *file;
  png_structp png;
  png_infop info;
  png_bytep row;
  char reason[REASON_SIZE];
};

static void keep_reason(png_structp png, png_const_charp message) {
  struct writer *writer = png_get_error_ptr(png);
  /* A full disk shows as errno; libpng only says "Write Error". */
  snprintf(writer->reason, REASON_SIZE, "%s%s%s", message, errno != 0 ? ": " : "",
           errno != 0 ? strerror(errno) : "");
  longjmp(png_jmpbuf(png), 1);
}

static void ignore_warning(png_structp png, png_const_charp message) {
  (void)png;
  (void)message;
}

static void set_texts(struct writer *writer, const struct isw_png_texts *texts) {
  const char *keys[TEXTS] = {"Title", "Description", "Software", "Source"};
  const char *values[TEXTS] = {texts->title, texts->description, texts->software, texts->source};
  for (int i = 0; i < TEXTS; i++) {
    if (values[i] == NULL) continue;
    char key[16];
    g_strlcpy(key, keys[i], sizeof key);
    char *value = g_strdup(values[i]);
    char language[] = "en";
    png_text text = {.compression = PNG_ITXT_COMPRESSION_NONE,
                     .key = key,
                     .text = value,
                     .itxt_length = strlen(value),
                     .lang = language};
    png_set_text(writer->png, writer->info, &text, 1);
    g_free(value);
  }
}

static void write_rows(struct writer *writer, cairo_surface_t *surface) {
  int width = cairo_image_surface_get_width(surface);
  int height = cairo_image_surface_get_height(surface);
  int stride = cairo_image_surface_get_stride(surface);
  const unsigned char *data = cairo_image_surface_get_data(surface);
  for (int y = 0; y < height; y++) {
    const uint32_t *from = (const void *)(data + (ptrdiff_t)y * stride);
    png_bytep to = writer->row;
    for (int x = 0; x < width; x++, to += 3) {
      uint32_t pixel = from[x];
      to[0] = (png_byte)(pixel >> 16);
      to[1] = (png_byte)(pixel >> 8);
      to[2] = (png_byte)pixel;
    }
    png_write_row(writer->png, writer->row);
  }
}

static bool write_all(struct writer *writer, cairo_surface_t *surface, double dpi,
                      const struct isw_png_texts *texts) {
  if (setjmp(png_jmpbuf(writer->png))) return false;
  png_init_io(writer->png, writer->file);
  /* Rows of a map repeat the row above: the Up filter leaves runs of zeros, which run-length
   * matching packs at the speed of a copy. */
  png_set_filter(writer->png, PNG_FILTER_TYPE_BASE, PNG_FILTER_UP);
  png_set_compression_level(writer->png, 2);
  png_set_compression_strategy(writer->png, Z_DEFAULT_STRATEGY);
  png_set_compression_buffer_size(writer->png, 1 << 18);
  png_set_IHDR(writer->png, writer->info, (png_uint_32)cairo_image_surface_get_width(surface),
               (png_uint_32)cairo_image_surface_get_height(surface), 8, PNG_COLOR_TYPE_RGB,
               PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
  png_set_sRGB(writer->png, writer->info, PNG_sRGB_INTENT_PERCEPTUAL);
  png_uint_32 per_metre = (png_uint_32)lround(dpi / 0.0254);
  png_set_pHYs(writer->png, writer->info, per_metre, per_metre, PNG_RESOLUTION_METER);
  set_texts(writer, texts);
  png_write_info(writer->png, writer->info);
  write_rows(writer, surface);
  png_write_end(writer->png, writer->info);
  return true;
}

static enum isw_status cannot_write(const char *path, const char *reason, struct isw_error *error) {
  return isw_base_fail(error, ISW_OUTPUT, "cannot write %s: %s; is the disk full?", path,
                       reason[0] != '\0' ? reason : "out of memory");
}

enum isw_status isw_chart_write_png_stream(cairo_surface_t *surface, double dpi,
                                           const struct isw_png_texts *texts, FILE *file,
                                           const char *path, struct isw_error *error) {
  struct writer writer = {.file = file};
  cairo_surface_flush(surface);
  errno = 0;
  writer.row = g_new(png_byte, 3 * (gsize)cairo_image_surface_get_width(surface));
  writer.png = png_create_write_struct(PNG_LIBPNG_VER_STRING, &writer, keep_reason, ignore_warning);
  writer.info = writer.png != NULL ? png_create_info_struct(writer.png) : NULL;
  bool done = writer.info != NULL && write_all(&writer, surface, dpi, texts);
  if (writer.png != NULL) png_destroy_write_struct(&writer.png, &writer.info);
  g_free(writer.row);
  return done ? ISW_OK : cannot_write(path, writer.reason, error);
}

enum isw_status isw_chart_write_png(cairo_surface_t *surface, double dpi,
                                    const struct isw_png_texts *texts, const char *path,
                                    struct isw_error *error) {
  FILE *file = fopen(path, "wb");
  if (file == NULL)
    return isw_base_fail(error, ISW_OUTPUT, "cannot write %s: %s; choose a folder you may write to",
                         path, strerror(errno));
  enum isw_status status = isw_chart_write_png_stream(surface, dpi, texts, file, path, error);
  if (fclose(file) != 0 && status == ISW_OK) status = cannot_write(path, strerror(errno), error);
  /* Never a device that someone named. */
  if (status != ISW_OK && g_file_test(path, G_FILE_TEST_IS_REGULAR)) remove(path);
  return status;
}
