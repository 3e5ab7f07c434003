/* crop list | show NAME | check FILE | new */
#include <glib.h>
#include <string.h>

#include "crop/sheet.h"
#include "jobs/crop_check.h"
#include "jobs/crop_new.h"
#include "jobs/jobs.h"

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

static void append_row(GString *text, const char *name, int name_width, const char *title,
                       int title_width, const char *varieties) {
  g_string_append_printf(text, "%s%*s  %s%*s  %s\n", name, pad_to(name, name_width), "", title,
                         pad_to(title, title_width), "", varieties);
}

static enum isw_status list_sheets(GString *text, struct isw_error *error) {
  GPtrArray *sheets = g_ptr_array_new();
  enum isw_status status = ISW_OK;
  int name_width = (int)strlen("NAME"), title_width = (int)strlen("TITLE");
  for (int i = 0; status == ISW_OK && isw_crop_builtin_name(i) != NULL; i++) {
    struct isw_sheet *sheet;
    status = isw_crop_load_sheet(isw_crop_builtin_name(i), &sheet, error);
    if (status != ISW_OK) break;
    g_ptr_array_add(sheets, sheet);
    name_width = MAX(name_width, (int)g_utf8_strlen(isw_crop_builtin_name(i), -1));
    title_width = MAX(title_width, (int)g_utf8_strlen(sheet->title, -1));
  }
  if (status == ISW_OK) append_row(text, "NAME", name_width, "TITLE", title_width, "VARIETIES");
  for (guint i = 0; status == ISW_OK && i < sheets->len; i++) {
    const struct isw_sheet *sheet = g_ptr_array_index(sheets, i);
    char *varieties = join_varieties(sheet);
    append_row(text, isw_crop_builtin_name((int)i), name_width, sheet->title, title_width,
               varieties);
    g_free(varieties);
  }
  for (guint i = 0; i < sheets->len; i++) isw_crop_free_sheet(g_ptr_array_index(sheets, i));
  g_ptr_array_free(sheets, TRUE);
  return status;
}

static enum isw_status show_sheet(const char *name, GString *text, struct isw_error *error) {
  for (int i = 0; isw_crop_builtin_name(i) != NULL; i++) {
    if (strcmp(isw_crop_builtin_name(i), name) != 0) continue;
    size_t size = 0;
    const char *sheet = isw_crop_builtin_text(i, &size);
    g_string_append_len(text, sheet, (gssize)size);
    return ISW_OK;
  }
  return isw_base_fail(error, ISW_USAGE,
                       "no built-in crop sheet is called '%s'; isosow crop list lists them", name);
}

static bool is_builtin(const char *name) {
  for (int i = 0; isw_crop_builtin_name(i) != NULL; i++)
    if (strcmp(isw_crop_builtin_name(i), name) == 0) return true;
  return false;
}

static enum isw_status check_sheet(const struct isw_request *request, const char *file,
                                   GString *text, struct isw_error *error) {
  struct isw_sheet *sheet;
  /* FILE is a file here even where its name alone would mean a built-in sheet; a built-in name
   * counts only where there is no such file. */
  bool bare = strcmp(file, "-") != 0 && strchr(file, '/') == NULL;
  bool is_file = bare && (g_file_test(file, G_FILE_TEST_EXISTS) || !is_builtin(file));
  char *path = is_file ? g_strconcat("./", file, NULL) : g_strdup(file);
  enum isw_status status = isw_crop_load_sheet(path, &sheet, error);
  g_free(path);
  if (status != ISW_OK) { /* named as it was given */
    bool prefixed = is_file && g_str_has_prefix(error->text, "./");
    if (prefixed) memmove(error->text, error->text + 2, strlen(error->text + 2) + 1);
    return status;
  }
  g_string_append_printf(text, "%s: ok, %d stage%s, %d variet%s, %d season%s\n", file,
                         sheet->n_stages, sheet->n_stages == 1 ? "" : "s", sheet->n_varieties,
                         sheet->n_varieties == 1 ? "y" : "ies", sheet->n_seasons,
                         sheet->n_seasons == 1 ? "" : "s");
  isw_jobs_append_understood(text, sheet);
  status = isw_jobs_tell_doubts(request, file, sheet, error);
  isw_crop_free_sheet(sheet);
  return status;
}

static enum isw_status run_words(const struct isw_request *request, GString *text,
                                 struct isw_error *error) {
  const int n = request->n_words;
  const char *const *words = request->words;
  static const char help[] = "; see isosow crop --help";
  if (n == 0) return isw_base_fail(error, ISW_USAGE, "list, show, check or new?%s", help);
  if (strcmp(words[0], "new") == 0) {
    if (n == 1) return isw_jobs_crop_new(request, error);
    return isw_base_fail(error, ISW_USAGE, "new takes options alone%s", help);
  }
  enum isw_status foreign = isw_jobs_refuse_new_options(request->options, words[0], error);
  if (foreign != ISW_OK) return foreign;
  if (strcmp(words[0], "list") == 0) {
    if (n == 1) return list_sheets(text, error);
    return isw_base_fail(error, ISW_USAGE, "list takes nothing more%s", help);
  }
  if (strcmp(words[0], "show") == 0) {
    if (n == 2) return show_sheet(words[1], text, error);
    return isw_base_fail(error, ISW_USAGE, "show takes one name of a built-in sheet%s", help);
  }
  if (strcmp(words[0], "check") == 0) {
    if (n == 2) return check_sheet(request, words[1], text, error);
    return isw_base_fail(error, ISW_USAGE, "check takes one file%s", help);
  }
  return isw_base_fail(error, ISW_USAGE, "'%s' is none of list, show, check, new%s", words[0],
                       help);
}

enum isw_status isw_jobs_crop(const struct isw_request *request, struct isw_error *error) {
  GString *text = g_string_new(NULL);
  enum isw_status status = run_words(request, text, error);
  if (status == ISW_OK) status = isw_jobs_answer_string(request, text, error);
  g_string_free(text, TRUE);
  return status;
}
