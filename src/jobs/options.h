/* What a command is asked for: the values of all options, and the one table that says of each its
 * name, kind, range, where it is allowed, whether it decides results, and its words for people.
 * The command line, --help, the keys of a region file, the options that parts carry and run.json
 * lists, the shell completion and the check of the manual all come from that table. */
#ifndef ISW_JOBS_OPTIONS_H
#define ISW_JOBS_OPTIONS_H

#include <glib.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/status.h"
#include "base/units.h"

/* The commands, as bits: an option is allowed in several. */
enum isw_command {
  ISW_COMMAND_MAP = 1 << 0,
  ISW_COMMAND_SITE = 1 << 1,
  ISW_COMMAND_COMPARE = 1 << 2,
  ISW_COMMAND_GUIDE = 1 << 3,
  ISW_COMMAND_INSPECT = 1 << 4,
  ISW_COMMAND_PARTS = 1 << 5,
  ISW_COMMAND_JOIN = 1 << 6,
  ISW_COMMAND_CROP = 1 << 7,
  ISW_COMMAND_NORMALS = 1 << 8
};

/* Its word on the command line and in run.json. */
const char *isw_jobs_command_name(enum isw_command command);

/* The values of --maps, --format, --start and --show, in the order of their words in the table. */
enum isw_maps { ISW_MAPS_NONE, ISW_MAPS_MAIN, ISW_MAPS_ALL };
enum isw_site_format {
  ISW_FORMAT_TEXT,
  ISW_FORMAT_JSON,
  ISW_FORMAT_CSV,
  ISW_FORMAT_ICS,
  ISW_FORMAT_TABLE
};
enum isw_start_choice { ISW_CHOSE_DIRECT, ISW_CHOSE_NURSERY };
enum isw_show { ISW_SHOW_C, ISW_SHOW_F };

enum { ISW_NOT_GIVEN = -1 }; /* a choice without default */

struct isw_page_size {
  double width_mm, height_mm;
};

/* Days 0..364, both included, across New Year where from > to; -1, -1: not given. */
struct isw_date_range {
  int from_day, to_day;
};

/* Months 0..11, both included, across New Year where from > to. */
struct isw_month_range {
  int from_month, to_month;
};

/* A text that is not given is NULL, a number NAN where it has no default. */
struct isw_options {
  /* climate */
  char *tmin, *tmax, *mean, *range, *variable, *crs, *period;
  char *elevation, *normals_elevation, *lapse, *lapse_monthly;
  int unit;       /* enum isw_unit less 1, or ISW_NOT_GIVEN */
  int hemisphere; /* enum isw_hemisphere */
  /* records */
  char *record;
  int record_unit;        /* of the guide, as unit */
  int from_year, to_year; /* 0: not given */
  int least_percent;
  struct isw_month_range months;
  /* crop */
  char **crops;
  char **varieties, **seasons; /* NULL: all */
  /* conditions */
  double good, spread_K, warmer_K;
  int least_years;
  char *year_spread; /* a number in K, or a raster */
  struct isw_date_range cut;
  char *grown_under;
  int start; /* enum isw_start_choice or ISW_NOT_GIVEN: as the seasons say */
  /* compare: what B has beyond these */
  char *b_grown_under;
  double b_warmer_K;
  int b_start;
  /* pages */
  int maps; /* enum isw_maps */
  char *title, *districts, *district_name, *layers, *places, *hill_shade, *map_crs, *mask;
  struct isw_page_size size;
  double dpi;
  char *heights, *since;
  double bands_m; /* NAN: not given */
  /* guide: what its publisher says */
  char *page_address;
  char *subtitle, *publisher, *edition, *contact, *credit, *licence, *normals_source, *mask_words,
      *logo;
  char **text_before, **text_after, **season_texts, **district_texts, **glossary;
  char **season_names, **type_names;
  char *region_file; /* where options came from, for messages; NULL: none. No option. */
  /* results */
  char *out, *part;
  bool slide, styles, zero_as_nodata, lines;
  bool overwrite, resume, cog, what_opens;
  int parts; /* 0: not given */
  /* site */
  char *at, *stations, *station, *place, *chart, *charts, *days, *compare_dates;
  int sow_day;    /* 0..364, or ISW_NOT_GIVEN */
  int every_days; /* 0: not given */
  bool nearest, strict;
  int format; /* enum isw_site_format or ISW_NOT_GIVEN: text */
  /* site and pages */
  int show;       /* enum isw_show */
  int date_style; /* enum isw_date_style */
  /* crop new: what a catalogue says */
  char *from_sheet, *name;
  double crop_days, heads_to, stands; /* NAN: not given */
  /* inspect */
  bool every_cell, json;
  /* the run */
  int threads, memory_MB;
  bool quiet;
};

enum isw_option_kind {
  ISW_OPTION_FLAG,           /* bool */
  ISW_OPTION_COUNT,          /* int from least to most */
  ISW_OPTION_NUMBER,         /* double from least to most */
  ISW_OPTION_CHOICE,         /* int: which of words */
  ISW_OPTION_SIZE,           /* struct isw_page_size */
  ISW_OPTION_DATE,           /* int: a day of the year, as MM-DD */
  ISW_OPTION_DATES,          /* struct isw_date_range: MM-DD..MM-DD */
  ISW_OPTION_MONTHS,         /* struct isw_month_range: 4..10 */
  ISW_OPTION_TEXT,           /* all below: char * */
  ISW_OPTION_PERIOD,         /* text; two years in it must not run backwards */
  ISW_OPTION_ADDRESS,        /* text; of a page on the web, without a fragment */
  ISW_OPTION_PATH,           /* a file, folder or source; from a region file's folder there */
  ISW_OPTION_NUMBER_OR_PATH, /* a number, or a path */
  ISW_OPTION_NUMBERS,        /* numbers with commas between */
  ISW_OPTION_TEXTS,          /* char **: may be given several times */
  ISW_OPTION_SHEETS,         /* the same; each a path, or the name of a built-in sheet */
  ISW_OPTION_PAIRS           /* char **: "NAME=text", several; in a region file a map */
};

/* Where --help shows an option. */
enum isw_option_group {
  ISW_OPTIONS_MAIN,
  ISW_OPTIONS_CLIMATE,
  ISW_OPTIONS_CONDITIONS,
  ISW_OPTIONS_MAPS,
  ISW_OPTIONS_GUIDE
};

struct isw_option {
  const char *name; /* without dashes */
  enum isw_option_kind kind;
  size_t offset;        /* of the value in struct isw_options */
  unsigned commands;    /* enum isw_command, where it is allowed */
  double least, most;   /* of numbers; most below least: no upper end; both 0: any */
  const char *words;    /* "a|b|c": the values of a choice; of others, words worth completing */
  const char *unset;    /* decides results: what run.json says where it is not given ("" too);
                           NULL: does not decide results and is neither recorded nor in parts */
  const char *help;     /* one sentence; %s stands for the default */
  const char *argument; /* what --help shows for the value; NULL: that of a flag, or words */
  enum isw_option_group group;
  bool in_file; /* a key of region files only */
};

/* The table, in the order of --help. A name occurs once for each command. */
const struct isw_option *isw_jobs_option_table(size_t *count);

/* NULL: the command has no such option (with command ~0u: no command has). */
const struct isw_option *isw_jobs_find_option(const char *name, unsigned command);

/* What --help shows for the value; NULL: a flag has none. */
const char *isw_jobs_option_argument(const struct isw_option *option);

/* ISW_UNIT_UNKNOWN: not given. */
enum isw_unit isw_jobs_chosen_unit(const struct isw_options *options);

/* Defaults; to be freed with isw_jobs_clear_options, which may follow any failure. */
void isw_jobs_start_options(struct isw_options *options);
void isw_jobs_clear_options(struct isw_options *options);

/* Set one option from text (a flag: "yes" or "no"; one text of a list at a time, added to those
 * before). ISW_USAGE; the message is a reason to be put after the option and its value ("must
 * be a number from 0 to 100"). */
enum isw_status isw_jobs_set_option(struct isw_options *options, const struct isw_option *option,
                                    const char *text, struct isw_error *error);

/* Does it hold texts, ISW_OPTION_TEXTS and what follows it? */
bool isw_jobs_is_list(const struct isw_option *option);

/* Forget what a list holds. */
void isw_jobs_empty_list(struct isw_options *options, const struct isw_option *option);

/* The texts of a list, NULL-terminated; NULL: not given. */
char **isw_jobs_option_texts(const struct isw_options *options, const struct isw_option *option);

/* The value as isw_jobs_set_option reads it (texts of a list with ", " between), a new
 * string; NULL where it is not given. */
char *isw_jobs_option_text(const struct isw_options *options, const struct isw_option *option);

#endif
