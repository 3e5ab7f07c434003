/* DESIGN. DIR/.isosow-unfinished-* holds results while they are made. To put them in place:
 *
 *   1. mkdir T/.earlier                        T: the temporary folder
 *   2. DIR/run.json  -> T/.earlier/run.json    from here on DIR has no record
 *   3. DIR/x         -> T/.earlier/x           each file that makes room
 *   4. T/x           -> DIR/x                  each new result
 *   5. T/run.json    -> DIR/run.json           done: DIR has a record, T has none
 *
 * T/run.json and T/.earlier side by side so mean: cut between 1 and 5. T/run.json lists the new
 * results with their checksums; one that is not in T any more, and is in DIR with these bytes, is
 * new and goes; then T/.earlier goes back, its run.json last. The same steps undo a failure and,
 * in the next run, mend a kill; cut themselves, they can be done again. */
#define _XOPEN_SOURCE 700

#include "output/unfinished.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>
#include <unistd.h>

#include "output/earlier_results.h"
#include "output/file_identity.h"

static const char unfinished_prefix[] = ".isosow-unfinished-";
static const char earlier_name[] = ".earlier";

char *isw_output_new_unfinished(const char *dir) {
  char *pattern = g_strconcat(unfinished_prefix, "XXXXXX", NULL);
  char *path = g_build_filename(dir, pattern, NULL);
  g_free(pattern);
  if (g_mkdtemp_full(path, 0777) != NULL) return path;
  int reason = errno;
  g_free(path);
  errno = reason;
  return NULL;
}

void isw_output_remove_tree(const char *dir) {
  GDir *entries = g_dir_open(dir, 0, NULL);
  if (entries != NULL) {
    const char *name;
    while ((name = g_dir_read_name(entries)) != NULL) {
      char *path = g_build_filename(dir, name, NULL);
      if (g_file_test(path, G_FILE_TEST_IS_DIR) && !g_file_test(path, G_FILE_TEST_IS_SYMLINK))
        isw_output_remove_tree(path);
      else
        g_unlink(path);
      g_free(path);
    }
    g_dir_close(entries);
  }
  g_rmdir(dir);
}

static bool is_there(const char *dir, const char *name) {
  char *path = g_build_filename(dir, name, NULL);
  bool there = isw_output_identify_entry(path).there;
  g_free(path);
  return there;
}

/* The temporary folders in dir: names, new. A link of such a name is none of ours. */
static GPtrArray *list_unfinished(const char *dir) {
  GPtrArray *names = g_ptr_array_new_with_free_func(g_free);
  GDir *entries = g_dir_open(dir, 0, NULL);
  const char *name;
  while (entries != NULL && (name = g_dir_read_name(entries)) != NULL) {
    char *path = g_build_filename(dir, name, NULL);
    if (g_str_has_prefix(name, unfinished_prefix) && g_file_test(path, G_FILE_TEST_IS_DIR) &&
        !g_file_test(path, G_FILE_TEST_IS_SYMLINK))
      g_ptr_array_add(names, g_strdup(name));
    g_free(path);
  }
  if (entries != NULL) g_dir_close(entries);
  return names;
}

bool isw_output_holds_cut_commit(const char *dir) {
  GPtrArray *names = list_unfinished(dir);
  bool cut = false;
  for (guint i = 0; i < names->len && !cut; i++) {
    char *temporary = g_build_filename(dir, g_ptr_array_index(names, i), NULL);
    cut = is_there(temporary, isw_output_record_name);
    g_free(temporary);
  }
  g_ptr_array_unref(names);
  return cut;
}

static bool move(const char *from_dir, const char *to_dir, const char *name) {
  char *from = g_build_filename(from_dir, name, NULL);
  char *to = g_build_filename(to_dir, name, NULL);
  bool moved = g_rename(from, to) == 0;
  int reason = errno;
  g_free(from);
  g_free(to);
  errno = reason;
  return moved;
}

/* ---- back ---- */

/* New results that were already put into dir go back; what is not as listed is somebody else's. */
static void take_back_new(const char *temporary, const char *dir) {
  char *record = g_build_filename(temporary, isw_output_record_name, NULL);
  GPtrArray *listed = isw_output_list_recorded(record);
  bool *as_listed = isw_output_find_unchanged(dir, listed, 1);
  for (guint i = 0; i < listed->len; i++) {
    const char *name = ((struct isw_listed_result *)g_ptr_array_index(listed, i))->name;
    if (as_listed[i] && !is_there(temporary, name)) move(dir, temporary, name);
  }
  g_free(as_listed);
  g_ptr_array_unref(listed);
  g_free(record);
}

/* False: something of the earlier results is left in `earlier`. */
static bool bring_back(const char *earlier, const char *dir) {
  GDir *entries = g_dir_open(earlier, 0, NULL);
  if (entries == NULL) return true;
  bool all = true;
  const char *name;
  while ((name = g_dir_read_name(entries)) != NULL) {
    if (strcmp(name, isw_output_record_name) == 0) continue;
    all = !is_there(dir, name) && move(earlier, dir, name) && all;
  }
  g_dir_close(entries);
  if (all && is_there(earlier, isw_output_record_name))
    all = !is_there(dir, isw_output_record_name) && move(earlier, dir, isw_output_record_name);
  return all;
}

/* Undo what was begun. True: dir is as it was. */
static bool go_back(const char *temporary, const char *dir) {
  char *earlier = g_build_filename(temporary, earlier_name, NULL);
  bool back = true;
  if (is_there(temporary, isw_output_record_name) && is_there(temporary, earlier_name)) {
    take_back_new(temporary, dir);
    back = bring_back(earlier, dir);
  }
  g_free(earlier);
  return back;
}

void isw_output_mend_unfinished(const char *dir, struct isw_log *log) {
  GPtrArray *names = list_unfinished(dir);
  for (guint i = 0; i < names->len; i++) {
    char *temporary = g_build_filename(dir, g_ptr_array_index(names, i), NULL);
    if (go_back(temporary, dir)) {
      isw_base_notice(log, "%s: removing what an earlier run left unfinished", temporary);
      isw_output_remove_tree(temporary);
    } else {
      isw_base_warn(log,
                    "%s/%s holds results of before a run that was killed; other files have their "
                    "names now, move what you need",
                    temporary, earlier_name);
    }
    g_free(temporary);
  }
  g_ptr_array_unref(names);
}

/* ---- forth ---- */

static enum isw_status cannot_place(const char *dir, const char *name, struct isw_error *error) {
  return isw_base_fail(error, ISW_OUTPUT, "%s/%s: cannot be put in place: %s", dir, name,
                       g_strerror(errno));
}

/* The record first, when things are taken away; it is not among `names`. */
static enum isw_status move_all(const char *from, const char *to, const GPtrArray *names,
                                const char *named_in, struct isw_error *error) {
  for (guint i = 0; i < names->len; i++) {
    const char *name = g_ptr_array_index(names, i);
    if (strcmp(name, isw_output_record_name) == 0) continue;
    if (!move(from, to, name)) return cannot_place(named_in, name, error);
  }
  return ISW_OK;
}

enum isw_status isw_output_put_in_place(const char *temporary, const char *dir,
                                        const GPtrArray *aside, const GPtrArray *names, bool *keep,
                                        struct isw_error *error) {
  *keep = false;
  char *earlier = g_build_filename(temporary, earlier_name, NULL);
  enum isw_status status = ISW_OK;
  if (g_mkdir(earlier, 0777) != 0) status = cannot_place(temporary, earlier_name, error);
  if (status == ISW_OK && is_there(dir, isw_output_record_name) &&
      !move(dir, earlier, isw_output_record_name))
    status = cannot_place(dir, isw_output_record_name, error);
  if (status == ISW_OK) status = move_all(dir, earlier, aside, dir, error);
  if (status == ISW_OK) status = move_all(temporary, dir, names, dir, error);
  if (status == ISW_OK && !move(temporary, dir, isw_output_record_name))
    status = cannot_place(dir, isw_output_record_name, error);
  if (status != ISW_OK && error != NULL) {
    struct isw_error first = *error;
    *keep = !go_back(temporary, dir);
    if (*keep)
      isw_base_fail(error, ISW_OUTPUT,
                    "%s, and the earlier results could not all be put back; what is missing lies "
                    "in %s",
                    first.text, earlier);
    else
      isw_base_fail(error, ISW_OUTPUT, "%s; the folder is as it was", first.text);
  }
  g_free(earlier);
  return status;
}

enum isw_status isw_output_put_each_in_place(const char *temporary, const char *dir,
                                             const GPtrArray *names, struct isw_error *error) {
  for (guint i = 0; i < names->len; i++)
    if (!move(temporary, dir, g_ptr_array_index(names, i)))
      return isw_base_fail(
          error, ISW_OUTPUT, "%s/%s: cannot be put in place: %s; %u of %u results are", dir,
          (const char *)g_ptr_array_index(names, i), g_strerror(errno), i, names->len);
  return ISW_OK;
}
