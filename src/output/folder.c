/* DESIGN. The folder's lock (output/folder_lock.h) is held from before anything is looked at until
 * the end: what lies in a temporary folder then is this run's, or a dead one's. How results go into
 * place, and back, is in output/unfinished.c. */
#define _XOPEN_SOURCE 700

#include "output/folder.h"

#include <errno.h>
#include <glib/gstdio.h>
#include <string.h>

#include "base/last_words.h"
#include "output/folder_lock.h"
#include "output/unfinished.h"

struct isw_folder {
  char *dir, *temporary; /* temporary: NULL before it is made */
  enum isw_replace replace;
  bool no_record, made_dir, keep_temporary;
  int lock;
  int unwanted[3];   /* what goes when the program ends by a fault: dir, its lock, temporary */
  GPtrArray *names;  /* of results whose temporary path was asked for */
  GHashTable *paths; /* name -> temporary path */
  GHashTable *replaceable; /* name -> identity when the folder was opened */
};

static struct isw_file_identity entry_of(const char *dir, const char *name) {
  char *path = g_build_filename(dir, name, NULL);
  struct isw_file_identity entry = isw_output_identify_entry(path);
  g_free(path);
  return entry;
}

static enum isw_status refuse_existing(const struct isw_earlier_request *request,
                                       struct isw_error *error) {
  if (request->replace != ISW_REPLACE_NOTHING) return ISW_OK;
  const char *found = NULL;
  if (!request->no_record && entry_of(request->dir, isw_output_record_name).there)
    found = isw_output_record_name;
  for (int i = 0; i < request->n_names && found == NULL; i++)
    if (entry_of(request->dir, request->names[i]).there) found = request->names[i];
  if (found == NULL) return ISW_OK;
  return isw_base_fail(error, ISW_USAGE_EXISTS, "%s: results are there already (%s)", request->dir,
                       found);
}

static enum isw_status cannot_write(const char *path, struct isw_error *error) {
  return isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s; choose another folder", path,
                       g_strerror(errno));
}

/* While results are put in place a fault is as a kill: the next run mends it. */
static void keep_all(struct isw_folder *folder) {
  for (int i = 0; i < 3; i++) {
    isw_base_keep(folder->unwanted[i]);
    folder->unwanted[i] = -1;
  }
}

static enum isw_status fill_folder(struct isw_folder *folder,
                                   const struct isw_earlier_request *request, struct isw_log *log,
                                   struct isw_error *error) {
  enum isw_status status = isw_output_lock_folder(folder->dir, log, &folder->lock, error);
  if (status != ISW_OK) return status;
  if (folder->made_dir)
    folder->unwanted[0] = isw_base_note_unwanted(ISW_UNWANTED_EMPTY, folder->dir);
  char *lock = isw_output_lock_path(folder->dir);
  if (folder->lock != ISW_LOCK_NONE)
    folder->unwanted[1] = isw_base_note_unwanted(ISW_UNWANTED_FILE, lock);
  g_free(lock);
  isw_output_mend_unfinished(folder->dir, log);
  status = refuse_existing(request, error); /* of a run that ended meanwhile, or came back */
  if (status == ISW_OK) status = isw_output_find_replaceable(request, &folder->replaceable, error);
  if (status != ISW_OK) return status;
  folder->temporary = isw_output_new_unfinished(folder->dir);
  if (folder->temporary == NULL) return cannot_write(folder->dir, error);
  folder->unwanted[2] = isw_base_note_unwanted(ISW_UNWANTED_TREE, folder->temporary);
  return ISW_OK;
}

enum isw_status isw_output_open_folder(const struct isw_earlier_request *request,
                                       struct isw_log *log, struct isw_folder **out,
                                       struct isw_error *error) {
  const char *dir = request->dir;
  bool existed = g_file_test(dir, G_FILE_TEST_EXISTS);
  if (existed && !g_file_test(dir, G_FILE_TEST_IS_DIR))
    return isw_base_fail(error, ISW_OUTPUT, "%s: is not a folder; choose another name", dir);
  /* Before anything is written there, be it a lock. */
  enum isw_status status = refuse_existing(request, error);
  if (status != ISW_OK) return status;
  if (g_mkdir_with_parents(dir, 0777) != 0) return cannot_write(dir, error);
  struct isw_folder *folder = g_new0(struct isw_folder, 1);
  folder->dir = g_strdup(dir);
  folder->replace = request->replace;
  folder->no_record = request->no_record;
  folder->made_dir = !existed;
  folder->lock = ISW_LOCK_NONE;
  for (int i = 0; i < 3; i++) folder->unwanted[i] = -1;
  folder->names = g_ptr_array_new_with_free_func(g_free);
  folder->paths = g_hash_table_new_full(g_str_hash, g_str_equal, g_free, g_free);
  status = fill_folder(folder, request, log, error);
  if (status == ISW_OK)
    *out = folder;
  else
    isw_output_free_folder(folder);
  return status;
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

bool isw_output_commit_was_cut(const char *dir) {
  int lock;
  if (!isw_output_holds_cut_commit(dir) || isw_output_lock_folder(dir, NULL, &lock, NULL) != ISW_OK)
    return false;
  bool cut = isw_output_holds_cut_commit(dir);
  isw_output_unlock_folder(dir, lock);
  return cut;
}

static bool is_as_found(const struct isw_folder *folder, const char *name,
                        const struct isw_file_identity *entry) {
  const struct isw_file_identity *found = g_hash_table_lookup(folder->replaceable, name);
  return found != NULL && isw_output_same_file(found, entry);
}

/* Names in the folder that make room; a result in the way that was not there before is refused. */
static enum isw_status list_aside(const struct isw_folder *folder, GPtrArray *aside,
                                  struct isw_error *error) {
  for (guint i = 0; i < folder->names->len; i++) {
    const char *name = g_ptr_array_index(folder->names, i);
    struct isw_file_identity entry = entry_of(folder->dir, name);
    if (entry.there && !is_as_found(folder, name, &entry))
      return isw_base_fail(error, ISW_OUTPUT,
                           "%s/%s: was written while this run was at work; nothing was changed "
                           "there",
                           folder->dir, name);
  }
  GHashTableIter each;
  gpointer name;
  g_hash_table_iter_init(&each, folder->replaceable);
  while (g_hash_table_iter_next(&each, &name, NULL)) {
    struct isw_file_identity entry = entry_of(folder->dir, name);
    if (entry.there && is_as_found(folder, name, &entry)) g_ptr_array_add(aside, name);
  }
  return ISW_OK;
}

enum isw_status isw_output_commit_folder(struct isw_folder *folder, struct isw_error *error) {
  GPtrArray *aside = g_ptr_array_new();
  keep_all(folder);
  enum isw_status status = list_aside(folder, aside, error);
  if (status == ISW_OK && folder->no_record)
    status = isw_output_put_each_in_place(folder->temporary, folder->dir, folder->names, error);
  else if (status == ISW_OK)
    status = isw_output_put_in_place(folder->temporary, folder->dir, aside, folder->names,
                                     &folder->keep_temporary, error);
  if (status == ISW_OK) folder->made_dir = false;
  g_ptr_array_unref(aside);
  return status;
}

void isw_output_free_folder(struct isw_folder *folder) {
  if (folder == NULL) return;
  keep_all(folder);
  if (folder->temporary != NULL && !folder->keep_temporary)
    isw_output_remove_tree(folder->temporary);
  isw_output_unlock_folder(folder->dir, folder->lock);
  if (folder->made_dir) g_rmdir(folder->dir); /* only if nothing is in it */
  g_ptr_array_unref(folder->names);
  g_hash_table_unref(folder->paths);
  if (folder->replaceable != NULL) g_hash_table_unref(folder->replaceable);
  g_free(folder->dir);
  g_free(folder->temporary);
  g_free(folder);
}
