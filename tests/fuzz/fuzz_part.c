/* A part file from any bytes, as join reads it: refused in words, or blocks of the grid with values
 * that a run can give. An even first byte: the rest is the file. An odd one: the rest is framed as
 * a part, so that its texts and blocks are reached: line 2 its share, line 3 its run, line 4 its
 * counts, and then the blocks; a frame's bytes are given as they are before deflating, its length
 * in two bytes in front. */
#include <cpl_conv.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "fuzz_input.h"
#include "output/part_file.h"
#include "output/part_format.h"
#include "output/part_run.h"

static const struct isw_part_shape shape = {
    .grid_width = 3, .grid_height = 2, .n_results = 2, .n_seasons = 1, .n_varieties = 2};

static char *file_path;

static void remove_file(void) {
  g_unlink(file_path);
}

static void make_file(void) {
  int descriptor = g_file_open_tmp(NULL, &file_path, NULL);
  if (descriptor < 0) abort();
  g_close(descriptor, NULL);
  atexit(remove_file);
}

static void add_u32(GByteArray *out, size_t value) {
  guint32 bytes = GUINT32_TO_LE((guint32)value);
  g_byte_array_append(out, (const guint8 *)&bytes, sizeof bytes);
}

static void add_text(GByteArray *out, const char *text) {
  add_u32(out, strlen(text));
  g_byte_array_append(out, (const guint8 *)text, (guint)strlen(text));
}

static void add_frames(GByteArray *out, struct fuzz_lines *rest) {
  guint64 index = 0;
  g_byte_array_append(out, (const guint8 *)&index, sizeof index);
  while (rest->end - rest->at >= 2) {
    size_t left = (size_t)(rest->end - rest->at - 2), packed = 0;
    size_t size = MIN((size_t)(rest->at[0] + 256 * rest->at[1]), left);
    void *frame = CPLZLibDeflate(rest->at + 2, size, 1, NULL, 0, &packed);
    if (frame == NULL) abort();
    add_u32(out, packed);
    g_byte_array_append(out, frame, (guint)packed);
    VSIFree(frame);
    rest->at += 2 + size;
  }
}

static GByteArray *frame_part(const uint8_t *data, size_t size) {
  struct fuzz_lines lines = {data, data + size};
  char *share = fuzz_next_line(&lines), *run = fuzz_next_line(&lines);
  char *counts = fuzz_next_line(&lines);
  GByteArray *out = g_byte_array_new();
  g_byte_array_append(out, (const guint8 *)ISW_PART_HEAD, ISW_PART_HEAD_BYTES);
  add_text(out, share);
  add_text(out, run);
  add_frames(out, &lines);
  const guint counts_at = out->len;
  g_byte_array_append(out, (const guint8 *)counts, (guint)strlen(counts));
  add_u32(out, out->len - counts_at);
  GChecksum *checksum = g_checksum_new(G_CHECKSUM_SHA256);
  g_checksum_update(checksum, out->data, out->len);
  guint8 digest[ISW_PART_CHECKSUM_BYTES];
  gsize digest_size = sizeof digest;
  g_checksum_get_digest(checksum, digest, &digest_size);
  g_byte_array_append(out, digest, sizeof digest);
  g_byte_array_append(out, (const guint8 *)ISW_PART_END, ISW_PART_END_BYTES);
  g_checksum_free(checksum);
  free(share);
  free(run);
  free(counts);
  return out;
}

static enum isw_status expect_block(void *self, const struct isw_block *block,
                                    struct isw_error *error) {
  (void)self;
  (void)error;
  FUZZ_EXPECT(block->col == 0 && block->row == 0);
  FUZZ_EXPECT(block->width == shape.grid_width && block->height == shape.grid_height);
  const int cells = block->width * block->height;
  for (int cell = 0; cell < cells; cell++) {
    if ((block->flags[cell] & ISW_CELL_VALID) == 0) continue;
    for (int r = 0; r < shape.n_results; r++) {
      const int16_t *bands = block->bands[0] + (r * cells + cell) * ISW_CELL_BANDS;
      FUZZ_EXPECT(bands[ISW_BAND_YEARS] >= -1 && bands[ISW_BAND_YEARS] <= 10);
      FUZZ_EXPECT(bands[ISW_BAND_EDGE] >= 0 && bands[ISW_BAND_EDGE] <= 15);
      FUZZ_EXPECT(bands[ISW_BAND_WINDOW_DAYS] == 0 ||
                  (bands[ISW_BAND_BEST_SOW] >= 1 && bands[ISW_BAND_BEST_SOW] <= 365));
    }
    const int code = block->picks[0][cell];
    FUZZ_EXPECT(code <= 2 || (code >= 100 && code <= 102));
  }
  return ISW_OK;
}

static void expect_run(const char *text) {
  struct isw_part_run run;
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status = isw_output_read_part_run(text, "part", &run, &error);
  FUZZ_EXPECT(isw_output_compare_part_runs(text, text) == NULL);
  char *difference = isw_output_compare_part_runs(text, "{\"options\": [[\"good\", \"70\"], 3]}");
  FUZZ_EXPECT(difference == NULL || difference[0] != '\0');
  g_free(difference);
  if (status != ISW_OK) {
    fuzz_expect_told(status, &error);
    return;
  }
  FUZZ_EXPECT(run.facts.grid.width >= 1 && run.facts.grid.height >= 1);
  FUZZ_EXPECT(run.sheet_text != NULL && run.facts.grid.wkt != NULL);
  char *again = isw_output_write_part_run(&run);
  g_free(again);
  isw_output_clear_part_run(&run);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
  if (size == 0) return 0;
  if (file_path == NULL) make_file();
  GByteArray *framed = data[0] % 2 == 1 ? frame_part(data + 1, size - 1) : NULL;
  const uint8_t *bytes = framed != NULL ? framed->data : data + 1;
  const size_t length = framed != NULL ? framed->len : size - 1;
  FILE *file = fopen(file_path, "wb");
  if (file == NULL || fwrite(bytes, 1, length, file) != length || fclose(file) != 0) abort();
  if (framed != NULL) g_byte_array_unref(framed);
  struct isw_part_reader *reader;
  struct isw_error error = {.status = ISW_OK};
  enum isw_status status = isw_output_open_part(file_path, &reader, &error);
  if (status != ISW_OK) {
    fuzz_expect_told(status, &error);
    return 0;
  }
  const struct isw_part *part = isw_output_part_share(reader);
  FUZZ_EXPECT(part->number >= 1 && part->number <= part->of && part->of <= ISW_PARTS_MAX);
  expect_run(isw_output_part_run(reader));
  const struct isw_sink sink = {NULL, expect_block};
  status = isw_output_replay_part(reader, &shape, &sink, &error);
  if (status != ISW_OK) fuzz_expect_told(status, &error);
  isw_output_close_part(reader);
  return 0;
}
