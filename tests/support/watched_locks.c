/* GLib's locks, so that ThreadSanitizer sees them. GLib makes them of the kernel's futexes, in a
 * library not built for it: without these wrappers, every hand-over in the queue of blocks looks
 * like a race. Each calls GLib's own and says what it orders. Linked into programs of such builds
 * only, where these names come before the library's. */
#define _GNU_SOURCE

#include <dlfcn.h>
#include <glib.h>
#include <sanitizer/tsan_interface.h>
#include <stdlib.h>
#include <string.h>

/* dlsym gives a pointer to data; ISO C has no cast from it to a function. */
#define FIND_REAL(function)                                            \
  static _Atomic(void *) found;                                        \
  void *address = found != NULL ? found : dlsym(RTLD_NEXT, #function); \
  if (address == NULL) abort();                                        \
  found = address;                                                     \
  memcpy(&real, &address, sizeof real)

void(g_mutex_lock)(GMutex *mutex) {
  void (*real)(GMutex *);
  FIND_REAL(g_mutex_lock);
  real(mutex);
  __tsan_acquire(mutex);
}

gboolean(g_mutex_trylock)(GMutex *mutex) {
  gboolean (*real)(GMutex *);
  FIND_REAL(g_mutex_trylock);
  gboolean taken = real(mutex);
  if (taken) __tsan_acquire(mutex);
  return taken;
}

void(g_mutex_unlock)(GMutex *mutex) {
  void (*real)(GMutex *);
  FIND_REAL(g_mutex_unlock);
  __tsan_release(mutex);
  real(mutex);
}

void(g_cond_wait)(GCond *cond, GMutex *mutex) {
  void (*real)(GCond *, GMutex *);
  FIND_REAL(g_cond_wait);
  __tsan_release(mutex);
  real(cond, mutex);
  __tsan_acquire(mutex);
}
