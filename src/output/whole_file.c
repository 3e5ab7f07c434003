/* DESIGN. The unfinished file keeps a lock as long as its writer lives: one whose lock can be had
 * has none, and the next writer of the name removes it. */
#define _XOPEN_SOURCE 700

#include "output/whole_file.h"

#include <errno.h>
#include <fcntl.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <stdbool.h>
#include <sys/file.h>
#include <unistd.h>

#include "base/last_words.h"
#include "output/file_identity.h"

struct isw_whole_file {
  char *path, *folder, *unfinished; /* unfinished: NULL once it has its name */
  FILE *stream;
  int unwanted;                    /* its number, should the program end by a fault */
  struct isw_file_identity before; /* what had the name */
};

static enum isw_status cannot_write(const char *path, struct isw_error *error) {
  return isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s; %s", path, g_strerror(errno),
                       errno == ENOSPC || errno == EFBIG || errno == EDQUOT || errno == EIO
                           ? "is there room on the disk?"
                           : "choose a folder you may write to");
}

static void sweep_unfinished(const char *folder, const char *prefix) {
  GDir *entries = g_dir_open(folder, 0, NULL);
  if (entries == NULL) return;
  const char *name;
  while ((name = g_dir_read_name(entries)) != NULL) {
    if (!g_str_has_prefix(name, prefix)) continue;
    char *path = g_build_filename(folder, name, NULL);
    int file = g_open(path, O_RDWR | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC, 0);
    if (file >= 0 && flock(file, LOCK_EX | LOCK_NB) == 0) g_unlink(path);
    if (file >= 0) close(file);
    g_free(path);
  }
  g_dir_close(entries);
}

/* Created anew, never opened: O_EXCL is part of it. */
static bool open_unfinished(struct isw_whole_file *file) {
  char *name = g_path_get_basename(file->path);
  char *prefix = g_strdup_printf(".%s-unfinished-", name);
  sweep_unfinished(file->folder, prefix);
  char *pattern = g_strconcat(file->folder, G_DIR_SEPARATOR_S, prefix, "XXXXXX", NULL);
  int descriptor = g_mkstemp_full(pattern, O_RDWR | O_CLOEXEC, 0666);
  int reason = errno;
  if (descriptor >= 0) {
    flock(descriptor, LOCK_EX | LOCK_NB); /* where locks do not work nothing is swept up either */
    file->unfinished = g_strdup(pattern);
    file->unwanted = isw_base_note_unwanted(ISW_UNWANTED_FILE, pattern);
    file->stream = fdopen(descriptor, "wb");
  }
  g_free(pattern);
  g_free(prefix);
  g_free(name);
  errno = reason;
  return file->stream != NULL;
}

enum isw_status isw_output_start_file(const char *path, struct isw_whole_file **out,
                                      struct isw_error *error) {
  struct isw_whole_file *file = g_new0(struct isw_whole_file, 1);
  file->path = g_strdup(path);
  file->folder = g_path_get_dirname(path);
  file->unwanted = -1;
  file->before = isw_output_identify_entry(path);
  if (open_unfinished(file)) {
    *out = file;
    return ISW_OK;
  }
  enum isw_status status = cannot_write(path, error);
  isw_output_drop_file(file);
  return status;
}

FILE *isw_output_file_stream(struct isw_whole_file *file) {
  return file->stream;
}

/* A name that was free is taken only if it still is: rename would not ask. Where a file system
 * knows no second name for a file, it is asked just before. */
static bool take_name(struct isw_whole_file *file) {
  if (!file->before.there) {
    if (link(file->unfinished, file->path) == 0) {
      g_unlink(file->unfinished);
      return true;
    }
    if (errno == EEXIST || errno == ENOSPC) return false;
  }
  struct isw_file_identity now = isw_output_identify_entry(file->path);
  if (!isw_output_same_file(&now, &file->before)) {
    errno = EEXIST;
    return false;
  }
  return g_rename(file->unfinished, file->path) == 0;
}

/* The name itself must outlive a power cut, too. Not every file system can do that: no failure. */
static void bring_folder_to_disk(const char *path) {
  int folder = g_open(path, O_RDONLY | O_CLOEXEC, 0);
  if (folder < 0) return;
  fsync(folder);
  close(folder);
}

enum isw_status isw_output_finish_file(struct isw_whole_file *file, struct isw_error *error) {
  enum isw_status status = ISW_OK;
  errno = 0;
  if (ferror(file->stream) != 0 || fflush(file->stream) != 0 || fsync(fileno(file->stream)) != 0) {
    if (errno == 0) errno = EIO;
    status = cannot_write(file->path, error);
  } else if (!take_name(file)) {
    status =
        errno == EEXIST
            ? isw_base_fail(error, ISW_OUTPUT,
                            "%s: was written by somebody else meanwhile, and is left", file->path)
            : cannot_write(file->path, error);
  } else {
    g_free(file->unfinished);
    file->unfinished = NULL;
    bring_folder_to_disk(file->folder);
  }
  isw_output_drop_file(file);
  return status;
}

void isw_output_drop_file(struct isw_whole_file *file) {
  if (file == NULL) return;
  isw_base_keep(file->unwanted);
  if (file->unfinished != NULL) g_unlink(file->unfinished);
  if (file->stream != NULL) fclose(file->stream);
  g_free(file->unfinished);
  g_free(file->folder);
  g_free(file->path);
  g_free(file);
}
