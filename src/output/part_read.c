#define _XOPEN_SOURCE 700

#include <cpl_conv.h>
#include <errno.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <nettle/sha2.h>
#include <stdio.h>
#include <string.h>
#include <sys/types.h>

#include "output/json_text.h"
#include "output/part_file.h"
#include "output/part_format.h"

enum { TEXT_BYTES_MOST = 64 << 20 };

struct isw_part_reader {
  char *path;
  FILE *file;
  off_t end;              /* where the counts begin */
  struct sha256_ctx sums; /* of all that was read in order */
  struct isw_part part;
  char *run;
  struct isw_climate_counts counts;
};

/* One block's memory. */
struct block_room {
  uint8_t *flags, *picks, *planes, *packed;
  int16_t *bands, *spans;
  size_t packed_room;
};

static enum isw_status is_cut(const struct isw_part_reader *reader, struct isw_error *error) {
  return isw_base_fail(error, ISW_INPUT_CONTENT,
                       "%s: is cut or damaged; remove it and compute that part again",
                       reader->path);
}

static bool get(struct isw_part_reader *reader, void *bytes, size_t n) {
  if (fread(bytes, 1, n, reader->file) != n) return false;
  sha256_update(&reader->sums, n, bytes);
  return true;
}

static bool get_u32(struct isw_part_reader *reader, size_t most, size_t *out) {
  guint32 bytes;
  if (!get(reader, &bytes, sizeof bytes)) return false;
  *out = GUINT32_FROM_LE(bytes);
  return *out <= most;
}

static char *get_text(struct isw_part_reader *reader) {
  size_t n;
  if (!get_u32(reader, TEXT_BYTES_MOST, &n)) return NULL;
  char *text = g_try_malloc0(n + 1);
  if (text != NULL && get(reader, text, n)) return text;
  g_free(text);
  return NULL;
}

/* ---- head and tail ---- */

static bool read_share(struct isw_part_reader *reader, const char *text) {
  JsonObject *object = isw_output_parse_json(text, text != NULL ? strlen(text) : 0);
  if (object != NULL) {
    long long number = isw_output_json_number(object, "part", -1),
              of = isw_output_json_number(object, "of", -1);
    bool sound = number >= 1 && number <= of && of <= ISW_PARTS_MAX;
    reader->part =
        (struct isw_part){.number = sound ? (int)number : 0,
                          .of = sound ? (int)of : 0,
                          .first_block = isw_output_json_number(object, "first_block", -1),
                          .block_count = isw_output_json_number(object, "blocks", -1)};
  }
  if (object != NULL) json_object_unref(object);
  return reader->part.of > 0 && reader->part.first_block >= 0 && reader->part.block_count > 0;
}

static bool read_counts(struct isw_part_reader *reader, const char *text) {
  JsonObject *object = isw_output_parse_json(text, text != NULL ? strlen(text) : 0);
  if (object != NULL) {
    reader->counts =
        (struct isw_climate_counts){.cells = isw_output_json_number(object, "cells", -1),
                                    .valid = isw_output_json_number(object, "valid", -1),
                                    .empty = isw_output_json_number(object, "empty", -1),
                                    .partial = isw_output_json_number(object, "partial", -1),
                                    .inverted = isw_output_json_number(object, "inverted", -1)};
    g_strlcpy(reader->counts.first_inverted, isw_output_json_words(object, "first_inverted", ""),
              sizeof reader->counts.first_inverted);
  }
  if (object != NULL) json_object_unref(object);
  const struct isw_climate_counts *c = &reader->counts;
  return object != NULL && c->cells >= 0 && c->valid >= 0 && c->empty >= 0 && c->partial >= 0 &&
         c->inverted >= 0;
}

/* From the end backwards: the mark, and the counts in front of it. */
static bool read_tail(struct isw_part_reader *reader) {
  guint8 tail[ISW_PART_TAIL_BYTES];
  if (fseeko(reader->file, -(off_t)sizeof tail, SEEK_END) != 0 ||
      fread(tail, 1, sizeof tail, reader->file) != sizeof tail ||
      memcmp(tail + sizeof tail - ISW_PART_END_BYTES, ISW_PART_END, ISW_PART_END_BYTES) != 0)
    return false;
  guint32 length;
  memcpy(&length, tail, sizeof length);
  length = GUINT32_FROM_LE(length);
  if (length > TEXT_BYTES_MOST ||
      fseeko(reader->file, -(off_t)sizeof tail - (off_t)length, SEEK_END) != 0)
    return false;
  reader->end = ftello(reader->file);
  char *text = g_try_malloc0((gsize)length + 1);
  bool read =
      text != NULL && fread(text, 1, length, reader->file) == length && read_counts(reader, text);
  g_free(text);
  return read && fseeko(reader->file, 0, SEEK_SET) == 0;
}

static bool read_head(struct isw_part_reader *reader) {
  char head[ISW_PART_HEAD_BYTES];
  if (!get(reader, head, sizeof head) || memcmp(head, ISW_PART_HEAD, sizeof head) != 0)
    return false;
  char *share = get_text(reader);
  bool sound = share != NULL && read_share(reader, share);
  g_free(share);
  if (sound) reader->run = get_text(reader);
  return reader->run != NULL;
}

enum isw_status isw_output_open_part(const char *path, struct isw_part_reader **out,
                                     struct isw_error *error) {
  FILE *file = g_fopen(path, "rb");
  if (file == NULL)
    return isw_base_fail(error, ISW_INPUT_FILE, "%s: cannot be read: %s", path, g_strerror(errno));
  struct isw_part_reader *reader = g_new0(struct isw_part_reader, 1);
  reader->path = g_strdup(path);
  reader->file = file;
  sha256_init(&reader->sums);
  if (read_tail(reader) && read_head(reader)) {
    *out = reader;
    return ISW_OK;
  }
  enum isw_status status = is_cut(reader, error);
  isw_output_close_part(reader);
  return status;
}

void isw_output_close_part(struct isw_part_reader *reader) {
  if (reader == NULL) return;
  fclose(reader->file);
  g_free(reader->run);
  g_free(reader->path);
  g_free(reader);
}

const struct isw_part *isw_output_part_share(const struct isw_part_reader *reader) {
  return &reader->part;
}

const char *isw_output_part_run(const struct isw_part_reader *reader) {
  return reader->run;
}

const struct isw_climate_counts *isw_output_part_counts(const struct isw_part_reader *reader) {
  return &reader->counts;
}

/* ---- blocks ---- */

static bool get_frame(struct isw_part_reader *reader, struct block_room *room, uint8_t *bytes,
                      size_t n) {
  size_t packed, got = 0;
  return get_u32(reader, room->packed_room, &packed) && get(reader, room->packed, packed) &&
         CPLZLibInflate(room->packed, packed, bytes, n, &got) != NULL && got == n;
}

static bool is_nothing(const int16_t *bands, int n) {
  for (int b = 0; b < n; b++)
    if (bands[b] != ISW_BANDS_NODATA) return false;
  return true;
}

static void fill_with_nothing(const struct isw_part_shape *shape, struct block_room *room,
                              size_t cells) {
  size_t n = (size_t)shape->n_results * cells * ISW_CELL_BANDS;
  size_t n_spans = (size_t)shape->n_seasons * cells * ISW_SPAN_BANDS;
  for (size_t i = 0; i < n; i++) room->bands[i] = ISW_BANDS_NODATA;
  for (size_t i = 0; i < n_spans; i++) room->spans[i] = ISW_BANDS_NODATA;
  memset(room->picks, ISW_PICK_NODATA, (size_t)shape->n_seasons * cells);
}

/* A part may come from anybody, and its values become places in tables. */
static bool cell_can_be(const struct isw_part_shape *shape, const struct block_room *room,
                        size_t cells, size_t cell) {
  const bool valid = (room->flags[cell] & ISW_CELL_VALID) != 0;
  for (int r = 0; r < shape->n_results; r++) {
    const int16_t *bands = room->bands + ((size_t)r * cells + cell) * ISW_CELL_BANDS;
    if (valid ? !isw_survey_bands_can_be(bands) : !is_nothing(bands, ISW_CELL_BANDS)) return false;
  }
  for (int s = 0; s < shape->n_seasons; s++) {
    const size_t at = (size_t)s * cells + cell;
    const int16_t *span = room->spans + at * ISW_SPAN_BANDS;
    if (valid ? !isw_survey_pick_can_be(room->picks[at], shape->n_varieties) ||
                    !isw_survey_span_can_be(span, shape->n_varieties)
              : room->picks[at] != ISW_PICK_NODATA || !is_nothing(span, ISW_SPAN_BANDS))
      return false;
  }
  return true;
}

static bool get_block(struct isw_part_reader *reader, const struct isw_part_shape *shape,
                      long long index, struct block_room *room, struct isw_block *out) {
  guint64 stored;
  if (!get(reader, &stored, sizeof stored) || GUINT64_FROM_LE(stored) != (guint64)index)
    return false;
  long long across = isw_survey_blocks_along(shape->grid_width);
  int col = (int)(index % across) * ISW_BLOCK_SIZE;
  long long row = index / across * ISW_BLOCK_SIZE;
  if (row >= shape->grid_height) return false;
  *out = (struct isw_block){.index = index,
                            .col = col,
                            .row = (int)row,
                            .width = MIN(ISW_BLOCK_SIZE, shape->grid_width - col),
                            .height = MIN(ISW_BLOCK_SIZE, shape->grid_height - (int)row),
                            .flags = room->flags};
  size_t cells = (size_t)out->width * (size_t)out->height, cell = 0;
  if (!get_frame(reader, room, room->flags, cells)) return false;
  while (cell < cells && (room->flags[cell] & ISW_CELL_VALID) == 0) cell++;
  if (cell == cells) {
    fill_with_nothing(shape, room, cells);
    return true;
  }
  for (int r = 0; r < shape->n_results; r++) {
    if (!get_frame(reader, room, room->planes, cells * ISW_CELL_BANDS * sizeof(int16_t)))
      return false;
    isw_output_merge_bands(room->planes, ISW_CELL_BANDS, cells,
                           room->bands + (size_t)r * cells * ISW_CELL_BANDS);
  }
  for (int s = 0; s < shape->n_seasons; s++)
    if (!get_frame(reader, room, room->picks + (size_t)s * cells, cells)) return false;
  for (int s = 0; s < shape->n_seasons; s++) {
    if (!get_frame(reader, room, room->planes, cells * ISW_SPAN_BANDS * sizeof(int16_t)))
      return false;
    isw_output_merge_bands(room->planes, ISW_SPAN_BANDS, cells,
                           room->spans + (size_t)s * cells * ISW_SPAN_BANDS);
  }
  for (cell = 0; cell < cells; cell++)
    if (!cell_can_be(shape, room, cells, cell)) return false;
  return true;
}

/* What follows the blocks: the counts, already known, and the checksum of all before it. */
static bool end_is_right(struct isw_part_reader *reader) {
  if (ftello(reader->file) != reader->end) return false;
  guint8 byte, stored[ISW_PART_CHECKSUM_BYTES], computed[ISW_PART_CHECKSUM_BYTES];
  if (fseeko(reader->file, 0, SEEK_END) != 0) return false;
  off_t checksum_at = ftello(reader->file) - ISW_PART_END_BYTES - ISW_PART_CHECKSUM_BYTES;
  if (fseeko(reader->file, reader->end, SEEK_SET) != 0) return false;
  for (off_t at = reader->end; at < checksum_at; at++)
    if (!get(reader, &byte, 1)) return false;
  sha256_digest(&reader->sums, sizeof computed, computed);
  return fread(stored, 1, sizeof stored, reader->file) == sizeof stored &&
         memcmp(stored, computed, sizeof stored) == 0;
}

enum isw_status isw_output_replay_part(struct isw_part_reader *reader,
                                       const struct isw_part_shape *shape,
                                       const struct isw_sink *sink, struct isw_error *error) {
  size_t cells = (size_t)MIN(ISW_BLOCK_SIZE, shape->grid_width) *
                 (size_t)MIN(ISW_BLOCK_SIZE, shape->grid_height);
  size_t frame = cells * ISW_CELL_BANDS * sizeof(int16_t);
  struct block_room room = {.packed_room = 2 * frame};
  room.flags = g_malloc(cells);
  room.picks = g_malloc((gsize)shape->n_seasons * cells);
  room.planes = g_malloc(frame);
  room.packed = g_malloc(room.packed_room);
  room.bands = g_malloc((gsize)shape->n_results * frame);
  room.spans = g_new(int16_t, (gsize)shape->n_seasons * cells * ISW_SPAN_BANDS);
  const int16_t *bands = room.bands;
  const int16_t *spans = room.spans;
  const uint8_t *picks = room.picks;
  enum isw_status status = ISW_OK;
  for (long long i = 0; i < reader->part.block_count && status == ISW_OK; i++) {
    struct isw_block block;
    if (get_block(reader, shape, reader->part.first_block + i, &room, &block)) {
      block.bands = &bands;
      block.picks = &picks;
      block.spans = &spans;
      status = sink->take_block(sink->self, &block, error);
    } else {
      status = is_cut(reader, error);
    }
  }
  if (status == ISW_OK && !end_is_right(reader)) status = is_cut(reader, error);
  g_free(room.flags);
  g_free(room.picks);
  g_free(room.planes);
  g_free(room.packed);
  g_free(room.bands);
  g_free(room.spans);
  return status;
}
