/* Every wrong sheet is refused with its line and words that say what is wrong. Each row changes one
 * spot of a right sheet. The rules are ours (docs/crop-sheet.md); YAML's own are YAML 1.1. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "crop/sheet.h"
#include "suite_main.h"

static const char right_sheet[] =
    "crop: test-crop\n"                                                          /* 1 */
    "title: A crop\n"                                                            /* 2 */
    "unit: C\n"                                                                  /* 3 */
    "swing: 0.5\n"                                                               /* 4 */
    "shelters:\n"                                                                /* 5 */
    "  - {shelter: nursery, warm_to: 16, cool_to: 28, cool_most: 4}\n"           /* 6 */
    "  - {shelter: row-cover, warm_to: 8, warm_most: 2}\n"                       /* 7 */
    "chilling: {band: [-1, 3, 12, 15]}\n"                                        /* 8 */
    "stages:\n"                                                                  /* 9 */
    "  - {stage: seedling, shelter: nursery, days: 17, band: [4, 18, 25, 32]}\n" /* 10 */
    "  - {stage: rosette, transplant: true, days: 22, at_most: 60,\n"            /* 11 */
    "     band: [4, 17, 22, 30], dies_below: -4, chills: true}\n"                /* 12 */
    "  - {stage: heading, days: 13, band: [4, 12, 21, 28]}\n"                    /* 13 */
    "seasons:\n"                                                                 /* 14 */
    "  - {season: spring, sow: [01-01, 05-15], prefer: [late]}\n"                /* 15 */
    "  - {season: autumn, sow: [07-16, 12-31], start: direct}\n"                 /* 16 */
    "varieties:\n"                                                               /* 17 */
    "  - variety: standard\n"                                                    /* 18 */
    "    bolts: [7, 13]\n"                                                       /* 19 */
    "  - variety: late\n"                                                        /* 20 */
    "    stages:\n"                                                              /* 21 */
    "      - {stage: heading, days: 15}\n"                                       /* 22 */
    "tasks:\n"                                                                   /* 23 */
    "  - {at: heading, day: 0, do: Side-dress}\n"                                /* 24 */
    "sources: [A book]\n";                                                       /* 25 */

struct bad_row {
  const char *from, *to; /* the change */
  int line;              /* 0: the message names no line */
  const char *message;   /* a piece of it */
};

static const struct bad_row bad_rows[] = {
    /* keys */
    {"swing: 0.5", "swign: 0.5", 4, "unknown key 'swign'; did you mean 'swing'?"},
    {"dies_below: -4", "dies_blow: -4", 12, "stage 'rosette': unknown key 'dies_blow'; did you"},
    {"at_most: 60", "xyzzy: 60", 11, "unknown key 'xyzzy'; keys here: stage, shelter"},
    {"title: A crop", "crop: again", 2, "key 'crop' is given twice, first in line 1"},
    {"days: 13", "days: 13, days: 14", 13, "key 'days' is given twice"},
    {"swing: 0.5", "[1, 2]: 3", 4, "a list stands where a key should"},
    {"title: A crop", "<<: {a: b}", 2, "unknown key '<<'"},
    {"cool_most: 4", "cool_more: 4", 6, "did you mean 'cool_most'?"},
    {"chilling: {band", "chilling: {bands", 8,
     "chilling: unknown key 'bands'; did you mean 'band'"},
    {"start: direct", "begin: direct", 16, "season 'autumn': unknown key 'begin'"},
    {"bolts: [7", "bolt: [7", 19, "variety 'standard': unknown key 'bolt'; did you mean 'bolts'"},
    {"day: 0", "days: 0", 24, "task at 'heading': unknown key 'days'; did you mean 'day'"},
    {"chills: true}", "chills: true, says: {cool: x}}", 12,
     "unknown key 'cool'; did you mean 'cold'"},
    {"swing: 0.5", "cut: {one: head, few: x}", 4, "unknown key 'few'"},
    {"chilling: {band", "chilling: {makes: [x], band", 8, "makes"},
    {"swing: 0.5", "cut: head", 4, "cut is 'head'; give a group of keys: one"},
    {"start: direct", "cut_at_once: perhaps", 16, "cut_at_once is 'perhaps'"},
    /* missing */
    {"swing: 0.5", "cut: {one: head}", 4, "'many' is missing; add it, for instance 'many: pieces'"},
    {"crop: test-crop\n", "", 1, "'crop' is missing"},
    {"unit: C\n", "", 1, "'unit' is missing; add it, for instance 'unit: C'"},
    {"days: 13, ", "", 13, "stage 'heading': 'days' is missing"},
    {", band: [4, 12, 21, 28]", "", 13, "stage 'heading': 'band' is missing"},
    {"sow: [07-16, 12-31], ", "", 16, "season 'autumn': 'sow' is missing"},
    {"variety: standard", "title: standard", 18, "variety: 'variety' is missing"},
    {"{band: [-1, 3, 12, 15]}", "{}", 8, "chilling: 'band' is missing"},
    {"at: heading, ", "", 24, "'at' is missing"},
    {", do: Side-dress", "", 24, "task at 'heading': 'do' is missing"},
    {"stages:\n  - {stage: seedling", "tasks:\n  - {stage: seedling", 23, "'tasks' is given twice"},
    /* types */
    {"swing: 0.5", "swing: much", 4, "swing is 'much'; give a number"},
    {"swing: 0.5", "swing:", 4, "swing is empty; give a number"},
    {"swing: 0.5", "swing: .nan", 4, "swing is '.nan'; give a number"},
    {"swing: 0.5", "swing: nan", 4, "swing is 'nan'; give a number"},
    {"days: 22", "days: .inf", 11, "days is '.inf'; give a number"},
    {"days: 22", "days: 1e999", 11, "days is '1e999'; give a number"},
    {"days: 22", "days: 0x16", 11, "days is '0x16'; give a number"},
    {"days: 22", "days: 2_2", 11, "days is '2_2'; give a number"},
    {"days: 22", "days: '22'", 11, "days is the text '22'; give a number, without quotes"},
    {"days: 22", "days: [22]", 11, "days is a list; give a number"},
    {"swing: 0.5", "swing: 0,5", 4, "swing is '0,5'; give a number, with a decimal point"},
    {"days: 22", "days: 1-2", 11, "days is '1-2'; give a number"},
    {"chills: true", "chills: yes", 12, "chills is 'yes'; write true or false"},
    {"chills: true", "chills: 'true'", 12, "chills is 'true'; write true or false"},
    {"transplant: true", "transplant: 1", 11, "transplant is '1'; write true or false"},
    {"title: A crop", "title: [a]", 2, "title is a list"},
    {"title: A crop", "title: ''", 2, "title is empty"},
    {"title: A crop", "title: \"  \"", 2, "title is empty"},
    {"title: A crop", "title: \"a\\0b\"", 2, "title holds a NUL character"},
    {"title: A crop", "title: \"a\\e[31mb\"", 2, "title holds a control character"},
    {"[4, 12, 21, 28]", "[4, 12, 21]", 13, "band has 3 entries; give 4 numbers: [stops below"},
    {"[4, 12, 21, 28]", "[4, 12, 21, 28, 30]", 13, "band has 5 entries"},
    {"[4, 12, 21, 28]", "4", 13, "band is '4'; give 4 numbers"},
    {"[4, 12, 21, 28]", "[4, 12, x, 28]", 13, "band is 'x'; give a number"},
    {"{band: [-1, 3, 12, 15]}", "[-1, 3, 12, 15]", 8, "chilling is a list; give a group of keys"},
    {"[A book]", "A book", 25, "sources is 'A book'; give a list"},
    {"[A book]", "[A book, [b]]", 25, "sources is a list"},
    {"prefer: [late]", "prefer: [\"\\e[31m\"]", 15, "prefer '?[31m' is not among"},
    {"[A book]", "[~]", 25, "sources is empty"},
    {"prefer: [late]", "prefer: late", 15, "prefer is 'late'; give a list"},
    {"  - {stage: heading, days: 13, band: [4, 12, 21, 28]}", "  - heading", 13,
     "stage is 'heading'; give a group of keys: stage ..."},
    /* ranges */
    {"swing: 0.5", "swing: 1.5", 4, "swing is 1.5; give a number from 0 and up to 1"},
    {"swing: 0.5", "swing: -0.1", 4, "swing is -0.1"},
    {"days: 22", "days: 0", 11, "days is 0; give a number above 0"},
    {"days: 22", "days: -3", 11, "days is -3"},
    {"days: 22", "days: 366", 11, "days is 366"},
    {"days: 17", "days: 331", 18, "its stages take 366 days"},
    {"at_most: 60", "at_most: 0", 11, "at_most is 0; give a number from 1 and up to 365"},
    {"at_most: 60", "at_most: 366", 11, "at_most is 366"},
    {"at_most: 60", "at_most: 30.5", 11, "at_most is 30.5; give a whole number"},
    {"at_most: 60", "at_most: 21", 11, "at_most is 21, but the stage takes 22 days"},
    {"{stage: heading, days: 15}", "{stage: rosette, days: 61}", 22,
     "variety 'late', stage 'rosette': at_most is 60, but the stage takes 61 days"},
    {"[4, 12, 21, 28]", "[12, 4, 21, 28]", 13, "band is out of order: [12, 4, 21, 28]"},
    {"[4, 12, 21, 28]", "[4, 4, 21, 28]", 13, "band is out of order"},
    {"[4, 12, 21, 28]", "[4, 22, 21, 28]", 13, "band is out of order"},
    {"[4, 12, 21, 28]", "[4, 12, 28, 28]", 13, "band is out of order"},
    {"[4, 12, 21, 28]", "[4, 4.001, 21, 28]", 13, "leave at least 0.01 K"},
    {"[4, 12, 21, 28]", "[39, 54, 70, 82]", 13, "band holds 70 degC; temperatures lie between -60"},
    {"[-1, 3, 12, 15]", "[-1, 12, 3, 15]", 8, "chilling: band is out of order"},
    {"dies_below: -4", "dies_below: -70", 12, "dies_below holds -70 degC"},
    {"dies_below: -4", "dies_below: 17", 12, "dies_below is not below the temperature from which"},
    {"warm_most: 2", "warm_most: -2", 7, "warm_most is -2; give a number from 0"},
    {"warm_to: 8, ", "", 7, "shelter 'row-cover': warm_most says nothing without warm_to"},
    {"cool_to: 28, ", "", 6, "cool_most says nothing without cool_to"},
    {"cool_to: 28", "cool_to: 15", 6, "warm_to is above cool_to"},
    {"unit: C", "unit: K", 3, "unit is 'K'; write C or F"},
    {"unit: C", "unit: kelvin", 3, "unit is 'kelvin'; write C or F"},
    {"bolts: [7, 13]", "bolts: [13, 7]", 19, "bolts is out of order: [13, 7]"},
    {"bolts: [7, 13]", "bolts: [7, 7]", 19, "bolts is out of order"},
    {"bolts: [7, 13]", "bolts: [-1, 7]", 19, "bolts is -1"},
    {"bolts: [7, 13]", "bolts: [7]", 19, "bolts has 1 entries; give 2 numbers"},
    {"day: 0", "day: 400", 24, "day is 400"},
    {"day: 0", "day: 0.5", 24, "day is 0.5; give a whole number"},
    /* ids */
    {"crop: test-crop", "crop: Test crop", 1, "crop is 'Test crop'; file names are made of it"},
    {"variety: late", "variety: sp\xC3\xA4t", 20, "variety is 'sp\xC3\xA4t'; file names are made"},
    {"variety: late", "variety: ../late", 20, "variety is '../late'; file names are made of it"},
    {"season: autumn", "season: Autumn", 16, "season is 'Autumn'; file names are made of it"},
    {"stage: seedling", "stage: seed_ling", 10, "stage is 'seed_ling'"},
    {"shelter: row-cover", "shelter: row cover", 7, "shelter is 'row cover'"},
    {"crop: test-crop", "crop: a-234567890-234567890-234567890-234567890-234567890-234567890-2345",
     1, "use at most"},
    {"stage: heading, days: 13", "stage: harvest, days: 13", 13, "tasks use the words sowing"},
    {"warm_to: 8,", "warm_to: 8, title: [a],", 7, "shelter 'row-cover': title"},
    {"shelter: row-cover", "shelter: open-ground", 7, "'open-ground' stands for no shelter"},
    /* there twice */
    {"stage: heading, days: 13", "stage: rosette, days: 13", 13, "twice, first in line 11"},
    {"season: autumn", "season: spring", 16, "season 'spring': there twice, first in line 15"},
    {"variety: late", "variety: standard", 20, "variety 'standard': there twice, first in line 18"},
    {"shelter: row-cover", "shelter: nursery", 7, "shelter 'nursery' is there twice, first in"},
    {"{stage: heading, days: 15}", "{stage: heading}\n      - {stage: heading, days: 15}", 23,
     "variety 'late', stage 'heading': there twice, first in line 22"},
    {"prefer: [late]", "prefer: [late, late]", 15, "prefer names 'late' twice"},
    {"{stage: heading, days: 13", "{stage: heading, transplant: true, days: 13", 13,
     "a second stage is marked transplant, the first is 'rosette' in line 11"},
    {"{stage: seedling, ", "{stage: seedling, transplant: true, ", 10, "the first stage begins"},
    {"{stage: heading, days: 15}", "{stage: heading, transplant: true}", 22,
     "a variety cannot move the transplant"},
    /* references to nothing */
    {"shelter: nursery, days", "shelter: nursrey, days", 10,
     "shelter 'nursrey' is not among the crop sheet's shelters; did you mean 'nursery'?"},
    {"{stage: heading, days: 15}", "{stage: filling, days: 15}", 22,
     "stage 'filling' is not among the crop sheet's stages; known: seedling, rosette, heading"},
    {"prefer: [late]", "prefer: [lat]", 15, "prefer 'lat' is not among the crop sheet's varieties"},
    {"at: heading", "at: headin", 24,
     "at 'headin' is not among the crop sheet's moments and stages"},
    {"transplant: true, ", "", 0, NULL}, /* right: no task asks for it */
    {"warm_to: 8,", "warm_to: 8, seasons: [spring, autum],", 7,
     "shelter 'row-cover': seasons 'autum' is not among the crop sheet's seasons; did you mean "
     "'autumn'?"},
    {"warm_to: 8,", "warm_to: 8, varieties: [lat],", 7,
     "shelter 'row-cover': varieties 'lat' is not among the crop sheet's varieties"},
    {"warm_to: 8,", "warm_to: 8, seasons: [spring, spring],", 7, "seasons names 'spring' twice"},
    {"warm_to: 8,", "warm_to: 8, varieties: [late, late],", 7, "varieties names 'late' twice"},
    {"warm_to: 8,", "warm_to: 8, seasons: [],", 7, "seasons is empty: the shelter would never"},
    {"warm_to: 8,", "warm_to: 8, varieties: [],", 7, "varieties is empty: the shelter would"},
    {"warm_to: 8,", "warm_to: 8, seasons: spring,", 7, "seasons is 'spring'; give a list"},
    {"warm_to: 8,", "warm_to: 8, seasons: [[spring]],", 7, "seasons"},
    {"warm_to: 8,", "warm_to: 8, season: [spring],", 7, "did you mean 'seasons'?"},
    {"warm_to: 8,", "warm_to: 8, seasons: [spring], varieties: [late],", 0, NULL}, /* right */
    /* dates */
    {"01-01", "02-29", 15, "the year here has 365 days: write 02-28 or 03-01"},
    {"01-01", "04-31", 15, "sow holds '04-31', which is no date"},
    {"01-01", "13-01", 15, "sow holds '13-01', which is no date"},
    {"01-01", "00-10", 15, "sow holds '00-10', which is no date"},
    {"01-01", "1-1", 15, "sow holds '1-1', which is no date"},
    {"01-01", "2024-01-01", 15, "sow holds '2024-01-01', which is no date"},
    {"[01-01, 05-15]", "[01-01]", 15, "sow needs a first and a last date"},
    {"[01-01, 05-15]", "[01-01, 05-15, 06-01]", 15, "sow has 3 entries"},
    {"[01-01, 05-15]", "01-01", 15, "sow is '01-01'; give a list"},
    {"start: direct", "start: indirect", 16, "start is 'indirect'; write nursery or direct"},
    /* results that would coincide */
    {"variety: standard", "variety: pick", 17, "would both write a file 'pick-"},
    {"variety: standard\n    bolts: [7, 13]", "variety: late-x", 0, NULL}, /* right: no clash */
    /* empty lists */
    {"sources: [A book]", "sources: []", 0, NULL}, /* right: optional */
    /* what YAML can do and a sheet need not */
    {"title: A crop", "title: &t A crop", 2, "an anchor (&name)"},
    {"title: A crop", "title: *t", 2, "an alias (*name)"},
    {"title: A crop", "title: !!str A crop", 2, "a tag (!name)"},
    {"sources: [A book]\n", "---\ncrop: b\n", 25, "a second document begins"},
    {"[A book]", "[[[[[[[[[[[[[[[[[[[[a]]]]]]]]]]]]]]]]]]]]", 25, "nested too deeply"},
    {"[A book]", "[A book", 26, "not valid YAML"},
    {"title: A crop", "title: 'A crop", 26, "not valid YAML"},
    {"title: A crop", "title: A: crop", 2, "not valid YAML"},
    {"  - variety: late", "\t- variety: late", 20, "not valid YAML"},
    {"title: A crop", "title: \x01", 2, "control characters are not allowed"},
    {"title: A crop", "title: sp\xE4t", 2, "not UTF-8"},
};
enum { N_BAD_ROWS = sizeof bad_rows / sizeof bad_rows[0] };

static char *changed(const char *from, const char *to) {
  const char *at = strstr(right_sheet, from);
  ck_assert_msg(at != NULL, "the right sheet does not hold '%s'", from);
  size_t size = sizeof right_sheet + strlen(to);
  char *text = malloc(size);
  ck_assert_ptr_nonnull(text);
  snprintf(text, size, "%.*s%s%s", (int)(at - right_sheet), right_sheet, to, at + strlen(from));
  return text;
}

static void expect_refusal(const char *text, size_t size, int line, const char *message) {
  struct isw_sheet *sheet;
  struct isw_error error = {ISW_OK, ""};
  enum isw_status status = isw_crop_parse_sheet(text, size, "bad.yaml", &sheet, &error);
  ck_assert_msg(status == ISW_INPUT_CONTENT, "accepted, but should say '%s'", message);
  ck_assert_int_eq(error.status, ISW_INPUT_CONTENT);
  ck_assert_ptr_null(sheet);
  char where[32];
  snprintf(where, sizeof where, line == 0 ? "bad.yaml: " : "bad.yaml:%d: ", line);
  ck_assert_msg(strncmp(error.text, where, strlen(where)) == 0, "'%s' should begin '%s' (%s)",
                error.text, where, message);
  ck_assert_msg(strstr(error.text, message) != NULL, "'%s' should hold '%s'", error.text, message);
}

static void expect_right(const char *text) {
  struct isw_sheet *sheet;
  struct isw_error error = {ISW_OK, ""};
  enum isw_status status = isw_crop_parse_sheet(text, strlen(text), "right.yaml", &sheet, &error);
  ck_assert_msg(status == ISW_OK, "%s", error.text);
  isw_crop_free_sheet(sheet);
}

START_TEST(right_sheet_is_right) {
  expect_right(right_sheet);
}
END_TEST

START_TEST(bad_sheet_is_refused) {
  const struct bad_row *row = &bad_rows[_i];
  char *text = changed(row->from, row->to);
  if (row->message == NULL)
    expect_right(text);
  else
    expect_refusal(text, strlen(text), row->line, row->message);
  free(text);
}
END_TEST

START_TEST(task_at_a_transplant_that_is_not_there) {
  static const char text[] =
      "crop: a\nunit: C\nstages: [{stage: s, days: 1, band: [0, 1, 2, 3]}]\n"
      "varieties: [{variety: v}]\nseasons: [{season: x, sow: [01-01, 12-31]}]\n"
      "tasks:\n  - {at: transplant, do: Plant}\n";
  expect_refusal(text, strlen(text), 7, "no stage is marked 'transplant: true'");
}
END_TEST

/* A shelter per season makes a variety stand otherwise in each: a plan holds 128 such ways. */
static char *ways(int varieties, int seasons) {
  char *text = malloc(20000);
  ck_assert_ptr_nonnull(text);
  int used = sprintf(text, "crop: a\nunit: C\nshelters:\n");
  for (int s = 0; s < seasons; s++)
    used += sprintf(text + used, "  - {shelter: h%d, warm_to: 9, seasons: [s%d]}\n", s, s);
  used += sprintf(text + used, "stages:\n");
  for (int s = 0; s < seasons; s++)
    used +=
        sprintf(text + used, "  - {stage: t%d, shelter: h%d, days: 1, band: [0, 1, 2, 3]}\n", s, s);
  used += sprintf(text + used, "varieties:\n");
  for (int v = 0; v < varieties; v++) used += sprintf(text + used, "  - {variety: v%d}\n", v);
  used += sprintf(text + used, "seasons:\n");
  for (int s = 0; s < seasons; s++)
    used += sprintf(text + used, "  - {season: s%d, sow: [01-01, 12-31]}\n", s);
  return text;
}

START_TEST(ways_to_grow_have_an_end) {
  char *text = ways(32, 4);
  expect_right(text);
  free(text);
  text = ways(33, 4);
  expect_refusal(text, strlen(text), 3, "the lists of the shelters make 132 ways to grow");
  free(text);
}
END_TEST

/* Names of results are <variety>-<season>.tif, <variety>-<season>-sowing.png, ...-score.png,
 * pick-<season>.tif and .png (docs/outputs.md). */
static const struct {
  const char *varieties, *seasons;
  const char *clash; /* NULL: none */
} name_rows[] = {
    {"a, a-b", "c, b-c", "'a-b-c.tif'"},
    {"pick, b", "c, d", "'pick-c.tif'"},
    {"pick-a, b", "c, a-c", "'pick-a-c.tif'"},
    {"pick-a, b", "c, a-c-score", "'pick-a-c-score.png'"},
    {"span, b", "c, d", "'span-c.tif'"},
    {"span, b", "c, c-first", "'span-c.tif'"},
    {"pick-a, b", "c, a-c-years", "'pick-a-c-years.png'"},
    {"a, a-sowing", "b, c", NULL},
    {"a, b", "c, c-sowing", NULL},
    {"pick-a, b", "c, d", NULL},
};

START_TEST(result_names_may_not_coincide) {
  char text[1024] = "crop: a\nunit: C\nstages: [{stage: s, days: 1, band: [0, 1, 2, 3]}]\n";
  char names[2][64], seasons[2][64];
  ck_assert_int_eq(sscanf(name_rows[_i].varieties, "%63[^,], %63s", names[0], names[1]), 2);
  ck_assert_int_eq(sscanf(name_rows[_i].seasons, "%63[^,], %63s", seasons[0], seasons[1]), 2);
  size_t used = strlen(text);
  snprintf(text + used, sizeof text - used,
           "varieties: [{variety: %s}, {variety: %s}]\n"
           "seasons: [{season: %s, sow: [01-01, 06-30]}, {season: %s, sow: [07-01, 12-31]}]\n",
           names[0], names[1], seasons[0], seasons[1]);
  if (name_rows[_i].clash == NULL)
    expect_right(text);
  else
    expect_refusal(text, strlen(text), 4, name_rows[_i].clash);
}
END_TEST

/* One entry more than fits, per list. */
static const struct {
  const char *head, *entry, *tail; /* entry takes a number */
  int most;
  const char *message;
} many_rows[] = {
    {"stages: [", "{stage: s%d, days: 1, band: [0, 1, 2, 3]},",
     "]\nvarieties: [{variety: v}]\nseasons: [{season: x, sow: [01-01, 12-31]}]\n", ISW_STAGES_MAX,
     "stages has 17 entries; at most 16"},
    {"stages: [{stage: s, days: 1, band: [0, 1, 2, 3]}]\nseasons: [{season: x, sow: [01-01, "
     "12-31]}]\nvarieties: [",
     "{variety: v%d},", "]\n", ISW_VARIETIES_MAX, "varieties has 65 entries; at most 64"},
    {"stages: [{stage: s, days: 1, band: [0, 1, 2, 3]}]\nvarieties: [{variety: v}]\nseasons: [",
     "{season: s%d, sow: [01-01, 12-31]},", "]\n", ISW_SEASONS_MAX, "seasons has 13 entries"},
    {"stages: [{stage: s, days: 1, band: [0, 1, 2, 3]}]\nvarieties: [{variety: v}]\nseasons: "
     "[{season: s, sow: [01-01, 12-31]}]\nshelters: [",
     "{shelter: s%d},", "]\n", ISW_SHELTERS_MAX, "shelters has 13 entries"},
    {"stages: [{stage: s, days: 1, band: [0, 1, 2, 3]}]\nvarieties: [{variety: v}]\nseasons: "
     "[{season: s, sow: [01-01, 12-31]}]\ntasks: [",
     "{at: s, do: work %d},", "]\n", ISW_TASKS_MAX, "tasks has 65 entries"},
    {"stages: [{stage: s, days: 1, band: [0, 1, 2, 3]}]\nvarieties: [{variety: v}]\nseasons: "
     "[{season: s, sow: [01-01, 12-31]}]\nsources: [",
     "book %d,", "]\n", ISW_SOURCES_MAX, "sources has 65 entries"},
};

static char *many(int row, int n) {
  char *text = malloc(20000);
  ck_assert_ptr_nonnull(text);
  int used = sprintf(text, "crop: a\nunit: C\n%s", many_rows[row].head);
  for (int i = 0; i < n; i++) {
    const char *entry = many_rows[row].entry;
    const char *number = strstr(entry, "%d");
    used += sprintf(text + used, "%.*s%d%s", (int)(number - entry), entry, i, number + 2);
  }
  sprintf(text + used, "%s", many_rows[row].tail);
  return text;
}

START_TEST(lists_hold_their_most_and_no_more) {
  char *text = many(_i, many_rows[_i].most);
  expect_right(text);
  free(text);
  text = many(_i, many_rows[_i].most + 1);
  struct isw_sheet *sheet;
  struct isw_error error = {ISW_OK, ""};
  ck_assert_int_eq(isw_crop_parse_sheet(text, strlen(text), "many", &sheet, &error),
                   ISW_INPUT_CONTENT);
  ck_assert_msg(strstr(error.text, many_rows[_i].message) != NULL, "%s", error.text);
  free(text);
}
END_TEST

START_TEST(empty_and_hostile_texts) {
  expect_refusal("", 0, 0, "empty; a crop sheet needs");
  expect_refusal("# nothing\n", 10, 0, "empty; a crop sheet needs");
  expect_refusal("[]", 2, 1, "the crop sheet is a list; give a group of keys: crop ...");
  expect_refusal("{}", 2, 1, "'crop' is missing");
  expect_refusal("hello", 5, 1, "the crop sheet is 'hello'");
  expect_refusal("crop: a\0b\n", 10, 1, "not UTF-8");
  expect_refusal(
      "\xFF\xFE"
      "c\0",
      4, 1, "not UTF-8");
  size_t size = 1000001;
  char *text = malloc(size);
  ck_assert_ptr_nonnull(text);
  memset(text, '#', size);
  expect_refusal(text, size, 0, "larger than 1000000 bytes");
  memset(text, '[', size);
  expect_refusal(text, size - 1, 1, "nested too deeply");
  for (size_t i = 0; i + 1 < size; i += 2) memcpy(text + i, "- ", 2);
  expect_refusal(text, size - 1, 1, "nested too deeply");
  for (size_t i = 0; i + 1 < size; i += 2) memcpy(text + i, "? ", 2);
  expect_refusal(text, size - 1, 1, "nested too deeply");
  free(text);
}
END_TEST

/* A text cut anywhere is refused or right, and never more: run under the sanitizers this is where a
 * slip in the reading would show. */
START_TEST(any_beginning_of_a_sheet_is_survived) {
  int refused = 0;
  for (size_t size = 0; size < sizeof right_sheet - 1; size++) {
    struct isw_sheet *sheet;
    struct isw_error error = {ISW_OK, ""};
    if (isw_crop_parse_sheet(right_sheet, size, "cut", &sheet, &error) == ISW_OK) {
      isw_crop_free_sheet(sheet);
      continue;
    }
    ck_assert_ptr_null(sheet);
    ck_assert_int_eq(error.status, ISW_INPUT_CONTENT);
    refused++;
  }
  ck_assert_int_ge(refused, (int)(strstr(right_sheet, "varieties:") - right_sheet));
  ck_assert_int_lt(refused, (int)sizeof right_sheet - 1);
}
END_TEST

START_TEST(a_null_error_is_allowed) {
  struct isw_sheet *sheet;
  ck_assert_int_eq(isw_crop_parse_sheet("crop: B", 7, "x", &sheet, NULL), ISW_INPUT_CONTENT);
  ck_assert_int_eq(isw_crop_load_sheet("no-such-crop", &sheet, NULL), ISW_USAGE);
}
END_TEST

Suite *isw_test_suite(void) {
  Suite *suite = suite_create("sheet errors");
  TCase *rows = tcase_create("rows");
  tcase_add_test(rows, ways_to_grow_have_an_end);
  tcase_add_test(rows, right_sheet_is_right);
  tcase_add_loop_test(rows, bad_sheet_is_refused, 0, N_BAD_ROWS);
  tcase_add_test(rows, task_at_a_transplant_that_is_not_there);
  tcase_add_loop_test(rows, result_names_may_not_coincide, 0,
                      (int)(sizeof name_rows / sizeof name_rows[0]));
  tcase_add_loop_test(rows, lists_hold_their_most_and_no_more, 0,
                      (int)(sizeof many_rows / sizeof many_rows[0]));
  tcase_add_test(rows, empty_and_hostile_texts);
  tcase_add_test(rows, any_beginning_of_a_sheet_is_survived);
  tcase_add_test(rows, a_null_error_is_allowed);
  tcase_set_timeout(rows, 60);
  suite_add_tcase(suite, rows);
  return suite;
}
