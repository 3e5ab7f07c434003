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

/* A pool's queue orders what was before a push before the work, and the work before the end of
 * g_thread_pool_free with wait. */
struct watched_work {
  GFunc work;
  gpointer user;
};
static char pushed, worked; /* addresses that stand for the two orders */

static void do_watched_work(gpointer data, gpointer watched) {
  const struct watched_work *real = watched;
  __tsan_acquire(&pushed);
  real->work(data, real->user);
  __tsan_release(&worked);
}

GThreadPool *(g_thread_pool_new)(GFunc work, gpointer user, gint most, gboolean exclusive,
                                 GError **error) {
  GThreadPool *(*real)(GFunc, gpointer, gint, gboolean, GError **);
  FIND_REAL(g_thread_pool_new);
  struct watched_work *watched = g_new(struct watched_work, 1); /* lives as long as the program */
  *watched = (struct watched_work){work, user};
  __tsan_release(&pushed);
  return real(do_watched_work, watched, most, exclusive, error);
}

gboolean(g_thread_pool_push)(GThreadPool *pool, gpointer data, GError **error) {
  gboolean (*real)(GThreadPool *, gpointer, GError **);
  FIND_REAL(g_thread_pool_push);
  __tsan_release(&pushed);
  return real(pool, data, error);
}

void(g_thread_pool_free)(GThreadPool *pool, gboolean at_once, gboolean wait) {
  void (*real)(GThreadPool *, gboolean, gboolean);
  FIND_REAL(g_thread_pool_free);
  real(pool, at_once, wait);
  if (wait) __tsan_acquire(&worked);
}
