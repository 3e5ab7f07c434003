/* DESIGN. A handler may use little: no allocation, no stdio. What is to go is therefore kept in
 * fixed places, and folders are read with the system's own call. Other threads still run meanwhile
 * and may make further files; so a folder is gone through until it is gone. */
#define _GNU_SOURCE /* syscall */

#include "base/last_words.h"

#include <fcntl.h>
#include <signal.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdint.h>
#include <string.h>
#include <sys/syscall.h>
#include <unistd.h>

enum { UNWANTED_MOST = 16, PATH_SIZE = 4096, DEPTH_MOST = 2, TRIES = 50 };

/* A signal handler can reach nothing but globals. */
static struct {
  atomic_bool taken;
  enum isw_unwanted kind;
  char path[PATH_SIZE];
} unwanted[UNWANTED_MOST];
static atomic_flag ending = ATOMIC_FLAG_INIT;

int isw_base_note_unwanted(enum isw_unwanted kind, const char *path) {
  size_t size = strlen(path) + 1;
  if (size > PATH_SIZE) return -1;
  /* Behind the last, so that the order is that of noting. */
  int number = UNWANTED_MOST;
  while (number > 0 && !atomic_load(&unwanted[number - 1].taken)) number--;
  if (number == UNWANTED_MOST) return -1;
  unwanted[number].kind = kind;
  memcpy(unwanted[number].path, path, size);
  atomic_store(&unwanted[number].taken, true);
  return number;
}

void isw_base_keep(int number) {
  if (number >= 0) atomic_store(&unwanted[number].taken, false);
}

/* As the system hands them out (getdents64). */
struct entry {
  uint64_t inode;
  int64_t offset;
  unsigned short size;
  unsigned char kind;
  char name[];
};

static void empty_folder(int parent, const char *name, int depth) {
  int folder = openat(parent, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
  if (folder < 0) return;
  _Alignas(struct entry) char bytes[4096];
  long got;
  while ((got = syscall(SYS_getdents64, folder, bytes, sizeof bytes)) > 0) {
    for (long at = 0; at < got;) {
      const struct entry *entry = (const void *)(bytes + at);
      at += entry->size;
      if (strcmp(entry->name, ".") == 0 || strcmp(entry->name, "..") == 0) continue;
      if (unlinkat(folder, entry->name, 0) != 0 && depth < DEPTH_MOST) {
        empty_folder(folder, entry->name, depth + 1);
        unlinkat(folder, entry->name, AT_REMOVEDIR);
      }
    }
  }
  close(folder);
}

static void remove_unwanted(void) {
  for (int i = UNWANTED_MOST - 1; i >= 0; i--) {
    if (!atomic_load(&unwanted[i].taken)) continue;
    const char *path = unwanted[i].path;
    if (unwanted[i].kind == ISW_UNWANTED_FILE) unlink(path);
    if (unwanted[i].kind == ISW_UNWANTED_EMPTY) rmdir(path);
    if (unwanted[i].kind != ISW_UNWANTED_TREE) continue;
    for (int try = 0; try < TRIES && access(path, F_OK) == 0; try++) {
      empty_folder(AT_FDCWD, path, 0);
      rmdir(path);
    }
  }
}

static void end_program(int signal_number) {
  static const char words[] =
      "isosow: ended by a fault: too little memory (give it more, or fewer threads), or a mistake "
      "of isosow or of a library; nothing unfinished was left\n";
  (void)signal_number;
  while (atomic_flag_test_and_set(&ending)) pause(); /* another thread is at it */
  remove_unwanted();
  if (write(STDERR_FILENO, words, sizeof words - 1) < 0) _exit(1);
  _exit(1);
}

void isw_base_catch_faults(void) {
  static const int signals[] = {SIGSEGV, SIGBUS, SIGFPE, SIGILL, SIGABRT, SIGTRAP};
  for (size_t i = 0; i < sizeof signals / sizeof *signals; i++) {
    struct sigaction now;
    if (sigaction(signals[i], NULL, &now) != 0 || now.sa_handler != SIG_DFL) continue;
    struct sigaction action = {.sa_handler = end_program};
    sigfillset(&action.sa_mask);
    sigaction(signals[i], &action, NULL);
  }
}
