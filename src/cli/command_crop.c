/* isosow crop list | show NAME | check FILE */
#include <glib.h>
#include <stdio.h>
#include <string.h>

#include "cli/commands.h"
#include "cli/parse.h"
#include "crop/sheet.h"

enum { WORDS_MAX = 8 };

static int report(const struct isw_error *error) {
  fprintf(stderr, "isosow: %s\n", error->text);
  return isw_base_exit_code(error->status);
}

static int fail_usage(const char *what) {
  fprintf(stderr, "isosow: %s; see 'isosow crop --help'\n", what);
  return isw_base_exit_code(ISW_USAGE);
}

/* Output that did not arrive is a failure even though every call before looked well. */
static int finish_output(void) {
  if (fflush(stdout) == 0 && !ferror(stdout)) return isw_base_exit_code(ISW_OK);
  fprintf(stderr, "isosow: cannot write to standard output; is the disk full?\n");
  return isw_base_exit_code(ISW_OUTPUT);
}

static char *join_varieties(const struct isw_sheet *sheet) {
  GString *all = g_string_new(NULL);
  for (int v = 0; v < sheet->n_varieties; v++)
    g_string_append_printf(all, "%s%s", v == 0 ? "" : ", ", sheet->varieties[v].name);
  return g_string_free(all, FALSE);
}

static int pad_to(const char *text, int width) {
  int used = (int)g_utf8_strlen(text, -1);
  return width > used ? width - used : 0;
}

static void print_row(const char *name, int name_width, const char *title, int title_width,
                      const char *varieties) {
  printf("%s%*s  %s%*s  %s\n", name, pad_to(name, name_width), "", title,
         pad_to(title, title_width), "", varieties);
}

static int list_sheets(void) {
  GPtrArray *sheets = g_ptr_array_new();
  struct isw_error error;
  int code = 0;
  int name_width = (int)strlen("NAME"), title_width = (int)strlen("TITLE");
  for (int i = 0; code == 0 && isw_crop_builtin_name(i) != NULL; i++) {
    struct isw_sheet *sheet;
    if (isw_crop_load_sheet(isw_crop_builtin_name(i), &sheet, &error) != ISW_OK) {
      code = report(&error);
      break;
    }
    g_ptr_array_add(sheets, sheet);
    name_width = MAX(name_width, (int)g_utf8_strlen(isw_crop_builtin_name(i), -1));
    title_width = MAX(title_width, (int)g_utf8_strlen(sheet->title, -1));
  }
  if (code == 0) print_row("NAME", name_width, "TITLE", title_width, "VARIETIES");
  for (guint i = 0; code == 0 && i < sheets->len; i++) {
    const struct isw_sheet *sheet = g_ptr_array_index(sheets, i);
    char *varieties = join_varieties(sheet);
    print_row(isw_crop_builtin_name((int)i), name_width, sheet->title, title_width, varieties);
    g_free(varieties);
  }
  for (guint i = 0; i < sheets->len; i++) isw_crop_free_sheet(g_ptr_array_index(sheets, i));
  g_ptr_array_free(sheets, TRUE);
  return code == 0 ? finish_output() : code;
}

static int show_sheet(const char *name) {
  for (int i = 0; isw_crop_builtin_name(i) != NULL; i++) {
    if (strcmp(isw_crop_builtin_name(i), name) != 0) continue;
    size_t size = 0;
    const char *text = isw_crop_builtin_text(i, &size);
    fwrite(text, 1, size, stdout);
    return finish_output();
  }
  fprintf(stderr, "isosow: no built-in crop sheet is called '%s'; 'isosow crop list' lists them\n",
          name);
  return isw_base_exit_code(ISW_USAGE);
}

static bool is_builtin(const char *name) {
  for (int i = 0; isw_crop_builtin_name(i) != NULL; i++)
    if (strcmp(isw_crop_builtin_name(i), name) == 0) return true;
  return false;
}

static int check_sheet(const char *file) {
  struct isw_sheet *sheet;
  struct isw_error error;
  /* FILE is a file here even where its name alone would mean a built-in sheet; a built-in name
   * counts only where there is no such file. */
  bool bare = strcmp(file, "-") != 0 && strchr(file, '/') == NULL;
  bool is_file = bare && (g_file_test(file, G_FILE_TEST_EXISTS) || !is_builtin(file));
  char *path = is_file ? g_strconcat("./", file, NULL) : g_strdup(file);
  enum isw_status status = isw_crop_load_sheet(path, &sheet, &error);
  g_free(path);
  if (status != ISW_OK) { /* named as it was given */
    bool prefixed = is_file && g_str_has_prefix(error.text, "./");
    if (prefixed) memmove(error.text, error.text + 2, strlen(error.text + 2) + 1);
    return report(&error);
  }
  printf("%s: ok, %d stage%s, %d variet%s, %d season%s\n", file, sheet->n_stages,
         sheet->n_stages == 1 ? "" : "s", sheet->n_varieties, sheet->n_varieties == 1 ? "y" : "ies",
         sheet->n_seasons, sheet->n_seasons == 1 ? "" : "s");
  isw_crop_free_sheet(sheet);
  return finish_output();
}

static int run_words(int n, char **words) {
  if (n == 0) return fail_usage("crop needs one of list, show, check");
  if (strcmp(words[0], "list") == 0) {
    if (n != 1) return fail_usage("crop list takes nothing more");
    return list_sheets();
  }
  if (strcmp(words[0], "show") == 0) {
    if (n != 2) return fail_usage("crop show takes one name of a built-in sheet");
    return show_sheet(words[1]);
  }
  if (strcmp(words[0], "check") == 0) {
    if (n != 2) return fail_usage("crop check takes one file");
    return check_sheet(words[1]);
  }
  char *what = g_strdup_printf("crop does not know '%s'; it knows list, show, check", words[0]);
  int code = fail_usage(what);
  g_free(what);
  return code;
}

static const struct isw_cli_command crop_command = {
    ISW_COMMAND_CROP, "list | show NAME | check FILE",
    "Crop sheets: what the stages of a crop want, which varieties there are, when they may be "
    "sown.\n\n"
    "  list         built-in sheets with their varieties\n"
    "  show NAME    the text of a built-in sheet, to read or to start your own from\n"
    "  check FILE   is this sheet right? '-' reads standard input",
    0, WORDS_MAX};

int isw_cli_command_crop(int argc, char **argv) {
  struct isw_options options;
  isw_jobs_start_options(&options);
  struct isw_error error;
  enum isw_status status = isw_cli_parse(&crop_command, &argc, &argv, &options, &error);
  int code = status == ISW_OK ? run_words(argc - 1, argv + 1) : isw_cli_report("crop", &error);
  isw_jobs_clear_options(&options);
  return code;
}
