/* What a workspace holds. Room-internal, and for tests and measurements that look into the room:
 * everyone else sees bytes. */
#ifndef ISW_GROWTH_KERNEL_ROOM_H
#define ISW_GROWTH_KERNEL_ROOM_H

#include "growth/kernel_step.h"
#include "growth/workspace.h"

struct isw_kernel_room {
  struct isw_kernel_tables tables; /* first: every array in it starts on a multiple of 64 bytes */
  const struct isw_kernel_routines *routines;
  struct isw_kernel_recipe recipe;
};
enum { ISW_KERNEL_LINE = 64 };
_Static_assert(sizeof(struct isw_kernel_room) + ISW_KERNEL_LINE <= ISW_GROWTH_WORKSPACE_BYTES,
               "the workspace holds the room from its first multiple of 64 bytes on");

static inline struct isw_kernel_room *isw_growth_room_of(struct isw_growth_workspace *workspace) {
  const uintptr_t start = (uintptr_t)workspace->memory;
  return (struct isw_kernel_room *)(void *)(workspace->memory +
                                            (ISW_KERNEL_LINE - start % ISW_KERNEL_LINE) %
                                                ISW_KERNEL_LINE);
}

#endif
