#define _XOPEN_SOURCE 700

#include "output/folder_lock.h"

#include <errno.h>
#include <fcntl.h>
#include <glib.h>
#include <glib/gstdio.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

static const char lock_name[] = ".isosow-lock";

/* Whether the file that was locked is still the one with that name: whoever had it may have removed
 * it in between. */
static bool is_still_there(int file, const char *path) {
  struct stat locked, named;
  return fstat(file, &locked) == 0 && lstat(path, &named) == 0 && locked.st_dev == named.st_dev &&
         locked.st_ino == named.st_ino;
}

static enum isw_status lock_file(const char *dir, const char *path, struct isw_log *log, int *lock,
                                 struct isw_error *error) {
  for (;;) {
    int file = g_open(path, O_RDWR | O_CREAT | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC, 0666);
    if (file < 0)
      return isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s; choose another folder",
                           dir, g_strerror(errno));
    if (flock(file, LOCK_EX | LOCK_NB) != 0) {
      bool taken = errno == EWOULDBLOCK;
      close(file);
      if (taken)
        return isw_base_fail(error, ISW_OUTPUT,
                             "%s: another run is writing there; wait for its end, or choose "
                             "another folder",
                             dir);
      g_unlink(path);
      isw_base_warn(log, "%s: cannot be locked; let no other run write there meanwhile", dir);
      return ISW_OK;
    }
    if (is_still_there(file, path)) {
      *lock = file;
      return ISW_OK;
    }
    close(file);
  }
}

char *isw_output_lock_path(const char *dir) {
  return g_build_filename(dir, lock_name, NULL);
}

enum isw_status isw_output_lock_folder(const char *dir, struct isw_log *log, int *lock,
                                       struct isw_error *error) {
  *lock = ISW_LOCK_NONE;
  char *path = isw_output_lock_path(dir);
  enum isw_status status = lock_file(dir, path, log, lock, error);
  g_free(path);
  return status;
}

void isw_output_unlock_folder(const char *dir, int lock) {
  if (lock == ISW_LOCK_NONE) return;
  char *path = isw_output_lock_path(dir);
  g_unlink(path); /* while it is still ours */
  close(lock);
  g_free(path);
}
