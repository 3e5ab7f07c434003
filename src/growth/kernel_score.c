/* Chains of stages, and from them the score of every sowing day (method, equations 7-11).
 * The drawing is in growth/kernel.h. */
#include <assert.h>

#include "growth/kernel.h"
#include "growth/kernel_lanes.h"
#include "growth/kernel_points.h"
#include "growth/kernel_sums.h"

void ISW_KERNEL_NAME(isw_growth_kernel_segment)(const struct isw_kernel_recipe *recipe,
                                                const struct isw_kernel_step *step,
                                                struct isw_kernel_tables *tables);
void ISW_KERNEL_NAME(isw_growth_kernel_score)(const struct isw_kernel_recipe *recipe,
                                              const struct isw_kernel_step *step,
                                              struct isw_kernel_tables *tables);

/* What a segment is made of: the first stage's tables, and the segment that follows. Kill and
 * chilling: what is looked up at the stage's end, its own running sum, and that of the stage
 * before; zeros where there is none. */
struct segment_tables {
  const int32_t *end, *fit;
  int at_most_days;
  const struct isw_kernel_segment *next; /* where there is one */
  const int32_t *kill_at_end, *kill, *kill_before;
  const int32_t *chill_at_end, *chill, *chill_before;
};

struct segment_flags {
  bool has_next, counts, kills, chills;
};

/* One vector of start days, `here`. The flags are constants where this is called, so that each call
 * is code of its own. */
static inline __attribute__((always_inline)) void chain_days(struct segment_tables parts, int day,
                                                             lanes_i here, enum lanes_spread spread,
                                                             struct segment_flags flags,
                                                             struct isw_kernel_segment *segment) {
  const struct lanes_place place = place_of(parts.end + day);
  const lanes_i days = i_load(parts.end + day) - here;
  const lanes_f never = f_all(ISW_KERNEL_NEVER_FIT);
  lanes_m ripe = m_not(i_less(i_all(parts.at_most_days), days));
  lanes_f next_fit = never;
  if (flags.has_next) {
    next_fit = f_take(parts.next->fit, &place, spread);
    ripe = m_and(ripe, f_less(never, next_fit));
  }
  if (flags.counts) {
    lanes_i length = days;
    if (flags.has_next) length += i_take(parts.next->length, &place, spread);
    i_store(segment->length + day, length);
  }
  if (!m_any(ripe)) { /* nobody asks what they would have suffered */
    f_store(segment->fit + day, never);
    return;
  }
  const lanes_i fit_sum = i_take(parts.fit, &place, spread) - i_load(parts.fit + day);
  lanes_f fit = f_of_i(fit_sum) / f_of_i(days);
  if (flags.has_next) fit = f_min(fit, next_fit);
  f_store(segment->fit + day, f_if(ripe, fit, never));
  if (flags.kills)
    i_store(segment->kill + day,
            i_sum(i_take(parts.kill_at_end, &place, spread) - i_load(parts.kill + day),
                  i_load(parts.kill_before + day)));
  if (flags.chills)
    i_store(segment->chill + day,
            i_sum(i_take(parts.chill_at_end, &place, spread) - i_load(parts.chill + day),
                  i_load(parts.chill_before + day)));
}

/* Ends never fall from one start day to the next, and lie within the tables. */
static inline void check_ends(const int32_t *end, int day) {
  for (int i = 0; i < LANES; i++) {
    assert(end[day + i] > day + i && end[day + i] < ISW_KERNEL_SPAN - 2 * LANES);
    assert(i == 0 || end[day + i] >= end[day + i - 1]);
  }
  (void)end;
  (void)day;
}

static inline __attribute__((always_inline)) void chain_stage(struct segment_tables parts,
                                                              struct segment_flags flags,
                                                              struct isw_kernel_segment *segment) {
  lanes_i here = i_lane_numbers();
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES, here += LANES) {
    check_ends(parts.end, day);
    switch (spread_of(parts.end + day)) {
      case LANES_IN_ONE: chain_days(parts, day, here, LANES_IN_ONE, flags, segment); break;
      case LANES_IN_TWO: chain_days(parts, day, here, LANES_IN_TWO, flags, segment); break;
      case LANES_FAR: chain_days(parts, day, here, LANES_FAR, flags, segment); break;
    }
  }
}

static inline __attribute__((always_inline)) void chain_next(struct segment_tables parts,
                                                             bool has_next, bool counts,
                                                             int kills_chills,
                                                             struct isw_kernel_segment *segment) {
  switch (kills_chills) {
    case 0:
      chain_stage(parts, (struct segment_flags){has_next, counts, false, false}, segment);
      break;
    case 1:
      chain_stage(parts, (struct segment_flags){has_next, counts, false, true}, segment);
      break;
    case 2:
      chain_stage(parts, (struct segment_flags){has_next, counts, true, false}, segment);
      break;
    case 3:
      chain_stage(parts, (struct segment_flags){has_next, counts, true, true}, segment);
      break;
  }
}

static void chain_any(struct segment_tables parts, struct segment_flags flags,
                      struct isw_kernel_segment *segment) {
  const int kills_chills = (flags.kills ? 2 : 0) + (flags.chills ? 1 : 0);
  if (flags.has_next && flags.counts)
    chain_next(parts, true, true, kills_chills, segment);
  else if (flags.has_next)
    chain_next(parts, true, false, kills_chills, segment);
  else if (flags.counts)
    chain_next(parts, false, true, kills_chills, segment);
  else
    chain_next(parts, false, false, kills_chills, segment);
}

/* Past a year nothing matures; the cut keeps ends within the tables, and in order. */
static void store_ends(struct isw_kernel_segment *segment) {
  lanes_i here = i_lane_numbers();
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES, here += LANES)
    i_store(segment->end + day,
            i_min(i_load(segment->length + day), i_all(ISW_KERNEL_LONGEST)) + here);
}

void ISW_KERNEL_NAME(isw_growth_kernel_segment)(const struct isw_kernel_recipe *recipe,
                                                const struct isw_kernel_step *step,
                                                struct isw_kernel_tables *tables) {
  const struct isw_kernel_node *node = &recipe->nodes[step->what];
  const struct isw_kernel_stage *stage = &recipe->stages[node->stage];
  struct isw_kernel_segment *segment = &tables->segment[step->slot];
  const int32_t *zero = tables->zero;
  const bool has_next = node->next != ISW_KERNEL_NONE;
  const struct isw_kernel_segment *next = has_next ? &tables->segment[step->next_slot] : NULL;
  struct segment_tables parts = {
      .end = tables->end[step->end_slot],
      .fit = tables->fit[step->fit_slot],
      .at_most_days = recipe->clocks[stage->clock].at_most_days,
      .next = next,
      .kill = stage->kill == ISW_KERNEL_NONE ? zero : tables->kill[step->kill_slot],
      .kill_before =
          node->before_kill == ISW_KERNEL_NONE ? zero : tables->kill[step->before_kill_slot],
      .chill = stage->chilling == ISW_KERNEL_NONE ? zero : tables->chilling[stage->chilling],
      .chill_before =
          node->before_chill == ISW_KERNEL_NONE ? zero : tables->chilling[node->before_chill]};
  parts.kill_at_end = has_next && recipe->nodes[node->next].kills ? next->kill : parts.kill;
  parts.chill_at_end = has_next && recipe->nodes[node->next].chills ? next->chill : parts.chill;
  const struct segment_flags flags = {
      .has_next = has_next, .counts = node->counts, .kills = node->kills, .chills = node->chills};
  chain_any(parts, flags, segment);
  if (node->is_head) store_ends(segment);
  if (!node->looked_up) return;
  if (node->counts) days_carry_on(segment->length, recipe->reach);
  days_carry_on((int32_t *)(void *)segment->fit, recipe->reach);
  if (node->kills) sums_carry_on(segment->kill, parts.kill_before[ISW_YEAR_DAYS], recipe->reach);
  if (node->chills) sums_carry_on(segment->chill, parts.chill_before[ISW_YEAR_DAYS], recipe->reach);
}

/* What a programme's score is made of: its first stages' segment where it shares them, and the
 * segment of the rest. Kill and chill are zeros where there is none. */
struct score_tables {
  bool has_head, head_suffers; /* kills or chills */
  bool counts;
  const int32_t *head_end, *head_kill, *head_chill;
  const float *head_fit;
  const int32_t *rest_length, *rest_kill, *rest_chill;
  const float *rest_fit;
  struct score_odds odds;
  int32_t good_key; /* what a good day adds to its key */
};

static struct score_tables parts_of(const struct isw_kernel_recipe *recipe,
                                    const struct isw_kernel_programme *programme,
                                    const struct isw_kernel_tables *tables) {
  const int32_t *zero = tables->zero;
  const struct isw_kernel_segment *rest = &tables->segment[programme->rest_slot];
  struct score_tables parts = {.counts = programme->counts,
                               .rest_length = rest->length,
                               .rest_fit = rest->fit,
                               .rest_kill = programme->rest_kills ? rest->kill : zero,
                               .rest_chill = programme->rest_chills ? rest->chill : zero,
                               .odds = odds_of(recipe, programme),
                               .good_key = recipe->least_years > 0 ? 0 : ISW_KERNEL_RANK};
  if (programme->head_slot != ISW_KERNEL_NONE) {
    const struct isw_kernel_segment *head = &tables->segment[programme->head_slot];
    parts.has_head = true;
    parts.head_suffers = programme->head_kills || programme->head_chills;
    parts.head_end = head->end;
    parts.head_fit = head->fit;
    parts.head_kill = programme->head_kills ? head->kill : zero;
    parts.head_chill = programme->head_chills ? head->chill : zero;
  }
  return parts;
}

static inline void store_scores(struct isw_kernel_scores *scores, int day, lanes_i key,
                                lanes_f fit) {
  i_store(scores->key + day, key);
  i_store(scores->key + ISW_YEAR_DAYS + day, key);
  f_store(scores->fit + day, fit);
}

/* Of the rest's table: what follows the head. */
static inline __attribute__((always_inline)) lanes_i rest_of(struct score_tables parts,
                                                             const int32_t *table, int day,
                                                             struct lanes_place place,
                                                             enum lanes_spread spread) {
  return parts.has_head ? i_take(table, &place, spread) : i_load(table + day);
}

/* One vector of sowing days, `here`. */
static inline __attribute__((always_inline)) void score_vector(struct score_tables parts, int day,
                                                               lanes_i here,
                                                               enum lanes_spread spread,
                                                               struct isw_kernel_scores *scores) {
  const lanes_i none = {0};
  const lanes_f never = f_all(ISW_KERNEL_NEVER_FIT);
  struct lanes_place place = {0};
  if (parts.has_head) place = place_of(parts.head_end + day);
  lanes_f fit = parts.has_head
                    ? f_min(f_take(parts.rest_fit, &place, spread), f_load(parts.head_fit + day))
                    : f_load(parts.rest_fit + day);
  /* Ripe: every stage ends, and within a year. */
  lanes_m ripe = f_less(never * 0.5f, fit);
  if (parts.counts) {
    lanes_i length = rest_of(parts, parts.rest_length, day, place, spread);
    if (parts.has_head) length += i_load(parts.head_end + day) - here;
    ripe = m_and(ripe, i_less(length, i_all(ISW_KERNEL_LONGEST)));
  }
  fit = f_if(ripe, fit, never);
  if (!m_any(f_less(f_all(0.0f), fit))) { /* every score is 0 */
    store_scores(scores, day, none, fit);
    return;
  }
  lanes_i kill = rest_of(parts, parts.rest_kill, day, place, spread);
  lanes_i chill = rest_of(parts, parts.rest_chill, day, place, spread);
  if (parts.head_suffers) {
    kill += i_load(parts.head_kill + day);
    chill += i_load(parts.head_chill + day);
  }
  const lanes_i tenths = i_if(ripe, score_tenths(&parts.odds, fit, kill, chill), none);
  const lanes_m good = is_good(&parts.odds, tenths, kill, chill);
  store_scores(scores, day, tenths + i_if(good, i_all(parts.good_key), none), fit);
  scores->good[day / 64] |= m_bits(good) << (day % 64);
}

static inline __attribute__((always_inline)) void score_days(struct score_tables parts,
                                                             struct isw_kernel_scores *scores) {
  lanes_i here = i_lane_numbers();
  for (int day = 0; day < ISW_KERNEL_ROW; day += LANES, here += LANES) {
    if (parts.has_head) check_ends(parts.head_end, day);
    const enum lanes_spread spread =
        parts.has_head ? spread_of(parts.head_end + day) : LANES_IN_ONE;
    switch (spread) {
      case LANES_IN_ONE: score_vector(parts, day, here, LANES_IN_ONE, scores); break;
      case LANES_IN_TWO: score_vector(parts, day, here, LANES_IN_TWO, scores); break;
      case LANES_FAR: score_vector(parts, day, here, LANES_FAR, scores); break;
    }
  }
}

void ISW_KERNEL_NAME(isw_growth_kernel_score)(const struct isw_kernel_recipe *recipe,
                                              const struct isw_kernel_step *step,
                                              struct isw_kernel_tables *tables) {
  struct score_tables parts = parts_of(recipe, &recipe->programmes[step->what], tables);
  struct isw_kernel_scores *scores = &tables->scores[step->slot];
  memset(scores->good, 0, sizeof scores->good);
  if (parts.has_head && !parts.head_suffers && !parts.counts) {
    parts.has_head = true; /* said again for the compiler: the usual case gets code of its own */
    parts.head_suffers = parts.counts = false;
    score_days(parts, scores);
  } else {
    score_days(parts, scores);
  }
}
