/* Part files: what goes in comes out, block by block, and what was cut, changed or mixed up is
 * found. */
#define _XOPEN_SOURCE 700

#include <glib.h>
#include <glib/gstdio.h>
#include <signal.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>

#include "growth/pick.h"
#include "output/part_file.h"
#include "output/part_format.h"
#include "output/part_run.h"
#include "output/part_set.h"
#include "suite_main.h"

enum {
  WIDTH = 600,
  HEIGHT = 300,
  BLOCKS = 6,
  RESULTS = 2,
  SEASONS = 2,
  VARIETIES = 3,
  EMPTY_BLOCK = 4
};

static const struct isw_part_shape shape = {WIDTH, HEIGHT, RESULTS, SEASONS, VARIETIES};

struct room {
  uint8_t flags[ISW_BLOCK_SIZE * ISW_BLOCK_SIZE];
  uint8_t picks[SEASONS * ISW_BLOCK_SIZE * ISW_BLOCK_SIZE];
  int16_t bands[RESULTS * ISW_BLOCK_SIZE * ISW_BLOCK_SIZE * ISW_CELL_BANDS];
  int16_t spans[SEASONS * ISW_BLOCK_SIZE * ISW_BLOCK_SIZE * ISW_SPAN_BANDS];
  const uint8_t *plan_picks;
  const int16_t *plan_bands, *plan_spans;
};

/* Any that a band can have; from nodata to some of them is more than an int16_t holds, so that
 * differences wrap. */
static int16_t make_value(uint32_t *state, int16_t most) {
  *state = *state * 1664525u + 1013904223u;
  return (int16_t)(1 + (int)(*state >> 16) % most);
}

static void make_bands(uint32_t *state, bool valid, int16_t bands[ISW_CELL_BANDS]) {
  static const int16_t most[ISW_CELL_BANDS] = {100, 365, 365, 365, 365, 365, 365, 365,
                                               104, 100, 100, 10,  15,  365, 365};
  for (int b = 0; b < ISW_CELL_BANDS; b++)
    bands[b] = valid ? make_value(state, most[b]) : (int16_t)ISW_BANDS_NODATA;
}

static void make_span(uint32_t *state, bool valid, int16_t span[ISW_SPAN_BANDS]) {
  static const int16_t most[ISW_SPAN_BANDS] = {365, 365, 365, VARIETIES, VARIETIES, VARIETIES};
  for (int b = 0; b < ISW_SPAN_BANDS; b++)
    span[b] = valid ? make_value(state, most[b]) : (int16_t)ISW_BANDS_NODATA;
}

static struct isw_block make_block(long long index, struct room *room) {
  int col = (int)(index % 3) * ISW_BLOCK_SIZE, row = (int)(index / 3) * ISW_BLOCK_SIZE;
  int width = MIN(ISW_BLOCK_SIZE, WIDTH - col), height = MIN(ISW_BLOCK_SIZE, HEIGHT - row);
  size_t cells = (size_t)width * (size_t)height;
  uint32_t state = 12345u + (uint32_t)index;
  for (size_t c = 0; c < cells; c++)
    room->flags[c] = index == EMPTY_BLOCK ? ISW_CELL_SOUTH : (uint8_t)(c % 4);
  for (size_t i = 0; i < RESULTS * cells; i++)
    make_bands(&state, (room->flags[i % cells] & ISW_CELL_VALID) != 0,
               room->bands + i * ISW_CELL_BANDS);
  for (size_t i = 0; i < SEASONS * cells; i++) {
    const bool valid = (room->flags[i % cells] & ISW_CELL_VALID) != 0;
    room->picks[i] = valid ? (uint8_t)(i % 2 * ISW_PICK_RISKY_CODE + i % VARIETIES + 1)
                           : (uint8_t)ISW_PICK_NODATA;
    make_span(&state, valid, room->spans + i * ISW_SPAN_BANDS);
  }
  room->plan_bands = room->bands;
  room->plan_spans = room->spans;
  room->plan_picks = room->picks;
  return (struct isw_block){.index = index,
                            .col = col,
                            .row = row,
                            .width = width,
                            .height = height,
                            .flags = room->flags,
                            .bands = &room->plan_bands,
                            .picks = &room->plan_picks,
                            .spans = &room->plan_spans};
}

static char *new_dir(void) {
  char *dir = g_build_filename(TEST_BINARY_DIR, "parts-XXXXXX", NULL);
  ck_assert_ptr_nonnull(g_mkdtemp(dir));
  return dir;
}

static void remove_dir(char *dir) {
  char *words[] = {"rm", "-rf", dir, NULL};
  ck_assert(
      g_spawn_sync(NULL, words, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL, NULL, NULL, NULL, NULL));
  g_free(dir);
}

static enum isw_status write_part(const char *dir, int number, int of, const char *run,
                                  struct isw_error *error) {
  struct isw_part part = isw_output_share_blocks(BLOCKS, number, of);
  char *folder = isw_output_parts_folder(dir);
  struct isw_part_writer *writer;
  enum isw_status status = isw_output_create_part(folder, &part, &shape, run, &writer, error);
  g_free(folder);
  if (status != ISW_OK) return status;
  struct room *room = g_new0(struct room, 1);
  for (long long i = 0; i < part.block_count && status == ISW_OK; i++) {
    struct isw_block block = make_block(part.first_block + i, room);
    status = isw_output_write_part_block(writer, &block, error);
  }
  g_free(room);
  struct isw_climate_counts counts = {.cells = 1000 + number, .valid = 5, .inverted = number};
  g_snprintf(counts.first_inverted, sizeof counts.first_inverted, "column %d", number);
  if (status == ISW_OK) return isw_output_finish_part(writer, &counts, error);
  isw_output_drop_part(writer);
  return status;
}

static char *part_path(const char *dir, int number, int of) {
  char *folder = isw_output_parts_folder(dir), *name = isw_output_part_name(number, of);
  char *path = g_build_filename(folder, name, NULL);
  g_free(folder);
  g_free(name);
  return path;
}

struct check {
  long long next;
  struct room *room;
};

static enum isw_status check_block(void *self, const struct isw_block *block,
                                   struct isw_error *error) {
  (void)error;
  struct check *check = self;
  struct isw_block expected = make_block(check->next++, check->room);
  ck_assert_int_eq(block->index, expected.index);
  ck_assert_int_eq(block->col, expected.col);
  ck_assert_int_eq(block->row, expected.row);
  ck_assert_int_eq(block->width, expected.width);
  ck_assert_int_eq(block->height, expected.height);
  size_t cells = (size_t)block->width * (size_t)block->height;
  ck_assert_mem_eq(block->flags, expected.flags, cells);
  ck_assert_mem_eq(block->bands[0], expected.bands[0],
                   RESULTS * cells * ISW_CELL_BANDS * sizeof(int16_t));
  ck_assert_mem_eq(block->picks[0], expected.picks[0], SEASONS * cells);
  ck_assert_mem_eq(block->spans[0], expected.spans[0],
                   SEASONS * cells * ISW_SPAN_BANDS * sizeof(int16_t));
  return ISW_OK;
}

static enum isw_status replay(const char *path, long long first, struct isw_error *error) {
  struct isw_part_reader *reader;
  enum isw_status status = isw_output_open_part(path, &reader, error);
  if (status != ISW_OK) return status;
  struct check check = {first, g_new0(struct room, 1)};
  struct isw_sink sink = {&check, check_block};
  status = isw_output_replay_part(reader, &shape, &sink, error);
  g_free(check.room);
  isw_output_close_part(reader);
  return status;
}

/* Shares cover all blocks once, in order, and differ by one at most. */
START_TEST(shares_cover_everything) {
  static const long long blocks[] = {1, 2, 7, 100, 14365};
  static const int parts[] = {1, 2, 3, 7, 64, 14365};
  for (size_t b = 0; b < G_N_ELEMENTS(blocks); b++) {
    for (size_t n = 0; n < G_N_ELEMENTS(parts); n++) {
      if (parts[n] > blocks[b]) continue;
      long long next = 0;
      for (int k = 1; k <= parts[n]; k++) {
        struct isw_part part = isw_output_share_blocks(blocks[b], k, parts[n]);
        ck_assert_int_eq(part.first_block, next);
        ck_assert_int_ge(part.block_count, blocks[b] / parts[n]);
        ck_assert_int_le(part.block_count, blocks[b] / parts[n] + 1);
        next += part.block_count;
      }
      ck_assert_int_eq(next, blocks[b]);
    }
  }
}
END_TEST

START_TEST(blocks_come_back) {
  char *dir = new_dir();
  struct isw_error error = {.text = ""};
  for (int number = 1; number <= 2; number++) {
    ck_assert_msg(write_part(dir, number, 2, "a run", &error) == ISW_OK, "%s", error.text);
    char *path = part_path(dir, number, 2);
    ck_assert_msg(replay(path, 3 * (number - 1), &error) == ISW_OK, "%s", error.text);
    struct isw_part_reader *reader;
    ck_assert_int_eq(isw_output_open_part(path, &reader, &error), ISW_OK);
    ck_assert_str_eq(isw_output_part_run(reader), "a run");
    ck_assert_int_eq(isw_output_part_share(reader)->number, number);
    ck_assert_int_eq(isw_output_part_share(reader)->of, 2);
    const struct isw_climate_counts *counts = isw_output_part_counts(reader);
    ck_assert_int_eq(counts->cells, 1000 + number);
    ck_assert_int_eq(counts->valid, 5);
    ck_assert_int_eq(counts->inverted, number);
    char place[32];
    g_snprintf(place, sizeof place, "column %d", number);
    ck_assert_str_eq(counts->first_inverted, place);
    isw_output_close_part(reader);
    g_free(path);
  }
  remove_dir(dir);
}
END_TEST

static enum isw_status ignore_block(void *self, const struct isw_block *block,
                                    struct isw_error *error) {
  (void)self;
  (void)block;
  (void)error;
  return ISW_OK;
}

/* A part whose checksum is right, of a block changed by `spoil`: is it given on? */
typedef void spoil_block(struct room *room, size_t cells);

static enum isw_status replay_spoilt(spoil_block *spoil) {
  char *dir = new_dir(), *folder = isw_output_parts_folder(dir);
  struct isw_part part = isw_output_share_blocks(BLOCKS, 1, BLOCKS);
  struct isw_error error = {.text = ""};
  struct isw_part_writer *writer;
  struct room *room = g_new0(struct room, 1);
  struct isw_block block = make_block(0, room);
  if (spoil != NULL) spoil(room, (size_t)block.width * (size_t)block.height);
  ck_assert_int_eq(isw_output_create_part(folder, &part, &shape, "a run", &writer, &error), ISW_OK);
  ck_assert_int_eq(isw_output_write_part_block(writer, &block, &error), ISW_OK);
  struct isw_climate_counts counts = {.cells = 1};
  ck_assert_int_eq(isw_output_finish_part(writer, &counts, &error), ISW_OK);
  char *path = part_path(dir, 1, BLOCKS);
  struct isw_part_reader *reader;
  ck_assert_int_eq(isw_output_open_part(path, &reader, &error), ISW_OK);
  struct isw_sink sink = {NULL, ignore_block};
  enum isw_status status = isw_output_replay_part(reader, &shape, &sink, &error);
  isw_output_close_part(reader);
  g_free(path);
  g_free(room);
  g_free(folder);
  remove_dir(dir);
  return status;
}

/* Cells 1 and 3 of a block have climate data, cell 2 has none. */
static void too_many_years(struct room *room, size_t cells) {
  (void)cells;
  room->bands[3 * ISW_CELL_BANDS + ISW_BAND_YEARS] = 11;
}
static void edge_beyond(struct room *room, size_t cells) {
  (void)cells;
  room->bands[3 * ISW_CELL_BANDS + ISW_BAND_EDGE] = 16;
}
static void day_below(struct room *room, size_t cells) {
  (void)cells;
  room->bands[ISW_CELL_BANDS + ISW_BAND_BEST_SOW] = -3;
}
static void window_without_day(struct room *room, size_t cells) {
  room->bands[(cells + 1) * ISW_CELL_BANDS + ISW_BAND_BEST_SOW] = 0;
}
static void nodata_with_climate(struct room *room, size_t cells) {
  (void)cells;
  room->bands[ISW_CELL_BANDS + ISW_BAND_SCORE] = ISW_BANDS_NODATA;
}
static void value_without_climate(struct room *room, size_t cells) {
  (void)cells;
  room->bands[2 * ISW_CELL_BANDS + ISW_BAND_SCORE] = 7;
}
static void pick_of_no_variety(struct room *room, size_t cells) {
  room->picks[cells + 1] = ISW_PICK_RISKY_CODE + VARIETIES + 1;
}
static void pick_without_climate(struct room *room, size_t cells) {
  (void)cells;
  room->picks[2] = 1;
}
static void span_of_no_day(struct room *room, size_t cells) {
  room->spans[(cells + 1) * ISW_SPAN_BANDS + ISW_SPAN_SOW_TO] = 0;
}
static void type_beyond(struct room *room, size_t cells) {
  (void)cells;
  room->spans[ISW_SPAN_BANDS + ISW_SPAN_LAST_TYPE] = VARIETIES + 1;
}

/* Its values become places in tables when parts are joined. */
START_TEST(values_that_no_run_gives_are_refused) {
  static spoil_block *const spoilt[] = {too_many_years,      edge_beyond,
                                        day_below,           window_without_day,
                                        nodata_with_climate, value_without_climate,
                                        pick_of_no_variety,  pick_without_climate,
                                        span_of_no_day,      type_beyond};
  ck_assert_int_eq(replay_spoilt(NULL), ISW_OK);
  for (size_t i = 0; i < G_N_ELEMENTS(spoilt); i++)
    ck_assert_msg(replay_spoilt(spoilt[i]) == ISW_INPUT_CONTENT, "row %zu", i);
}
END_TEST

/* The same part twice is the same file. */
START_TEST(bytes_are_the_same_each_time) {
  char *dirs[] = {new_dir(), new_dir()}, *texts[2];
  gsize sizes[2];
  struct isw_error error;
  for (int i = 0; i < 2; i++) {
    ck_assert_int_eq(write_part(dirs[i], 2, 3, "a run", &error), ISW_OK);
    char *path = part_path(dirs[i], 2, 3);
    ck_assert(g_file_get_contents(path, &texts[i], &sizes[i], NULL));
    g_free(path);
    remove_dir(dirs[i]);
  }
  ck_assert_uint_eq(sizes[0], sizes[1]);
  ck_assert_mem_eq(texts[0], texts[1], sizes[0]);
  g_free(texts[0]);
  g_free(texts[1]);
}
END_TEST

/* Cut anywhere, with a byte changed anywhere, or with something appended: found, named, and never
 * taken for whole. */
START_TEST(damage_is_found) {
  char *dir = new_dir();
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(write_part(dir, 3, 3, "a run", &error), ISW_OK); /* holds the empty block */
  char *path = part_path(dir, 3, 3), *whole;
  gsize size;
  ck_assert(g_file_get_contents(path, &whole, &size, NULL));
  ck_assert_int_eq(replay(path, 4, &error), ISW_OK);
  static const double places[] = {0.0, 0.001, 0.1, 0.5, 0.9, 0.999};
  for (size_t i = 0; i < G_N_ELEMENTS(places); i++) {
    gssize at = (gssize)(places[i] * (double)(size - 1));
    ck_assert(g_file_set_contents(path, whole, at, NULL));
    ck_assert_int_eq(replay(path, 4, &error), ISW_INPUT_CONTENT);
    ck_assert_ptr_nonnull(strstr(error.text, path));
  }
  for (gsize back = 1; back < 120; back += 7) { /* the tail, place by place */
    ck_assert(g_file_set_contents(path, whole, (gssize)(size - back), NULL));
    ck_assert_int_eq(replay(path, 4, &error), ISW_INPUT_CONTENT);
    whole[size - back] = (char)(whole[size - back] ^ 1);
    ck_assert(g_file_set_contents(path, whole, (gssize)size, NULL));
    ck_assert_int_eq(replay(path, 4, &error), ISW_INPUT_CONTENT);
    whole[size - back] = (char)(whole[size - back] ^ 1);
  }
  char *longer = g_malloc0(size + 1);
  memcpy(longer, whole, size);
  ck_assert(g_file_set_contents(path, longer, (gssize)size + 1, NULL));
  ck_assert_int_eq(replay(path, 4, &error), ISW_INPUT_CONTENT);
  g_free(longer);
  g_free(whole);
  g_free(path);
  remove_dir(dir);
}
END_TEST

/* A single changed bit in the middle of the blocks; the block that it is in may or may not unpack,
 * so the blocks are not compared here. */
START_TEST(changed_bits_are_found) {
  char *dir = new_dir();
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(write_part(dir, 3, 3, "a run", &error), ISW_OK);
  char *path = part_path(dir, 3, 3), *whole;
  gsize size;
  ck_assert(g_file_get_contents(path, &whole, &size, NULL));
  for (int i = 0; i < 20; i++) {
    gsize at = size / 21 * (gsize)(i + 1);
    whole[at] = (char)(whole[at] ^ (1 << (i % 7)));
    ck_assert(g_file_set_contents(path, whole, (gssize)size, NULL));
    whole[at] = (char)(whole[at] ^ (1 << (i % 7)));
    struct isw_part_reader *reader;
    ck_assert_int_eq(isw_output_open_part(path, &reader, &error), ISW_OK);
    struct isw_sink sink = {NULL, ignore_block};
    ck_assert_int_eq(isw_output_replay_part(reader, &shape, &sink, &error), ISW_INPUT_CONTENT);
    isw_output_close_part(reader);
  }
  g_free(whole);
  g_free(path);
  remove_dir(dir);
}
END_TEST

/* A full disk, here as a limit on file size: a failure with the exit code of output, and no file
 * with a part's name. */
START_TEST(full_disk_leaves_no_part) {
  char *dir = new_dir();
  struct rlimit limit = {100000, 100000};
  signal(SIGXFSZ, SIG_IGN);
  ck_assert_int_eq(setrlimit(RLIMIT_FSIZE, &limit), 0);
  struct isw_error error = {.text = ""};
  ck_assert_int_eq(write_part(dir, 1, 2, "a run", &error), ISW_OUTPUT);
  ck_assert_int_eq(isw_base_exit_code(error.status), 4);
  char *folder = isw_output_parts_folder(dir);
  GDir *entries = g_dir_open(folder, 0, NULL);
  ck_assert_ptr_null(g_dir_read_name(entries));
  g_dir_close(entries);
  g_free(folder);
  remove_dir(dir);
}
END_TEST

static struct isw_part_run make_run(const char *good) {
  struct isw_part_run run = {.isosow = g_strdup("1.2.3"),
                             .gdal = g_strdup("3.6.2"),
                             .source_line = g_strdup("Normals 1991-2020 from \"a\".tif"),
                             .sheet_origin = g_strdup("sheet.yaml"),
                             .sheet_text = g_strdup("crop: x\n# \303\244 \"quoted\"\n"),
                             .n_options = 2};
  run.facts = (struct isw_run_facts){.period = NULL, .n_inputs = 1, .n_understood = 1};
  run.facts.grid = (struct isw_grid){.width = WIDTH,
                                     .height = HEIGHT,
                                     .transform = {-0.1, 1.0 / 3.0, 0, 1e-17, 0, -1.0 / 7.0},
                                     .wkt = g_strdup("GEOGCS[\"x\"]"),
                                     .geographic = true};
  run.facts.inputs = g_new0(struct isw_run_input, 1);
  run.facts.inputs[0] = (struct isw_run_input){.file = g_strdup("a.tif"), .size = 1LL << 40};
  memset(run.facts.inputs[0].sha256, 'a', ISW_CHECKSUM_SIZE - 1);
  run.facts.understood = g_new0(char *, 2);
  run.facts.understood[0] = g_strdup("a.tif: degC");
  run.options = g_new0(struct isw_part_option, 2);
  run.options[0] = (struct isw_part_option){g_strdup("good"), g_strdup(good)};
  run.options[1] = (struct isw_part_option){g_strdup("title"), g_strdup("T")};
  return run;
}

START_TEST(a_run_comes_back_from_its_text) {
  struct isw_part_run run = make_run("70"), back;
  char *text = isw_output_write_part_run(&run);
  struct isw_error error = {.text = ""};
  ck_assert_msg(isw_output_read_part_run(text, "here", &back, &error) == ISW_OK, "%s", error.text);
  ck_assert_str_eq(back.sheet_text, run.sheet_text);
  ck_assert_str_eq(back.source_line, run.source_line);
  ck_assert_ptr_null(back.facts.period);
  ck_assert_int_eq(back.facts.inputs[0].size, 1LL << 40);
  ck_assert_mem_eq(back.facts.grid.transform, run.facts.grid.transform, 6 * sizeof(double));
  ck_assert_str_eq(back.facts.grid.wkt, run.facts.grid.wkt);
  char *again = isw_output_write_part_run(&back);
  ck_assert_str_eq(again, text);
  static const char *const wrong[] = {"", "{", "[]", "{}", "{\"isosow\": 3}", "\"x\""};
  for (size_t i = 0; i < G_N_ELEMENTS(wrong); i++) {
    struct isw_part_run none;
    ck_assert_int_eq(isw_output_read_part_run(wrong[i], "here", &none, &error), ISW_INPUT_CONTENT);
  }
  g_free(again);
  g_free(text);
  isw_output_clear_part_run(&back);
  isw_output_clear_part_run(&run);
}
END_TEST

START_TEST(differences_of_runs_are_named) {
  struct isw_part_run a = make_run("70"), b = make_run("71"), c = make_run("70");
  c.facts.inputs[0].sha256[0] = 'b';
  char *texts[] = {isw_output_write_part_run(&a), isw_output_write_part_run(&b),
                   isw_output_write_part_run(&c)};
  ck_assert_ptr_null(isw_output_compare_part_runs(texts[0], texts[0]));
  char *option = isw_output_compare_part_runs(texts[0], texts[1]);
  char *inputs = isw_output_compare_part_runs(texts[0], texts[2]);
  ck_assert_str_eq(option, "option good");
  ck_assert_str_eq(inputs, "inputs");
  g_free(option);
  g_free(inputs);
  for (size_t i = 0; i < G_N_ELEMENTS(texts); i++) g_free(texts[i]);
  isw_output_clear_part_run(&a);
  isw_output_clear_part_run(&b);
  isw_output_clear_part_run(&c);
}
END_TEST

/* An option that only one of the runs was given shifts the others; it is what is named. */
START_TEST(an_option_more_is_named) {
  struct isw_part_run a = make_run("70"), b = make_run("70");
  b.options = g_renew(struct isw_part_option, b.options, 3);
  memmove(b.options + 1, b.options, 2 * sizeof *b.options);
  b.options[0] = (struct isw_part_option){g_strdup("season"), g_strdup("autumn")};
  b.n_options = 3;
  char *texts[] = {isw_output_write_part_run(&a), isw_output_write_part_run(&b)};
  for (int first = 0; first < 2; first++) {
    char *difference = isw_output_compare_part_runs(texts[first], texts[1 - first]);
    ck_assert_str_eq(difference, "option season");
    g_free(difference);
  }
  g_free(texts[0]);
  g_free(texts[1]);
  isw_output_clear_part_run(&a);
  isw_output_clear_part_run(&b);
}
END_TEST

START_TEST(missing_parts_are_named) {
  char *dir = new_dir();
  struct isw_error error = {.text = ""};
  struct isw_part_set set;
  ck_assert_int_eq(isw_output_find_parts(dir, &set, &error), ISW_INPUT_FILE);
  static const int written[] = {2, 5, 6};
  for (size_t i = 0; i < G_N_ELEMENTS(written); i++)
    ck_assert_int_eq(write_part(dir, written[i], 6, "a run", &error), ISW_OK);
  ck_assert_int_eq(isw_output_find_parts(dir, &set, &error), ISW_INPUT_FILE);
  ck_assert_ptr_nonnull(strstr(error.text, "3 of 6 parts are not there: 1, 3, 4;"));
  static const int rest[] = {1, 3, 4};
  for (size_t i = 0; i < G_N_ELEMENTS(rest); i++)
    ck_assert_int_eq(write_part(dir, rest[i], 6, "a run", &error), ISW_OK);
  ck_assert_msg(isw_output_find_parts(dir, &set, &error) == ISW_OK, "%s", error.text);
  ck_assert_int_eq(set.n_parts, 6);
  char *fourth = part_path(dir, 4, 6);
  ck_assert_str_eq(set.paths[3], fourth);
  g_free(fourth);
  isw_output_clear_parts(&set);
  remove_dir(dir);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("part files");
  TCase *files = tcase_create("files");
  tcase_set_timeout(files, 60);
  tcase_add_test(files, shares_cover_everything);
  tcase_add_test(files, blocks_come_back);
  tcase_add_test(files, values_that_no_run_gives_are_refused);
  tcase_add_test(files, bytes_are_the_same_each_time);
  tcase_add_test(files, damage_is_found);
  tcase_add_test(files, changed_bits_are_found);
  tcase_add_test(files, full_disk_leaves_no_part);
  suite_add_tcase(suite, files);
  TCase *runs = tcase_create("runs");
  tcase_set_timeout(runs, 60);
  tcase_add_test(runs, a_run_comes_back_from_its_text);
  tcase_add_test(runs, differences_of_runs_are_named);
  tcase_add_test(runs, an_option_more_is_named);
  tcase_add_test(runs, missing_parts_are_named);
  suite_add_tcase(suite, runs);
  return suite;
}
