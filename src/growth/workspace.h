/* A workspace as those see it who only hold one; what it holds: growth/kernel_room.h. */
#ifndef ISW_GROWTH_WORKSPACE_H
#define ISW_GROWTH_WORKSPACE_H

#include <stddef.h>

/* Memory of one worker for one plan, of which a common sheet touches a fifth. To be started once
 * before its first place, and not moved or copied after. */
enum { ISW_GROWTH_WORKSPACE_BYTES = 2560 * 1024 };
struct isw_growth_workspace {
  _Alignas(max_align_t) unsigned char memory[ISW_GROWTH_WORKSPACE_BYTES];
};

#endif
