/* Chains of stages, and from them the score of every sowing day (method, equations 7-11).
 * The drawing is in growth/kernel.h. */
#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/kernel_sums.h"

void ISW_KERNEL_NAME(isw_growth_kernel_segment)(const struct isw_kernel_program *program,
                                                const struct isw_kernel_step *step,
                                                struct isw_kernel_tables *tables);
void ISW_KERNEL_NAME(isw_growth_kernel_score)(const struct isw_kernel_program *program,
                                              const struct isw_kernel_step *step,
                                              struct isw_kernel_tables *tables);
int ISW_KERNEL_NAME(isw_growth_kernel_largest)(const int32_t *keys, int n);

/* Sums of one kind along the chain: the first stage's own days, then what follows its end. */
static void add_along(const int32_t *end, const int32_t *own, const int32_t *next, int32_t *to) {
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    const struct lanes_place place = place_of(end + day);
    lanes_i sum = {0};
    if (own != NULL) sum += i_take(own, &place) - i_load(own + day);
    if (next != NULL) sum += i_take(next, &place);
    i_store(to + day, sum);
  }
}

static void chain_lengths(const struct isw_kernel_ends *first,
                          const struct isw_kernel_segment *next,
                          struct isw_kernel_segment *segment) {
  const lanes_i numbers = i_lane_numbers();
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    const struct lanes_place place = place_of(first->end + day);
    lanes_i length = i_load(first->end + day) - numbers - day;
    lanes_f fit = f_load(first->fit + day);
    if (next != NULL) {
      length += i_take(next->length, &place);
      fit = f_min(fit, f_take(next->fit, &place));
    }
    i_store(segment->length + day, i_min(length, i_all(ISW_KERNEL_LONGEST)));
    f_store(segment->fit + day, fit);
  }
}

void ISW_KERNEL_NAME(isw_growth_kernel_segment)(const struct isw_kernel_program *program,
                                                const struct isw_kernel_step *step,
                                                struct isw_kernel_tables *tables) {
  const struct isw_kernel_node *node = &program->nodes[step->what];
  const struct isw_kernel_node *next_node =
      node->next == ISW_KERNEL_NONE ? NULL : &program->nodes[node->next];
  const struct isw_kernel_segment *next =
      next_node == NULL ? NULL : &tables->segment[step->next_slot];
  const struct isw_kernel_ends *ends = &tables->clock[step->clock_slot];
  struct isw_kernel_segment *segment = &tables->segment[step->slot];

  chain_lengths(ends, next, segment);
  days_carry_on(segment->length, program->reach);
  days_carry_on((int32_t *)(void *)segment->fit, program->reach);
  if (node->kills) {
    add_along(ends->end, step->kill_slot == ISW_KERNEL_NONE ? NULL : tables->kill[step->kill_slot],
              next != NULL && next_node->kills ? next->kill : NULL, segment->kill);
    days_carry_on(segment->kill, program->reach);
  }
  if (node->chills) {
    add_along(ends->end,
              step->chilling == ISW_KERNEL_NONE ? NULL : tables->chilling[step->chilling],
              next != NULL && next_node->chills ? next->chill : NULL, segment->chill);
    days_carry_on(segment->chill, program->reach);
  }
}

/* exp(-kill), kill in units: 2 to a whole power by the exponent's bits, the rest (-1/2..1/2) by a
 * polynomial fitted here to a relative error of 2e-9. */
static inline lanes_f survival(lanes_i kill) {
  static const float per_unit = 1.44269504089f / ISW_KERNEL_UNITS;
  lanes_f x = f_clamp(f_of_i(kill) * per_unit, 0.0f, 100.0f);
  lanes_i whole = i_of_f(x + 0.5f);
  lanes_f f = f_of_i(whole) - x;
  lanes_f p = f * 0.00015345811576f + 0.00133999312149f;
  p = p * f + 0.00961848895871f;
  p = p * f + 0.0555032877698f;
  p = p * f + 0.240226468906f;
  p = p * f + 0.693147205737f;
  p = p * f + 1.0f;
  return f_of_bits((lanes_i)p - (whole << 23));
}

/* What a sowing day adds up to, from both segments. */
struct whole_run {
  lanes_i length, kill, chill;
  lanes_f fit;
};

static inline struct whole_run rest_alone(const struct isw_kernel_programme *programme,
                                          const struct isw_kernel_segment *rest, int day) {
  return (struct whole_run){.length = i_load(rest->length + day),
                            .fit = f_load(rest->fit + day),
                            .kill = programme->rest_kills ? i_load(rest->kill + day) : i_all(0),
                            .chill = programme->rest_chills ? i_load(rest->chill + day) : i_all(0)};
}

static inline struct whole_run head_and_rest(const struct isw_kernel_programme *programme,
                                             const struct isw_kernel_segment *head,
                                             const struct isw_kernel_segment *rest, int day) {
  int32_t end[LANES];
  lanes_i length = i_load(head->length + day);
  i_store(end, length + i_lane_numbers() + day);
  const struct lanes_place place = place_of(end);
  struct whole_run run = {.length = length + i_take(rest->length, &place),
                          .fit = f_min(f_load(head->fit + day), f_take(rest->fit, &place))};
  if (programme->head_kills) run.kill += i_load(head->kill + day);
  if (programme->rest_kills) run.kill += i_take(rest->kill, &place);
  if (programme->head_chills) run.chill += i_load(head->chill + day);
  if (programme->rest_chills) run.chill += i_take(rest->chill, &place);
  return run;
}

void ISW_KERNEL_NAME(isw_growth_kernel_score)(const struct isw_kernel_program *program,
                                              const struct isw_kernel_step *step,
                                              struct isw_kernel_tables *tables) {
  const struct isw_kernel_programme *programme = &program->programmes[step->what];
  const struct isw_kernel_segment *rest = &tables->segment[programme->rest_slot];
  const bool has_head = programme->head_slot != ISW_KERNEL_NONE;
  const struct isw_kernel_segment *head = &tables->segment[has_head ? programme->head_slot : 0];
  struct isw_kernel_scores *scores = &tables->scores;
  memset(scores->good, 0, sizeof scores->good);
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES) {
    const struct whole_run run =
        has_head ? head_and_rest(programme, head, rest, day) : rest_alone(programme, rest, day);
    /* Ripe: every stage ends, and within a year. */
    lanes_m ripe =
        m_and(i_less(run.length, i_all(ISW_KERNEL_LONGEST)), m_not(f_less(run.fit, f_all(0.0f))));
    lanes_f score = f_max(run.fit, f_all(0.0f)) * 1000.0f;
    if (programme->head_kills || programme->rest_kills) score *= survival(run.kill);
    if (programme->per_bolts > 0.0f)
      score *= f_clamp((programme->bolts_all - f_of_i(run.chill) * (1.0f / ISW_KERNEL_UNITS)) *
                           programme->per_bolts,
                       0.0f, 1.0f);
    lanes_i tenths = i_if(ripe, i_of_f(score + 0.5f), i_all(0));
    lanes_m good = m_and(m_not(i_less(tenths, i_all(program->good_tenths))),
                         m_and(i_less(run.kill, i_all(programme->doubtful_kill)),
                               i_less(run.chill, i_all(programme->doubtful_chill))));
    lanes_i key = tenths + i_if(good, i_all(ISW_KERNEL_GOOD), i_all(0));
    i_store(scores->key + day, key);
    i_store(scores->key + ISW_YEAR_DAYS + day, key);
    f_store(scores->fit + day, f_if(ripe, run.fit, f_all(-1.0f)));
    scores->good[day / 64] |= m_bits(good) << (day % 64);
  }
}

int ISW_KERNEL_NAME(isw_growth_kernel_largest)(const int32_t *keys, int n) {
  int32_t most = keys[0];
  if (n >= LANES) {
    lanes_i largest = i_load(keys + n - LANES);
    for (int i = 0; i + LANES < n; i += LANES) largest = i_max(largest, i_load(keys + i));
    for (int lane = 0; lane < LANES; lane++) most = largest[lane] > most ? largest[lane] : most;
    for (int i = 0; i + LANES <= n; i += LANES) {
      uint64_t below = m_bits(i_less(i_load(keys + i), i_all(most)));
      uint64_t all = (1u << LANES) - 1;
      if (below != all) return i + __builtin_ctzll(~below);
    }
    for (int i = n - n % LANES; i < n; i++)
      if (keys[i] == most) return i;
  }
  int first = 0;
  for (int i = 1; i < n; i++)
    if (keys[i] > keys[first]) first = i;
  return first;
}
