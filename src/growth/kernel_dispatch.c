/* Which routines this processor can run. */
#include <stddef.h>

#include "growth/kernel.h"

extern const struct isw_kernel_routines isw_growth_kernel_baseline;
#ifdef ISW_KERNEL_X86
extern const struct isw_kernel_routines isw_growth_kernel_avx2, isw_growth_kernel_avx512;
#endif

const struct isw_kernel_routines *isw_growth_kernel_routines(int index) {
  if (index == 0) return &isw_growth_kernel_baseline;
#ifdef ISW_KERNEL_X86
  if (index == 1 && __builtin_cpu_supports("avx2")) return &isw_growth_kernel_avx2;
  if (index == 2 && __builtin_cpu_supports("avx2") && __builtin_cpu_supports("avx512f"))
    return &isw_growth_kernel_avx512;
#endif
  return NULL;
}

const struct isw_kernel_routines *isw_growth_kernel_best_routines(void) {
  int best = 0;
  while (isw_growth_kernel_routines(best + 1) != NULL) best++;
  return isw_growth_kernel_routines(best);
}
