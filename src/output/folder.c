/* DESIGN. A folder DIR/.isosow-unfinished-... holds the results while they are made, and a lock
 * file that its process keeps locked. Whoever can take the lock of such a folder knows that its
 * maker is gone, and may sweep it up. Committing moves the earlier run's record away first and the
 * new one in last: a folder with a run record is always a folder whose results belong together. */
#define _XOPEN_SOURCE 700

#include "output/folder.h"

#include <errno.h>
#include <fcntl.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <json-glib/json-glib.h>
#include <stdio.h>
#include <sys/file.h>
#include <unistd.h>

static const char unfinished_prefix[] = ".isosow-unfinished-";
static const char lock_name[] = ".lock";
static const char record_name[] = "run.json";

struct isw_folder {
  char *dir, *temporary;
  bool overwrite, made_dir;
  int lock; /* descriptor, -1: none */
  GPtrArray *names;
  GHashTable *paths; /* name -> temporary path */
};

static void remove_tree(const char *dir) {
  GDir *entries = g_dir_open(dir, 0, NULL);
  if (entries != NULL) {
    const char *name;
    while ((name = g_dir_read_name(entries)) != NULL) {
      char *path = g_build_filename(dir, name, NULL);
      if (g_file_test(path, G_FILE_TEST_IS_DIR) && !g_file_test(path, G_FILE_TEST_IS_SYMLINK))
        remove_tree(path);
      else
        g_unlink(path);
      g_free(path);
    }
    g_dir_close(entries);
  }
  g_rmdir(dir);
}

/* The descriptor of the folder's lock, or -1 when its maker still holds it. */
static int take_lock(const char *temporary) {
  char *path = g_build_filename(temporary, lock_name, NULL);
  int lock = g_open(path, O_RDWR | O_CREAT | O_CLOEXEC, 0666);
  g_free(path);
  if (lock >= 0 && flock(lock, LOCK_EX | LOCK_NB) != 0) {
    close(lock);
    lock = -1;
  }
  return lock;
}

static void sweep_unfinished(const char *dir, struct isw_log *log) {
  GDir *entries = g_dir_open(dir, 0, NULL);
  if (entries == NULL) return;
  const char *name;
  while ((name = g_dir_read_name(entries)) != NULL) {
    if (!g_str_has_prefix(name, unfinished_prefix)) continue;
    char *path = g_build_filename(dir, name, NULL);
    /* None of ours, and what it leads to is nobody's to sweep. */
    bool elsewhere = g_file_test(path, G_FILE_TEST_IS_SYMLINK);
    int lock = elsewhere ? -1 : take_lock(path);
    if (lock >= 0) {
      isw_base_notice(log, "%s: removing what an earlier run left unfinished", path);
      remove_tree(path);
      close(lock);
    }
    g_free(path);
  }
  g_dir_close(entries);
}

bool isw_output_commit_was_cut(const char *dir) {
  GDir *entries = g_dir_open(dir, 0, NULL);
  if (entries == NULL) return false;
  const char *name;
  bool cut = false;
  while (!cut && (name = g_dir_read_name(entries)) != NULL) {
    if (!g_str_has_prefix(name, unfinished_prefix)) continue;
    char *path = g_build_filename(dir, name, NULL);
    char *record = g_build_filename(path, record_name, NULL);
    int lock = -1;
    if (!g_file_test(path, G_FILE_TEST_IS_SYMLINK) && g_file_test(record, G_FILE_TEST_EXISTS))
      lock = take_lock(path);
    cut = lock >= 0;
    if (cut) close(lock);
    g_free(record);
    g_free(path);
  }
  g_dir_close(entries);
  return cut;
}

static bool is_there(const char *dir, const char *name) {
  char *path = g_build_filename(dir, name, NULL);
  bool found = g_file_test(path, G_FILE_TEST_EXISTS | G_FILE_TEST_IS_SYMLINK);
  g_free(path);
  return found;
}

static enum isw_status refuse_existing(const char *dir, int n_names, const char *const *names,
                                       struct isw_error *error) {
  const char *found = is_there(dir, record_name) ? record_name : NULL;
  for (int i = 0; i < n_names && found == NULL; i++)
    if (is_there(dir, names[i])) found = names[i];
  if (found == NULL) return ISW_OK;
  return isw_base_fail(error, ISW_USAGE_EXISTS, "%s: results are there already (%s)", dir, found);
}

static enum isw_status cannot_write(const char *path, struct isw_error *error) {
  return isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s; choose another folder", path,
                       g_strerror(errno));
}

enum isw_status isw_output_open_folder(const char *dir, bool overwrite, int n_names,
                                       const char *const *names, struct isw_log *log,
                                       struct isw_folder **out, struct isw_error *error) {
  bool existed = g_file_test(dir, G_FILE_TEST_EXISTS);
  if (existed && !g_file_test(dir, G_FILE_TEST_IS_DIR))
    return isw_base_fail(error, ISW_OUTPUT, "%s: is not a folder; choose another name", dir);
  enum isw_status status = overwrite ? ISW_OK : refuse_existing(dir, n_names, names, error);
  if (status != ISW_OK) return status;
  if (g_mkdir_with_parents(dir, 0777) != 0) return cannot_write(dir, error);
  sweep_unfinished(dir, log);
  char *pattern = g_strconcat(unfinished_prefix, "XXXXXX", NULL);
  char *temporary = g_build_filename(dir, pattern, NULL);
  g_free(pattern);
  if (g_mkdtemp_full(temporary, 0777) == NULL) {
    status = cannot_write(dir, error);
    g_free(temporary);
    if (!existed) g_rmdir(dir);
    return status;
  }
  struct isw_folder *folder = g_new0(struct isw_folder, 1);
  folder->dir = g_strdup(dir);
  folder->temporary = temporary;
  folder->overwrite = overwrite;
  folder->made_dir = !existed;
  folder->lock = take_lock(temporary);
  folder->names = g_ptr_array_new_with_free_func(g_free);
  folder->paths = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
  *out = folder;
  return ISW_OK;
}

const char *isw_output_temporary_path(struct isw_folder *folder, const char *name) {
  char *path = g_hash_table_lookup(folder->paths, name);
  if (path == NULL) {
    path = g_build_filename(folder->temporary, name, NULL);
    g_hash_table_insert(folder->paths, g_strdup(name), path);
    g_ptr_array_add(folder->names, g_strdup(name));
  }
  return path;
}

/* A plain file name: results never leave their folder, whatever a record says. */
static bool is_plain_name(const char *name) {
  return name[0] != '\0' && strchr(name, '/') == NULL && strcmp(name, ".") != 0 &&
         strcmp(name, "..") != 0;
}

/* Remove what the earlier run's record lists and this run does not make. */
static void remove_superseded(struct isw_folder *folder) {
  char *path = g_build_filename(folder->dir, record_name, NULL);
  JsonParser *parser = json_parser_new();
  JsonNode *root =
      json_parser_load_from_file(parser, path, NULL) ? json_parser_get_root(parser) : NULL;
  JsonObject *record =
      root != NULL && JSON_NODE_HOLDS_OBJECT(root) ? json_node_get_object(root) : NULL;
  JsonNode *results = record != NULL ? json_object_get_member(record, "results") : NULL;
  if (results != NULL && JSON_NODE_HOLDS_ARRAY(results)) {
    JsonArray *list = json_node_get_array(results);
    for (guint i = 0; i < json_array_get_length(list); i++) {
      JsonNode *item = json_array_get_element(list, i);
      if (!JSON_NODE_HOLDS_OBJECT(item)) continue;
      const char *name =
          json_object_get_string_member_with_default(json_node_get_object(item), "file", "");
      if (!is_plain_name(name) || g_hash_table_contains(folder->paths, name)) continue;
      char *old = g_build_filename(folder->dir, name, NULL);
      g_unlink(old);
      g_free(old);
    }
  }
  g_object_unref(parser);
  g_free(path);
}

static enum isw_status move_into_place(struct isw_folder *folder, const char *name,
                                       struct isw_error *error) {
  const char *from = isw_output_temporary_path(folder, name);
  char *to = g_build_filename(folder->dir, name, NULL);
  enum isw_status status = ISW_OK;
  if (g_rename(from, to) != 0)
    status =
        isw_base_fail(error, ISW_OUTPUT, "%s: cannot be put in place: %s", to, g_strerror(errno));
  g_free(to);
  return status;
}

enum isw_status isw_output_commit_folder(struct isw_folder *folder, const char *last,
                                         struct isw_error *error) {
  if (folder->overwrite) remove_superseded(folder);
  char *old_record = g_build_filename(folder->dir, record_name, NULL);
  char *away = g_build_filename(folder->temporary, "superseded-run.json", NULL);
  g_rename(old_record, away); /* may not be there */
  g_free(old_record);
  g_free(away);
  for (guint i = 0; i < folder->names->len; i++) {
    const char *name = g_ptr_array_index(folder->names, i);
    if (strcmp(name, last) == 0) continue;
    enum isw_status status = move_into_place(folder, name, error);
    if (status != ISW_OK) return status;
  }
  folder->made_dir = false;
  return move_into_place(folder, last, error);
}

void isw_output_free_folder(struct isw_folder *folder) {
  if (folder == NULL) return;
  remove_tree(folder->temporary);
  if (folder->made_dir) g_rmdir(folder->dir); /* only if nothing is in it */
  if (folder->lock >= 0) close(folder->lock);
  g_ptr_array_unref(folder->names);
  g_hash_table_unref(folder->paths);
  g_free(folder->dir);
  g_free(folder->temporary);
  g_free(folder);
}
