/* DESIGN: one table says which options belong to a run; parts carry them as texts. What only says
 * how to compute (threads, memory) or where from (the sources: their checksums stand elsewhere)
 * stays out. */
#include "cli/part_options.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/part_job.h"

enum kind { TEXT, TEXTS, NUMBER };

struct entry {
  const char *name;
  enum kind kind;
  void *field;
};
enum { ENTRIES = 14 };

static void list_entries(struct isw_cli_options *shared, struct isw_page_options *pages,
                         struct entry out[ENTRIES]) {
  const struct entry entries[ENTRIES] = {
      {"variety", TEXTS, &shared->varieties},
      {"season", TEXTS, &shared->seasons},
      {"good", NUMBER, &shared->good},
      {"spread", NUMBER, &shared->spread},
      {"warmer", NUMBER, &shared->warmer},
      {"grown-under", TEXT, &shared->grown_under},
      {"start", TEXT, &shared->start},
      {"hemisphere", TEXT, &shared->hemisphere},
      {"maps", TEXT, &pages->maps},
      {"size", TEXT, &pages->size},
      {"title", TEXT, &pages->title},
      {"districts", TEXT, &pages->districts},
      {"district-name", TEXT, &pages->district_name},
      {"dpi", NUMBER, &pages->dpi},
  };
  memcpy(out, entries, sizeof entries);
}

static void add_option(GArray *options, const char *name, const char *value) {
  struct isw_part_option option = {g_strdup(name), g_strdup(value)};
  g_array_append_val(options, option);
}

static const char folder_option[] = "districts-folder";

/* The run record names districts as they were given; joining may happen in another folder. */
static void add_folder_of(GArray *options, const char *districts) {
  if (g_path_is_absolute(districts) || !g_file_test(districts, G_FILE_TEST_EXISTS)) return;
  char *folder = g_get_current_dir();
  add_option(options, folder_option, folder);
  g_free(folder);
}

static void find_districts(struct isw_page_options *pages, const char *folder) {
  if (pages->districts == NULL || folder == NULL ||
      g_file_test(pages->districts, G_FILE_TEST_EXISTS))
    return;
  char *path = g_build_filename(folder, pages->districts, NULL);
  g_free(pages->districts);
  pages->districts = path;
}

GArray *isw_cli_list_part_options(const struct isw_cli_options *shared,
                                  const struct isw_page_options *pages, bool cog) {
  struct isw_cli_options shared_copy = *shared;
  struct isw_page_options pages_copy = *pages;
  struct entry entries[ENTRIES];
  list_entries(&shared_copy, &pages_copy, entries);
  GArray *options = g_array_new(FALSE, FALSE, sizeof(struct isw_part_option));
  for (int i = 0; i < ENTRIES; i++) {
    const struct entry *entry = &entries[i];
    if (entry->kind == NUMBER) {
      char number[G_ASCII_DTOSTR_BUF_SIZE];
      add_option(options, entry->name,
                 g_ascii_dtostr(number, sizeof number, *(double *)entry->field));
    } else if (entry->kind == TEXT) {
      const char *text = *(char **)entry->field;
      if (text == NULL) continue;
      add_option(options, entry->name, text);
      if (strcmp(entry->name, "districts") == 0) add_folder_of(options, text);
    } else {
      char **texts = *(char ***)entry->field;
      for (; texts != NULL && *texts != NULL; texts++) add_option(options, entry->name, *texts);
    }
  }
  if (cog) add_option(options, "cog", "yes");
  return options;
}

static char **append_text(char **texts, const char *text) {
  guint n = texts != NULL ? g_strv_length(texts) : 0;
  texts = g_renew(char *, texts, n + 2);
  texts[n] = g_strdup(text);
  texts[n + 1] = NULL;
  return texts;
}

static void restore(const struct entry *entry, const char *value) {
  if (entry->kind == NUMBER) {
    *(double *)entry->field = g_ascii_strtod(value, NULL);
  } else if (entry->kind == TEXT) {
    char **text = entry->field;
    g_free(*text);
    *text = g_strdup(value);
  } else {
    char ***texts = entry->field;
    *texts = append_text(*texts, value);
  }
}

void isw_cli_restore_options(const struct isw_part_run *run, struct isw_cli_options *shared,
                             struct isw_page_options *pages, bool *cog) {
  struct entry entries[ENTRIES];
  list_entries(shared, pages, entries);
  const char *folder = NULL;
  *cog = false;
  for (int i = 0; i < run->n_options; i++) {
    const struct isw_part_option *option = &run->options[i];
    if (strcmp(option->name, "cog") == 0) *cog = true;
    if (strcmp(option->name, folder_option) == 0) folder = option->value;
    for (int k = 0; k < ENTRIES; k++)
      if (option->value != NULL && strcmp(option->name, entries[k].name) == 0)
        restore(&entries[k], option->value);
  }
  find_districts(pages, folder);
}
