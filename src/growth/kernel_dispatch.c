/* Which routines this processor can run. */
#include <stddef.h>

#include "growth/kernel.h"

extern const struct isw_kernel_routines isw_growth_kernel_baseline;
#ifdef ISW_KERNEL_X86
extern const struct isw_kernel_routines isw_growth_kernel_portable, isw_growth_kernel_avx2,
    isw_growth_kernel_avx512;
#endif

const struct isw_kernel_routines *isw_growth_kernel_routines(int index) {
#ifdef ISW_KERNEL_X86
  switch (index) {
    case 0: return &isw_growth_kernel_portable;
    case 1: return &isw_growth_kernel_baseline;
    case 2: return __builtin_cpu_supports("avx2") ? &isw_growth_kernel_avx2 : NULL;
    case 3:
      return __builtin_cpu_supports("avx2") && __builtin_cpu_supports("avx512f")
                 ? &isw_growth_kernel_avx512
                 : NULL;
    default: return NULL;
  }
#else
  return index == 0 ? &isw_growth_kernel_baseline : NULL;
#endif
}

const struct isw_kernel_routines *isw_growth_kernel_best_routines(void) {
  int best = 0;
  while (isw_growth_kernel_routines(best + 1) != NULL) best++;
  return isw_growth_kernel_routines(best);
}
