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

/* What a segment is made of: the first stage's tables, and the segment that follows. */
struct segment_parts {
  const int32_t *end, *fit;
  int at_most_days;
  const int32_t *kill, *chilling;        /* running sums; zeros where there is none */
  const struct isw_kernel_segment *next; /* or NULL */
  const int32_t *next_kill, *next_chill; /* zeros where there is none */
};

/* One vector of start days, `here`. The flags are constants where this is called, so that each call
 * is code of its own. */
static inline __attribute__((always_inline)) void chain_days(struct segment_parts parts, int day,
                                                             lanes_i here, enum lanes_spread spread,
                                                             bool has_next, bool kills, bool chills,
                                                             struct isw_kernel_segment *segment) {
  const struct lanes_place place = place_of(parts.end + day);
  const lanes_i days = i_load(parts.end + day) - here;
  const lanes_f never = f_all(ISW_KERNEL_NEVER_FIT);
  lanes_m ripe = m_not(i_less(i_all(parts.at_most_days), days));
  lanes_i length = days;
  lanes_f next_fit = never;
  if (has_next) {
    length += i_take(parts.next->length, &place, spread);
    next_fit = f_take(parts.next->fit, &place, spread);
    ripe = m_and(ripe, f_less(never, next_fit));
  }
  i_store(segment->length + day, length);
  if (!m_any(ripe)) { /* nobody asks what they would have suffered */
    f_store(segment->fit + day, never);
    return;
  }
  const lanes_i fit_sum = i_take(parts.fit, &place, spread) - i_load(parts.fit + day);
  lanes_f fit = f_of_i(fit_sum) / f_of_i(days);
  if (has_next) fit = f_min(fit, next_fit);
  f_store(segment->fit + day, f_if(ripe, fit, never));
  if (kills) {
    lanes_i kill = i_take(parts.kill, &place, spread) - i_load(parts.kill + day);
    if (has_next) kill += i_take(parts.next_kill, &place, spread);
    i_store(segment->kill + day, kill);
  }
  if (chills) {
    lanes_i chill = i_take(parts.chilling, &place, spread) - i_load(parts.chilling + day);
    if (has_next) chill += i_take(parts.next_chill, &place, spread);
    i_store(segment->chill + day, chill);
  }
}

static inline __attribute__((always_inline)) void chain_stage(struct segment_parts parts,
                                                              bool has_next, bool kills,
                                                              bool chills,
                                                              struct isw_kernel_segment *segment) {
  lanes_i here = i_lane_numbers();
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES, here += LANES) {
    switch (spread_of(parts.end + day)) {
      case LANES_IN_ONE:
        chain_days(parts, day, here, LANES_IN_ONE, has_next, kills, chills, segment);
        break;
      case LANES_IN_TWO:
        chain_days(parts, day, here, LANES_IN_TWO, has_next, kills, chills, segment);
        break;
      case LANES_FAR:
        chain_days(parts, day, here, LANES_FAR, has_next, kills, chills, segment);
        break;
    }
  }
}

static void chain_any(struct segment_parts parts, bool kills, bool chills,
                      struct isw_kernel_segment *segment) {
  const int which = (parts.next != NULL ? 4 : 0) + (kills ? 2 : 0) + (chills ? 1 : 0);
  switch (which) {
    case 0: chain_stage(parts, false, false, false, segment); break;
    case 1: chain_stage(parts, false, false, true, segment); break;
    case 2: chain_stage(parts, false, true, false, segment); break;
    case 3: chain_stage(parts, false, true, true, segment); break;
    case 4: chain_stage(parts, true, false, false, segment); break;
    case 5: chain_stage(parts, true, false, true, segment); break;
    case 6: chain_stage(parts, true, true, false, segment); break;
    case 7: chain_stage(parts, true, true, true, segment); break;
  }
}

/* Past a year nothing matures; the cut keeps ends within the tables, and in order. */
static void store_ends(struct isw_kernel_segment *segment) {
  lanes_i here = i_lane_numbers();
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES, here += LANES)
    i_store(segment->end + day,
            i_min(i_load(segment->length + day), i_all(ISW_KERNEL_LONGEST)) + here);
}

void ISW_KERNEL_NAME(isw_growth_kernel_segment)(const struct isw_kernel_program *program,
                                                const struct isw_kernel_step *step,
                                                struct isw_kernel_tables *tables) {
  const struct isw_kernel_node *node = &program->nodes[step->what];
  const struct isw_kernel_stage *stage = &program->stages[node->stage];
  struct isw_kernel_segment *segment = &tables->segment[step->slot];
  struct segment_parts parts = {
      .end = tables->end[step->end_slot],
      .fit = tables->fit[step->fit_slot],
      .at_most_days = program->clocks[stage->clock].at_most_days,
      .kill = stage->kill == ISW_KERNEL_NONE ? tables->zero : tables->kill[step->kill_slot],
      .chilling =
          stage->chilling == ISW_KERNEL_NONE ? tables->zero : tables->chilling[stage->chilling],
      .next = NULL};
  if (node->next != ISW_KERNEL_NONE) {
    parts.next = &tables->segment[step->next_slot];
    parts.next_kill = program->nodes[node->next].kills ? parts.next->kill : tables->zero;
    parts.next_chill = program->nodes[node->next].chills ? parts.next->chill : tables->zero;
  }
  chain_any(parts, node->kills, node->chills, segment);
  if (node->is_head) store_ends(segment);
  if (!node->looked_up) return;
  days_carry_on(segment->length, program->reach);
  days_carry_on((int32_t *)(void *)segment->fit, program->reach);
  if (node->kills) days_carry_on(segment->kill, program->reach);
  if (node->chills) days_carry_on(segment->chill, program->reach);
}

/* exp(-kill), kill in units: 2 to a whole power by the exponent's bits, the rest (-1/2..1/2) by a
 * polynomial fitted here to a relative error of 2e-9. */
static inline lanes_f survival(lanes_i kill) {
  static const float per_unit = 1.44269504089f / ISW_KERNEL_UNITS;
  lanes_f x = f_clamp(f_of_i(kill) * per_unit, 0.0f, 100.0f);
  lanes_i whole = i_of_f(x + 0.5f);
  lanes_f f = f_of_i(whole) - x;
  lanes_f f2 = f * f; /* short chains of operations run side by side */
  lanes_f p = (f * 0.693147205737f + 1.0f) +
              ((f * 0.0555032877698f + 0.240226468906f) +
               ((f * 0.00133999312149f + 0.00961848895871f) + f2 * 0.00015345811576f) * f2) *
                  f2;
  return f_of_bits((lanes_i)p - (whole << 23));
}

/* What a programme's score is made of: its first stages' segment where it shares them, and the
 * segment of the rest. Kill and chill are zeros where there is none. */
struct score_parts {
  bool has_head;
  const int32_t *head_end, *head_kill, *head_chill;
  const float *head_fit;
  const int32_t *rest_length, *rest_kill, *rest_chill;
  const float *rest_fit;
  bool kills, bolts;
  float bolts_all, per_bolts;
  int32_t good_tenths, doubtful_kill, doubtful_chill;
};

static struct score_parts parts_of(const struct isw_kernel_program *program,
                                   const struct isw_kernel_programme *programme,
                                   const struct isw_kernel_tables *tables) {
  const int32_t *zero = tables->zero;
  const struct isw_kernel_segment *rest = &tables->segment[programme->rest_slot];
  struct score_parts parts = {.rest_length = rest->length,
                              .rest_fit = rest->fit,
                              .rest_kill = programme->rest_kills ? rest->kill : zero,
                              .rest_chill = programme->rest_chills ? rest->chill : zero,
                              .kills = programme->head_kills || programme->rest_kills,
                              .bolts = programme->per_bolts > 0.0f,
                              .bolts_all = programme->bolts_all,
                              .per_bolts = programme->per_bolts,
                              .good_tenths = program->good_tenths,
                              .doubtful_kill = programme->doubtful_kill,
                              .doubtful_chill = programme->doubtful_chill};
  if (programme->head_slot != ISW_KERNEL_NONE) {
    const struct isw_kernel_segment *head = &tables->segment[programme->head_slot];
    parts.has_head = true;
    parts.head_end = head->end;
    parts.head_fit = head->fit;
    parts.head_kill = programme->head_kills ? head->kill : zero;
    parts.head_chill = programme->head_chills ? head->chill : zero;
  }
  return parts;
}

/* What sowing days add up to. */
struct whole_run {
  lanes_i length, kill, chill;
  lanes_f fit;
};

static inline __attribute__((always_inline)) struct whole_run rest_at(struct score_parts parts,
                                                                      struct lanes_place place,
                                                                      enum lanes_spread spread) {
  return (struct whole_run){.length = i_take(parts.rest_length, &place, spread),
                            .fit = f_take(parts.rest_fit, &place, spread),
                            .kill = i_take(parts.rest_kill, &place, spread),
                            .chill = i_take(parts.rest_chill, &place, spread)};
}

static inline __attribute__((always_inline)) struct whole_run head_and_rest(
    struct score_parts parts, int day, lanes_i here) {
  const struct lanes_place place = place_of(parts.head_end + day);
  const enum lanes_spread spread = spread_of(parts.head_end + day);
  struct whole_run run = spread == LANES_IN_ONE   ? rest_at(parts, place, LANES_IN_ONE)
                         : spread == LANES_IN_TWO ? rest_at(parts, place, LANES_IN_TWO)
                                                  : rest_at(parts, place, LANES_FAR);
  run.length += i_load(parts.head_end + day) - here;
  run.fit = f_min(run.fit, f_load(parts.head_fit + day));
  run.kill += i_load(parts.head_kill + day);
  run.chill += i_load(parts.head_chill + day);
  return run;
}

static inline __attribute__((always_inline)) struct whole_run rest_alone(struct score_parts parts,
                                                                         int day) {
  return (struct whole_run){.length = i_load(parts.rest_length + day),
                            .fit = f_load(parts.rest_fit + day),
                            .kill = i_load(parts.rest_kill + day),
                            .chill = i_load(parts.rest_chill + day)};
}

/* Tenths of a point, rounded half up. */
static inline __attribute__((always_inline)) lanes_i score_tenths(struct score_parts parts,
                                                                  struct whole_run run) {
  lanes_f score = f_max(run.fit, f_all(0.0f)) * (1000.0f / ISW_KERNEL_UNITS);
  if (parts.kills) score *= survival(run.kill);
  if (parts.bolts) {
    const lanes_f chill = f_of_i(run.chill) * (1.0f / ISW_KERNEL_UNITS);
    score *= f_clamp((parts.bolts_all - chill) * parts.per_bolts, 0.0f, 1.0f);
  }
  return i_of_f(score + 0.5f);
}

static inline void store_scores(struct isw_kernel_scores *scores, int day, lanes_i key,
                                lanes_f fit) {
  i_store(scores->key + day, key);
  i_store(scores->key + ISW_YEAR_DAYS + day, key);
  f_store(scores->fit + day, fit);
}

void ISW_KERNEL_NAME(isw_growth_kernel_score)(const struct isw_kernel_program *program,
                                              const struct isw_kernel_step *step,
                                              struct isw_kernel_tables *tables) {
  const struct score_parts parts = parts_of(program, &program->programmes[step->what], tables);
  struct isw_kernel_scores *scores = &tables->scores;
  const lanes_i none = {0};
  const lanes_f never = f_all(ISW_KERNEL_NEVER_FIT);
  memset(scores->good, 0, sizeof scores->good);
  lanes_i here = i_lane_numbers(); /* the sowing days */
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES, here += LANES) {
    const struct whole_run run =
        parts.has_head ? head_and_rest(parts, day, here) : rest_alone(parts, day);
    /* Ripe: every stage ends, and within a year. */
    const lanes_m ripe =
        m_and(i_less(run.length, i_all(ISW_KERNEL_LONGEST)), f_less(never * 0.5f, run.fit));
    const lanes_f fit = f_if(ripe, run.fit, never);
    if (!m_any(f_less(f_all(0.0f), fit))) { /* every score is 0 */
      store_scores(scores, day, none, fit);
      continue;
    }
    const lanes_i tenths = i_if(ripe, score_tenths(parts, run), none);
    const lanes_m good = m_and(m_not(i_less(tenths, i_all(parts.good_tenths))),
                               m_and(i_less(run.kill, i_all(parts.doubtful_kill)),
                                     i_less(run.chill, i_all(parts.doubtful_chill))));
    store_scores(scores, day, tenths + i_if(good, i_all(ISW_KERNEL_GOOD), none), fit);
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
