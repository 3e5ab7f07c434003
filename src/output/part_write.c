#include <cpl_conv.h>
#include <errno.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <json-glib/json-glib.h>
#include <nettle/sha2.h>
#include <stdio.h>
#include <string.h>

#include "output/part_file.h"
#include "output/part_format.h"
#include "output/whole_file.h"

/* Parts are read once and thrown away: fast rather than small. */
enum { DEFLATE_LEVEL = 1 };

struct isw_part_writer {
  struct isw_part part;
  struct isw_part_shape shape;
  char *path;
  struct isw_whole_file *whole;
  FILE *file;               /* its stream */
  struct sha256_ctx sums;   /* of all that was written */
  uint8_t *planes, *packed; /* one frame, before and after deflating */
  size_t packed_room;
};

struct isw_part isw_output_share_blocks(long long blocks, int number, int of) {
  long long least = blocks / of, rest = blocks % of;
  long long before = number - 1;
  struct isw_part part = {.number = number, .of = of};
  part.first_block = before * least + MIN(before, rest);
  part.block_count = least + (before < rest ? 1 : 0);
  return part;
}

char *isw_output_part_name(int number, int of) {
  return g_strdup_printf("part-%d-of-%d.isosow", number, of);
}

bool isw_output_is_part_name(const char *name) {
  return g_str_has_prefix(name, "part-") && g_str_has_suffix(name, ".isosow");
}

static enum isw_status cannot_write(const char *path, struct isw_error *error) {
  return isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s; is there room on the disk?",
                       path, g_strerror(errno));
}

/* ---- writing ---- */

static bool put(struct isw_part_writer *writer, const void *bytes, size_t n) {
  sha256_update(&writer->sums, n, bytes);
  return fwrite(bytes, 1, n, writer->file) == n;
}

static bool put_u32(struct isw_part_writer *writer, size_t number) {
  guint32 bytes = GUINT32_TO_LE((guint32)number);
  return put(writer, &bytes, sizeof bytes);
}

static bool put_text(struct isw_part_writer *writer, const char *text) {
  size_t n = strlen(text);
  return put_u32(writer, n) && put(writer, text, n);
}

static bool put_frame(struct isw_part_writer *writer, const uint8_t *bytes, size_t n) {
  size_t used = 0;
  if (CPLZLibDeflate(bytes, n, DEFLATE_LEVEL, writer->packed, writer->packed_room, &used) == NULL) {
    errno = ENOMEM;
    return false;
  }
  return put_u32(writer, used) && put(writer, writer->packed, used);
}

static char *share_text(const struct isw_part *part) {
  return g_strdup_printf("{\"part\": %d, \"of\": %d, \"first_block\": %lld, \"blocks\": %lld}",
                         part->number, part->of, part->first_block, part->block_count);
}

enum isw_status isw_output_create_part(const char *dir, const struct isw_part *part,
                                       const struct isw_part_shape *shape, const char *run,
                                       struct isw_part_writer **out, struct isw_error *error) {
  static const size_t deflate_slack = 1024; /* far above what incompressible bytes grow by */
  if (g_mkdir_with_parents(dir, 0777) != 0) return cannot_write(dir, error);
  struct isw_part_writer *writer = g_new0(struct isw_part_writer, 1);
  writer->part = *part;
  writer->shape = *shape;
  char *name = isw_output_part_name(part->number, part->of);
  writer->path = g_build_filename(dir, name, NULL);
  g_free(name);
  sha256_init(&writer->sums);
  size_t frame = (size_t)ISW_BLOCK_SIZE * ISW_BLOCK_SIZE * ISW_CELL_BANDS * sizeof(int16_t);
  writer->planes = g_malloc(frame);
  writer->packed_room = frame + frame / 256 + deflate_slack;
  writer->packed = g_malloc(writer->packed_room);
  char *share = share_text(part);
  enum isw_status status = isw_output_start_file(writer->path, &writer->whole, error);
  if (status == ISW_OK) {
    writer->file = isw_output_file_stream(writer->whole);
    if (!put(writer, ISW_PART_HEAD, ISW_PART_HEAD_BYTES) || !put_text(writer, share) ||
        !put_text(writer, run))
      status = cannot_write(writer->path, error);
  }
  g_free(share);
  if (status == ISW_OK)
    *out = writer;
  else
    isw_output_drop_part(writer);
  return status;
}

static bool put_block(struct isw_part_writer *writer, const struct isw_block *block) {
  size_t cells = (size_t)block->width * (size_t)block->height;
  guint64 index = GUINT64_TO_LE((guint64)block->index);
  if (!put(writer, &index, sizeof index) || !put_frame(writer, block->flags, cells)) return false;
  size_t cell = 0;
  while (cell < cells && (block->flags[cell] & ISW_CELL_VALID) == 0) cell++;
  if (cell == cells) return true;
  for (int r = 0; r < writer->shape.n_results; r++) {
    isw_output_split_bands(block->bands[0] + (size_t)r * cells * ISW_CELL_BANDS, ISW_CELL_BANDS,
                           cells, writer->planes);
    if (!put_frame(writer, writer->planes, cells * ISW_CELL_BANDS * sizeof(int16_t))) return false;
  }
  for (int s = 0; s < writer->shape.n_seasons; s++)
    if (!put_frame(writer, block->picks[0] + (size_t)s * cells, cells)) return false;
  for (int s = 0; s < writer->shape.n_seasons; s++) {
    isw_output_split_bands(block->spans[0] + (size_t)s * cells * ISW_SPAN_BANDS, ISW_SPAN_BANDS,
                           cells, writer->planes);
    if (!put_frame(writer, writer->planes, cells * ISW_SPAN_BANDS * sizeof(int16_t))) return false;
  }
  return true;
}

enum isw_status isw_output_write_part_block(void *self, const struct isw_block *block,
                                            struct isw_error *error) {
  struct isw_part_writer *writer = self;
  return put_block(writer, block) ? ISW_OK : cannot_write(writer->path, error);
}

/* ---- the end ---- */

static char *counts_text(const struct isw_climate_counts *counts) {
  JsonBuilder *builder = json_builder_new();
  const struct {
    const char *name;
    long long value;
  } numbers[] = {{"cells", counts->cells},
                 {"valid", counts->valid},
                 {"empty", counts->empty},
                 {"partial", counts->partial},
                 {"inverted", counts->inverted}};
  json_builder_begin_object(builder);
  for (size_t i = 0; i < G_N_ELEMENTS(numbers); i++) {
    json_builder_set_member_name(builder, numbers[i].name);
    json_builder_add_int_value(builder, numbers[i].value);
  }
  json_builder_set_member_name(builder, "first_inverted");
  json_builder_add_string_value(builder, counts->first_inverted);
  json_builder_end_object(builder);
  JsonNode *root = json_builder_get_root(builder);
  char *text = json_to_string(root, FALSE);
  json_node_unref(root);
  g_object_unref(builder);
  return text;
}

static bool put_tail(struct isw_part_writer *writer, const struct isw_climate_counts *counts) {
  char *text = counts_text(counts);
  size_t n = strlen(text);
  bool written = put(writer, text, n) && put_u32(writer, n);
  g_free(text);
  guint8 checksum[ISW_PART_CHECKSUM_BYTES];
  sha256_digest(&writer->sums, sizeof checksum, checksum);
  return written && fwrite(checksum, 1, sizeof checksum, writer->file) == sizeof checksum &&
         fwrite(ISW_PART_END, 1, ISW_PART_END_BYTES, writer->file) == ISW_PART_END_BYTES;
}

enum isw_status isw_output_finish_part(struct isw_part_writer *writer,
                                       const struct isw_climate_counts *counts,
                                       struct isw_error *error) {
  enum isw_status status = put_tail(writer, counts) ? ISW_OK : cannot_write(writer->path, error);
  if (status == ISW_OK) {
    status = isw_output_finish_file(writer->whole, error);
    writer->whole = NULL;
  }
  isw_output_drop_part(writer);
  return status;
}

void isw_output_drop_part(struct isw_part_writer *writer) {
  if (writer == NULL) return;
  isw_output_drop_file(writer->whole);
  g_free(writer->planes);
  g_free(writer->packed);
  g_free(writer->path);
  g_free(writer);
}
