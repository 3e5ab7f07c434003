/* Preloaded into a run: the call number ISOSOW_FAULT_AT of ISOSOW_FAULT_CALL (rename, write, ...)
 * on anything below ISOSOW_FAULT_UNDER fails, or kills the process (ISOSOW_FAULT_HOW kill). Calls
 * are counted in the file ISOSOW_FAULT_COUNT. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/uio.h>
#include <unistd.h>

static atomic_int calls;

static bool is_below(const char *path) {
  const char *under = getenv("ISOSOW_FAULT_UNDER");
  return under != NULL && strncmp(path, under, strlen(under)) == 0;
}

static bool is_ours(int descriptor) {
  char name[64], path[4096];
  snprintf(name, sizeof name, "/proc/self/fd/%d", descriptor);
  ssize_t size = readlink(name, path, sizeof path - 1);
  if (size <= 0) return false;
  path[size] = '\0';
  return is_below(path);
}

/* True: this call is to fail. */
static bool strikes(const char *call) {
  const char *wanted = getenv("ISOSOW_FAULT_CALL"), *at = getenv("ISOSOW_FAULT_AT");
  if (wanted == NULL || at == NULL || strcmp(wanted, call) != 0) return false;
  if (atomic_fetch_add(&calls, 1) + 1 != atoi(at)) return false;
  const char *how = getenv("ISOSOW_FAULT_HOW");
  if (how != NULL && strcmp(how, "kill") == 0) kill(getpid(), SIGKILL);
  errno = EIO;
  return true;
}

__attribute__((destructor)) static void tell_count(void) {
  const char *path = getenv("ISOSOW_FAULT_COUNT");
  FILE *file = path != NULL ? fopen(path, "w") : NULL;
  if (file == NULL) return;
  fprintf(file, "%d\n", atomic_load(&calls));
  fclose(file);
}

#define REAL(type, name, ...)       \
  static type (*real)(__VA_ARGS__); \
  if (real == NULL) *(void **)(&real) = dlsym(RTLD_NEXT, name)

int rename(const char *from, const char *to) {
  REAL(int, "rename", const char *, const char *);
  char *whole = realpath(from, NULL);
  bool hit = whole != NULL && is_below(whole) && strikes("rename");
  free(whole);
  return hit ? -1 : real(from, to);
}

int link(const char *from, const char *to) {
  REAL(int, "link", const char *, const char *);
  char *whole = realpath(from, NULL);
  bool hit = whole != NULL && is_below(whole) && strikes("link");
  free(whole);
  return hit ? -1 : real(from, to);
}

ssize_t write(int descriptor, const void *bytes, size_t size) {
  REAL(ssize_t, "write", int, const void *, size_t);
  return is_ours(descriptor) && strikes("write") ? -1 : real(descriptor, bytes, size);
}

size_t fwrite(const void *bytes, size_t size, size_t n, FILE *file) {
  REAL(size_t, "fwrite", const void *, size_t, size_t, FILE *);
  return is_ours(fileno(file)) && strikes("write") ? 0 : real(bytes, size, n, file);
}

ssize_t read(int descriptor, void *bytes, size_t size) {
  REAL(ssize_t, "read", int, void *, size_t);
  return is_ours(descriptor) && strikes("read") ? -1 : real(descriptor, bytes, size);
}

size_t fread(void *bytes, size_t size, size_t n, FILE *file) {
  REAL(size_t, "fread", void *, size_t, size_t, FILE *);
  return is_ours(fileno(file)) && strikes("read") ? 0 : real(bytes, size, n, file);
}

ssize_t pread64(int descriptor, void *bytes, size_t size, off64_t at) {
  REAL(ssize_t, "pread64", int, void *, size_t, off64_t);
  return is_ours(descriptor) && strikes("read") ? -1 : real(descriptor, bytes, size, at);
}

int close(int descriptor) {
  REAL(int, "close", int);
  bool hit = is_ours(descriptor) && strikes("close");
  int result = real(descriptor);
  if (hit) errno = EIO;
  return hit ? -1 : result;
}

int fclose(FILE *file) {
  REAL(int, "fclose", FILE *);
  bool hit = is_ours(fileno(file)) && strikes("close");
  int result = real(file);
  if (hit) errno = EIO;
  return hit ? EOF : result;
}

int fsync(int descriptor) {
  REAL(int, "fsync", int);
  return is_ours(descriptor) && strikes("fsync") ? -1 : real(descriptor);
}

void *mmap64(void *where, size_t size, int protection, int flags, int descriptor, off64_t at) {
  REAL(void *, "mmap64", void *, size_t, int, int, int, off64_t);
  bool hit = descriptor >= 0 && is_ours(descriptor) && strikes("mmap");
  return hit ? MAP_FAILED : real(where, size, protection, flags, descriptor, at);
}

void *mmap(void *where, size_t size, int protection, int flags, int descriptor, off_t at) {
  REAL(void *, "mmap", void *, size_t, int, int, int, off_t);
  bool hit = descriptor >= 0 && is_ours(descriptor) && strikes("mmap");
  return hit ? MAP_FAILED : real(where, size, protection, flags, descriptor, at);
}
