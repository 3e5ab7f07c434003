/* The routines of one kind of processor, gathered under one name. */
#include "growth/kernel.h"
#include "growth/kernel_lanes.h"

#define ROUTINE(name) ISW_KERNEL_NAME(isw_growth_kernel_##name)
#define ISW_KERNEL_TEXT(text) #text
#define ISW_KERNEL_TEXT_EXPANDED(text) ISW_KERNEL_TEXT(text)

void ROUTINE(days)(const struct isw_kernel_recipe *recipe, const struct isw_normals *normals,
                   struct isw_kernel_tables *tables);
#define STEP_ROUTINE(name)                                                                       \
  void ROUTINE(name)(const struct isw_kernel_recipe *recipe, const struct isw_kernel_step *step, \
                     struct isw_kernel_tables *tables)
STEP_ROUTINE(ramp);
STEP_ROUTINE(fit);
STEP_ROUTINE(kill);
STEP_ROUTINE(chilling);
STEP_ROUTINE(clock);
STEP_ROUTINE(segment);
STEP_ROUTINE(score);
void ROUTINE(years)(const struct isw_kernel_recipe *recipe, const struct isw_kernel_batch *batch,
                    struct isw_kernel_tables *tables);
int32_t ROUTINE(most)(const int32_t *keys, int n);
void ROUTINE(top)(const int32_t *keys, int n, struct isw_kernel_top *out);
float ROUTINE(most_fit)(const float *fit, int n);
int ROUTINE(first_fit)(const float *fit, int n, float least);

/* Sixteen neighbouring days spread over more lengths than a clock's window holds far more often
 * than eight do: there the narrower clock is quicker. */
#if LANES == 16
#define CLOCK isw_growth_kernel_clock_avx2
void CLOCK(const struct isw_kernel_recipe *recipe, const struct isw_kernel_step *step,
           struct isw_kernel_tables *tables);
#else
#define CLOCK ROUTINE(clock)
#endif

extern const struct isw_kernel_routines ISW_KERNEL_NAME(isw_growth_kernel);
const struct isw_kernel_routines ISW_KERNEL_NAME(isw_growth_kernel) = {
    .name = ISW_KERNEL_TEXT_EXPANDED(ISW_KERNEL_VARIANT),
    .days = ROUTINE(days),
    .ramp = ROUTINE(ramp),
    .fit = ROUTINE(fit),
    .kill = ROUTINE(kill),
    .chilling = ROUTINE(chilling),
    .clock = CLOCK,
    .segment = ROUTINE(segment),
    .score = ROUTINE(score),
    .years = ROUTINE(years),
    .most = ROUTINE(most),
    .top = ROUTINE(top),
    .most_fit = ROUTINE(most_fit),
    .first_fit = ROUTINE(first_fit)};
