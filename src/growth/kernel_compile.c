/* A plan into the kernel's steps: what is distinct gets a number, what is computed gets a slot. */
#include <assert.h>
#include <math.h>
#include <string.h>

#include "growth/kernel.h"
#include "growth/method_numbers.h"
#include "growth/windows.h"

static const float far_off = 1e9f; /* a temperature no place has */

/* Which thing each slot holds, and when it was last asked for. */
struct slots {
  int n;
  int holds[ISW_KERNEL_SEGMENT_SLOTS];
  unsigned used[ISW_KERNEL_SEGMENT_SLOTS];
};

/* The compiler's own notes while it works. */
struct compiler {
  const struct isw_plan *plan;
  struct isw_kernel_recipe *recipe;
  int n_ramps, n_fits, n_kills, n_clocks, n_stages, n_nodes;
  bool any_bolts;
  unsigned now;         /* counts requests */
  unsigned batch_since; /* the first request of the batch at work */
  struct isw_kernel_batch batch;
  /* What it asks for, by number, and how many of each. */
  bool in_batch_ramp[2 * ISW_KERNEL_STAGES], in_batch_fit[ISW_KERNEL_STAGES];
  bool in_batch_kill[ISW_KERNEL_STAGES], in_batch_clock[ISW_KERNEL_STAGES];
  int batch_ramps, batch_fits, batch_kills, batch_clocks;
  bool chilling_done[ISW_KERNEL_SHELTERS];
  struct slots ramps, fits, kills, ends, nodes;
  int16_t stage_of[ISW_PROGRAMMES_MAX][ISW_STAGES_MAX];
};

static float finite(double value) {
  return value > (double)far_off ? far_off : value < -(double)far_off ? -far_off : (float)value;
}

static int32_t in_units(double days) {
  return (int32_t)ceil(days * ISW_KERNEL_UNITS);
}

static void fill_curve(struct isw_kernel_recipe *recipe) {
  for (int j = 0; j < ISW_YEAR_MONTHS; j++) {
    double unit_month[ISW_YEAR_MONTHS] = {0};
    unit_month[j] = 1.0;
    isw_growth_curve_starts(unit_month, recipe->month_starts[j]);
  }
  for (int i = 0; i < ISW_YEAR_MONTHS; i++) {
    double n = isw_base_month_days[i];
    for (int k = 0; k < 32; k++) {
      double u1 = (k + 0.5) / n, u2 = ((k + 0.5) * (k + 0.5) + 1.0 / 12.0) / (n * n);
      double v = u1 - u2;
      recipe->day_weight[0][i][k] = (float)(1.0 - u1 - 3.0 * v);
      recipe->day_weight[1][i][k] = (float)(u1 - 3.0 * v);
      recipe->day_weight[2][i][k] = (float)(6.0 * v);
    }
  }
}

static struct isw_kernel_ramp ramp_of(double foot_C, double top_C) {
  return (struct isw_kernel_ramp){(float)foot_C, (float)top_C, (float)(1.0 / (top_C - foot_C))};
}

static struct isw_kernel_band band_of(const struct isw_band *band) {
  return (struct isw_kernel_band){.rise = ramp_of(band->stops_below_C, band->best_from_C),
                                  .fall = ramp_of(band->best_to_C, band->stops_above_C)};
}

static void fill_season(struct isw_kernel_recipe *recipe, const struct isw_season *season,
                        int south, int s) {
  const struct isw_window days = isw_growth_season_days(season, south == 1);
  uint64_t *set = recipe->season_set[south][s];
  recipe->season_days[south][s] = days;
  memset(set, 0, sizeof recipe->season_set[south][s]);
  for (int i = 0; i < days.days; i++) {
    const int day = isw_base_wrap_day(days.from_day + i);
    set[day / 64] |= UINT64_C(1) << (day % 64);
  }
}

static void fill_shelters(const struct isw_sheet *sheet, struct isw_kernel_recipe *recipe) {
  for (int i = 0; i < sheet->n_shelters; i++) {
    const struct isw_shelter *shelter = &sheet->shelters[i];
    recipe->shelter[i] =
        (struct isw_kernel_shelter){finite(shelter->warm_to_C), finite(shelter->warm_most_K),
                                    finite(shelter->cool_to_C), finite(shelter->cool_most_K)};
  }
  recipe->shelter[ISW_KERNEL_OPEN_GROUND] =
      (struct isw_kernel_shelter){-far_off, far_off, far_off, far_off};
}

static int shelter_number(const struct isw_stage *stage) {
  return stage->shelter == ISW_OPEN_GROUND ? ISW_KERNEL_OPEN_GROUND : stage->shelter;
}

static void use_shelter(struct isw_kernel_recipe *recipe, int shelter) {
  for (int i = 0; i < recipe->n_shelters; i++)
    if (recipe->shelters[i] == shelter) return;
  recipe->shelters[recipe->n_shelters++] = shelter;
}

/* Numbers of distinct things: the same thing gets the same number. */

static int number_ramp(struct compiler *c, int shelter, struct isw_kernel_ramp wanted) {
  struct isw_kernel_sheltered_ramp *all = c->recipe->ramps;
  int i = 0;
  while (i < c->n_ramps &&
         !(all[i].shelter == shelter && all[i].ramp.foot_C == wanted.foot_C &&
           all[i].ramp.top_C == wanted.top_C && all[i].ramp.per_height == wanted.per_height))
    i++;
  assert(i < 2 * ISW_KERNEL_STAGES);
  if (i == c->n_ramps) all[c->n_ramps++] = (struct isw_kernel_sheltered_ramp){shelter, wanted};
  return i;
}

static int number_fit(struct compiler *c, int rise, int fall) {
  struct isw_kernel_fit *all = c->recipe->fits;
  int i = 0;
  while (i < c->n_fits && !(all[i].rise == rise && all[i].fall == fall)) i++;
  if (i == c->n_fits) all[c->n_fits++] = (struct isw_kernel_fit){rise, fall};
  return i;
}

/* The lowest temperature a shelter lets in, or far below any. */
static double warmest_floor_C(const struct isw_kernel_recipe *recipe, int shelter) {
  const struct isw_kernel_shelter *roof = &recipe->shelter[shelter];
  return roof->warm_most_K >= far_off ? (double)roof->warm_to_C : -(double)far_off;
}

static int number_kill(struct compiler *c, const struct isw_stage *stage) {
  if (isinf(stage->dies_below_C)) return ISW_KERNEL_NONE;
  const double floor_C = warmest_floor_C(c->recipe, shelter_number(stage));
  if (stage->dies_below_C - floor_C <
      (double)ISW_KERNEL_SURELY_ALIVE * c->plan->conditions.spread_K)
    return ISW_KERNEL_NONE; /* nothing ever freezes in there */
  struct isw_kernel_kill *all = c->recipe->kills;
  const struct isw_kernel_kill wanted = {shelter_number(stage), (float)stage->dies_below_C};
  int i = 0;
  while (i < c->n_kills &&
         !(all[i].shelter == wanted.shelter && all[i].dies_below_C == wanted.dies_below_C))
    i++;
  if (i == c->n_kills) all[c->n_kills++] = wanted;
  return i;
}

static int number_clock(struct compiler *c, int rise, const struct isw_stage *stage) {
  struct isw_kernel_clock *all = c->recipe->clocks;
  const double days =
      fmin(fmax(stage->days - ISW_METHOD_CLOCK_SLACK_DAYS, 0.0), ISW_KERNEL_LONGEST);
  const struct isw_kernel_clock wanted = {
      rise, in_units(days),
      stage->at_most_days < ISW_YEAR_DAYS ? stage->at_most_days : ISW_YEAR_DAYS};
  int i = 0;
  while (i < c->n_clocks && !(all[i].rise == wanted.rise && all[i].need == wanted.need &&
                              all[i].at_most_days == wanted.at_most_days))
    i++;
  if (i == c->n_clocks) all[c->n_clocks++] = wanted;
  return i;
}

static int number_chilling(const struct compiler *c, const struct isw_stage *stage) {
  if (!stage->chills || !c->any_bolts) return ISW_KERNEL_NONE;
  const int shelter = shelter_number(stage);
  /* Nothing chills where it never gets cold enough. */
  return warmest_floor_C(c->recipe, shelter) >= c->plan->sheet->chilling.stops_above_C
             ? ISW_KERNEL_NONE
             : shelter;
}

static int number_stage(struct compiler *c, const struct isw_stage *stage) {
  struct isw_kernel_stage *all = c->recipe->stages;
  const int shelter = shelter_number(stage);
  const struct isw_kernel_band band = band_of(&stage->band);
  const int rise = number_ramp(c, shelter, band.rise), fall = number_ramp(c, shelter, band.fall);
  const struct isw_kernel_stage wanted = {number_clock(c, rise, stage), number_fit(c, rise, fall),
                                          number_kill(c, stage), number_chilling(c, stage)};
  int i = 0;
  while (i < c->n_stages && !(all[i].clock == wanted.clock && all[i].fit == wanted.fit &&
                              all[i].kill == wanted.kill && all[i].chilling == wanted.chilling))
    i++;
  if (i == c->n_stages) all[c->n_stages++] = wanted;
  return i;
}

/* before: number of the stage before, or NONE. */
static int number_node(struct compiler *c, int stage, int next, int before) {
  struct isw_kernel_node *all = c->recipe->nodes;
  const struct isw_kernel_stage *stages = c->recipe->stages, *own = &stages[stage];
  struct isw_kernel_node wanted = {.stage = stage,
                                   .next = next,
                                   .before_kill = ISW_KERNEL_NONE,
                                   .before_chill = ISW_KERNEL_NONE,
                                   .kills = own->kill != ISW_KERNEL_NONE,
                                   .chills = own->chilling != ISW_KERNEL_NONE};
  if (next != ISW_KERNEL_NONE) {
    all[next].looked_up = true;
    wanted.kills |= all[next].kills;
    wanted.chills |= all[next].chills;
  }
  if (before != ISW_KERNEL_NONE && wanted.kills) wanted.before_kill = stages[before].kill;
  if (before != ISW_KERNEL_NONE && wanted.chills) wanted.before_chill = stages[before].chilling;
  int i = 0;
  while (i < c->n_nodes &&
         !(all[i].stage == stage && all[i].next == next &&
           all[i].before_kill == wanted.before_kill && all[i].before_chill == wanted.before_chill))
    i++;
  assert(i < ISW_KERNEL_NODES);
  if (i == c->n_nodes) all[c->n_nodes++] = wanted;
  return i;
}

/* Slots. */

static void start_slots(struct slots *slots, int n) {
  assert(n <= ISW_KERNEL_SEGMENT_SLOTS);
  slots->n = n;
  for (int i = 0; i < n; i++) {
    slots->holds[i] = ISW_KERNEL_NONE;
    slots->used[i] = 0;
  }
}

/* The slot of a thing; *fresh: it has to be computed into it. */
static int16_t slot_for(struct compiler *c, struct slots *slots, int thing, bool *fresh) {
  int chosen = 0;
  for (int i = 0; i < slots->n; i++) {
    if (slots->holds[i] == thing) {
      chosen = i;
      break;
    }
    if (slots->used[i] < slots->used[chosen]) chosen = i;
  }
  *fresh = slots->holds[chosen] != thing;
  /* What a batch asks for stays until its results are made. */
  assert(slots == &c->nodes || !*fresh || slots->used[chosen] < c->batch_since);
  slots->holds[chosen] = thing;
  slots->used[chosen] = ++c->now;
  return (int16_t)chosen;
}

static void add_step(struct compiler *c, struct isw_kernel_step step) {
  assert(c->recipe->n_steps < ISW_KERNEL_STEPS);
  c->recipe->steps[c->recipe->n_steps++] = step;
}

static int16_t need_ramp(struct compiler *c, int ramp) {
  bool fresh;
  int16_t slot = slot_for(c, &c->ramps, ramp, &fresh);
  if (fresh) {
    use_shelter(c->recipe, c->recipe->ramps[ramp].shelter);
    add_step(c, (struct isw_kernel_step){
                    .work = ISW_KERNEL_DO_RAMP, .what = (int16_t)ramp, .slot = slot});
  }
  return slot;
}

static int16_t need_fit(struct compiler *c, int fit) {
  int16_t rise = need_ramp(c, c->recipe->fits[fit].rise);
  int16_t fall = need_ramp(c, c->recipe->fits[fit].fall);
  bool fresh;
  int16_t slot = slot_for(c, &c->fits, fit, &fresh);
  if (fresh)
    add_step(c, (struct isw_kernel_step){.work = ISW_KERNEL_DO_FIT,
                                         .what = (int16_t)fit,
                                         .slot = slot,
                                         .rise_slot = rise,
                                         .fall_slot = fall});
  return slot;
}

static int16_t need_kill(struct compiler *c, int kill) {
  if (kill == ISW_KERNEL_NONE) return ISW_KERNEL_NONE;
  bool fresh;
  int16_t slot = slot_for(c, &c->kills, kill, &fresh);
  if (fresh) {
    use_shelter(c->recipe, c->recipe->kills[kill].shelter);
    add_step(c, (struct isw_kernel_step){
                    .work = ISW_KERNEL_DO_KILL, .what = (int16_t)kill, .slot = slot});
  }
  return slot;
}

/* Every shelter's chilling has its own table. */
static void need_chilling(struct compiler *c, int chilling) {
  if (chilling == ISW_KERNEL_NONE || c->chilling_done[chilling]) return;
  c->chilling_done[chilling] = true;
  add_step(c,
           (struct isw_kernel_step){.work = ISW_KERNEL_DO_CHILLING, .chilling = (int16_t)chilling});
}

static int16_t need_ends(struct compiler *c, int clock) {
  int16_t rise = need_ramp(c, c->recipe->clocks[clock].rise);
  bool fresh;
  int16_t slot = slot_for(c, &c->ends, clock, &fresh);
  if (fresh)
    add_step(
        c,
        (struct isw_kernel_step){
            .work = ISW_KERNEL_DO_CLOCK, .what = (int16_t)clock, .slot = slot, .rise_slot = rise});
  return slot;
}

/* A chain of stages: what follows is computed first. Chains are at most ISW_STAGES_MAX deep. */
static int16_t need_segment(struct compiler *c, int number) {
  const struct isw_kernel_node *node = &c->recipe->nodes[number];
  const struct isw_kernel_stage *stage = &c->recipe->stages[node->stage];
  int16_t next = node->next == ISW_KERNEL_NONE ? ISW_KERNEL_NONE : need_segment(c, node->next);
  bool fresh;
  int16_t slot = slot_for(c, &c->nodes, number, &fresh);
  if (fresh)
    add_step(c, (struct isw_kernel_step){.work = ISW_KERNEL_DO_SEGMENT,
                                         .what = (int16_t)number,
                                         .slot = slot,
                                         .next_slot = next,
                                         .end_slot = need_ends(c, stage->clock),
                                         .fit_slot = need_fit(c, stage->fit),
                                         .kill_slot = need_kill(c, stage->kill),
                                         .before_kill_slot = need_kill(c, node->before_kill),
                                         .chilling = (int16_t)stage->chilling});
  return slot;
}

/* Whether a programme's stages may take more than a year together. */
static bool may_outlast_year(const struct compiler *c, int programme) {
  int longest = 0;
  for (int k = 0; k < c->recipe->n_stages; k++)
    longest += c->recipe->clocks[c->recipe->stages[c->stage_of[programme][k]].clock].at_most_days;
  return longest >= ISW_KERNEL_LONGEST;
}

/* Lengths of a node and of all that follow it are asked for. */
static void count_chain(struct compiler *c, int node) {
  for (int i = node; i != ISW_KERNEL_NONE; i = c->recipe->nodes[i].next)
    c->recipe->nodes[i].counts = true;
}

/* How many first stages another programme shares with this one; the last stage stays out. */
static int shared_head(const struct compiler *c, int programme) {
  int most = 0, n_stages = c->recipe->n_stages;
  for (int other = 0; other < c->plan->n_programmes; other++) {
    if (other == programme) continue;
    int same = 0;
    while (same < n_stages - 1 && c->stage_of[other][same] == c->stage_of[programme][same]) same++;
    if (same > most) most = same;
  }
  return most;
}

/* Node of stages from..to-1, or NONE. Nothing before `from` is added to it: what is looked up from
 * there is looked up by a score. */
static int chain(struct compiler *c, int programme, int from, int to) {
  int node = ISW_KERNEL_NONE;
  for (int k = to - 1; k >= from; k--) {
    const int before = k > from ? c->stage_of[programme][k - 1] : ISW_KERNEL_NONE;
    node = number_node(c, c->stage_of[programme][k], node, before);
  }
  return node;
}

static void fill_thresholds(const struct isw_programme *source,
                            struct isw_kernel_programme *programme) {
  programme->doubtful_kill = (int32_t)floor(-log(ISW_METHOD_GOOD_SURVIVE) * ISW_KERNEL_UNITS) + 1;
  programme->doubtful_chill = INT32_MAX;
  if (!source->bolts) return;
  double span = source->bolts_all - source->bolts_safe;
  double doubtful =
      floor((source->bolts_all - ISW_METHOD_GOOD_STAY * span) * ISW_KERNEL_UNITS) + 1.0;
  if (doubtful < INT32_MAX) programme->doubtful_chill = (int32_t)doubtful;
  programme->bolts_all = (float)source->bolts_all;
  programme->per_bolts = (float)(1.0 / span);
}

static void add_pairs(struct compiler *c, int number) {
  const struct isw_plan *plan = c->plan;
  struct isw_kernel_programme *programme = &c->recipe->programmes[number];
  programme->first_pair = c->recipe->n_pairs;
  for (int v = 0; v < plan->n_varieties; v++)
    for (int s = 0; s < plan->n_seasons; s++)
      if (plan->programme_of[v][s] == number)
        c->recipe->pairs[c->recipe->n_pairs++] =
            (struct isw_kernel_pair){(int16_t)s, (int16_t)isw_growth_result_index(plan, v, s)};
  programme->n_pairs = c->recipe->n_pairs - programme->first_pair;
}

/* Batches. */

static void end_batch(struct compiler *c) {
  struct isw_kernel_recipe *recipe = c->recipe;
  recipe->batches[recipe->n_batches] = c->batch;
  add_step(
      c, (struct isw_kernel_step){.work = ISW_KERNEL_DO_YEARS, .what = (int16_t)recipe->n_batches});
  recipe->n_batches++;
  c->batch = (struct isw_kernel_batch){.first = c->batch.first + c->batch.n};
  c->batch_since = c->now + 1;
  c->batch_ramps = c->batch_fits = c->batch_kills = c->batch_clocks = 0;
  memset(c->in_batch_ramp, 0, sizeof c->in_batch_ramp);
  memset(c->in_batch_fit, 0, sizeof c->in_batch_fit);
  memset(c->in_batch_kill, 0, sizeof c->in_batch_kill);
  memset(c->in_batch_clock, 0, sizeof c->in_batch_clock);
}

static void take_in(bool *in_batch, int thing, int *count) {
  if (thing == ISW_KERNEL_NONE || in_batch[thing]) return;
  in_batch[thing] = true;
  ++*count;
}

static void take_in_programme(struct compiler *c, int number) {
  for (int k = 0; k < c->recipe->n_stages; k++) {
    const struct isw_kernel_stage *stage = &c->recipe->stages[c->stage_of[number][k]];
    const struct isw_kernel_fit fit = c->recipe->fits[stage->fit];
    take_in(c->in_batch_ramp, fit.rise, &c->batch_ramps);
    take_in(c->in_batch_ramp, fit.fall, &c->batch_ramps);
    take_in(c->in_batch_fit, stage->fit, &c->batch_fits);
    take_in(c->in_batch_kill, stage->kill, &c->batch_kills);
    take_in(c->in_batch_clock, stage->clock, &c->batch_clocks);
  }
}

/* The next programme joins the batch, or begins the next where it has no room. */
static void join_batch(struct compiler *c, int number) {
  take_in_programme(c, number);
  const bool full = c->batch.n == ISW_KERNEL_BATCH || c->batch_ramps > c->ramps.n ||
                    c->batch_fits > c->fits.n || c->batch_kills > c->kills.n ||
                    c->batch_clocks > c->ends.n;
  if (full) {
    end_batch(c);
    take_in_programme(c, number);
  }
  c->recipe->programmes[number].score = c->batch.n++;
}

static void compile_programme(struct compiler *c, int number) {
  const struct isw_programme *source = &c->plan->programmes[number];
  struct isw_kernel_programme *programme = &c->recipe->programmes[number];
  const int n_stages = c->recipe->n_stages;
  *programme = (struct isw_kernel_programme){.transplant_stage = source->transplant_stage};
  join_batch(c, number);
  fill_thresholds(source, programme);
  add_pairs(c, number);
  for (int k = 0; k < n_stages; k++) {
    const struct isw_kernel_stage *stage = &c->recipe->stages[c->stage_of[number][k]];
    programme->rise_slot[k] = need_ramp(c, c->recipe->clocks[stage->clock].rise);
    programme->end_slot[k] = need_ends(c, stage->clock);
    programme->stage[k] = c->stage_of[number][k];
    programme->fit_slot[k] = need_fit(c, stage->fit);
    programme->fall_slot[k] = need_ramp(c, c->recipe->fits[stage->fit].fall);
    programme->kill_slot[k] = need_kill(c, stage->kill);
    programme->shelter[k] = (int16_t)shelter_number(&source->stages[k]);
    programme->at_most_days[k] = (int16_t)c->recipe->clocks[stage->clock].at_most_days;
    programme->chilling[k] = (int16_t)stage->chilling;
    need_chilling(c, stage->chilling);
  }
  const int cut = shared_head(c, number);
  const int rest = chain(c, number, cut, n_stages), head = chain(c, number, 0, cut);
  programme->counts = may_outlast_year(c, number);
  if (programme->counts) count_chain(c, rest);
  count_chain(c, head);
  programme->rest_slot = need_segment(c, rest);
  programme->rest_kills = c->recipe->nodes[rest].kills;
  programme->rest_chills = c->recipe->nodes[rest].chills;
  programme->head_slot = ISW_KERNEL_NONE;
  if (head != ISW_KERNEL_NONE) {
    programme->head_slot = need_segment(c, head);
    c->recipe->nodes[head].is_head = true;
    c->recipe->nodes[rest].looked_up = true;
    programme->head_kills = c->recipe->nodes[head].kills;
    programme->head_chills = c->recipe->nodes[head].chills;
  }
  add_step(c, (struct isw_kernel_step){.work = ISW_KERNEL_DO_SCORE,
                                       .what = (int16_t)number,
                                       .slot = (int16_t)programme->score});
}

/* Entries of tables that any step reads: the last day's furthest end, and a vector past it. */
static int reach_of(const struct compiler *c) {
  int furthest = 0;
  for (int p = 0; p < c->plan->n_programmes; p++) {
    int head = 0, n_head = shared_head(c, p);
    for (int k = 0; k < c->recipe->n_stages; k++) {
      int clock = c->recipe->stages[c->stage_of[p][k]].clock;
      int longest = c->recipe->clocks[clock].at_most_days + 1;
      if (longest > furthest) furthest = longest;
      if (k < n_head) head += longest;
    }
    if (head > ISW_KERNEL_LONGEST) head = ISW_KERNEL_LONGEST;
    if (head > furthest) furthest = head;
  }
  int reach = ISW_KERNEL_ROW + furthest + ISW_KERNEL_WINDOW + 1;
  return reach < ISW_KERNEL_SPAN - 16 ? reach : ISW_KERNEL_SPAN - 16;
}

void isw_growth_kernel_compile(const struct isw_plan *plan, struct isw_kernel_recipe *recipe) {
  struct compiler c = {.plan = plan, .recipe = recipe};
  const struct isw_sheet *sheet = plan->sheet;
  const struct isw_conditions *conditions = &plan->conditions;
  recipe->n_stages = sheet->n_stages;
  recipe->n_steps = recipe->n_shelters = recipe->n_pairs = recipe->n_batches = 0;
  recipe->swing = (float)sheet->swing;
  recipe->spread_K = (float)conditions->spread_K;
  recipe->per_spread = (float)(1.0 / conditions->spread_K);
  recipe->warmer_K = (float)conditions->warmer_K;
  recipe->year_spread_K = (float)conditions->year_spread_K;
  recipe->least_years = conditions->least_years;
  recipe->good_key = ISW_KERNEL_RANK * (recipe->least_years > 0 ? recipe->least_years : 1);
  recipe->cut_from_day = conditions->cut_from_day;
  recipe->cut_days = ISW_YEAR_DAYS;
  if (conditions->has_cut)
    recipe->cut_days = isw_base_days_forward(conditions->cut_from_day, conditions->cut_to_day) + 1;
  recipe->good_tenths = (int32_t)fmax(ceil(conditions->good_score * 10.0), 1.0);
  if (sheet->has_chilling) recipe->chilling_band = band_of(&sheet->chilling);
  fill_curve(recipe);
  fill_shelters(sheet, recipe);
  for (int south = 0; south < 2; south++)
    for (int s = 0; s < plan->n_seasons; s++)
      fill_season(recipe, &sheet->seasons[plan->seasons[s]], south, s);

  start_slots(&c.ramps, ISW_KERNEL_RAMP_SLOTS);
  start_slots(&c.fits, ISW_KERNEL_FIT_SLOTS);
  start_slots(&c.kills, ISW_KERNEL_KILL_SLOTS);
  start_slots(&c.ends, ISW_KERNEL_END_SLOTS);
  start_slots(&c.nodes, ISW_KERNEL_SEGMENT_SLOTS);
  for (int p = 0; p < plan->n_programmes; p++)
    if (plan->programmes[p].bolts) c.any_bolts = true;
  for (int p = 0; p < plan->n_programmes; p++)
    for (int k = 0; k < sheet->n_stages; k++)
      c.stage_of[p][k] = (int16_t)number_stage(&c, &plan->programmes[p].stages[k]);
  recipe->reach = reach_of(&c);
  c.batch_since = 1;
  for (int p = 0; p < plan->n_programmes; p++) compile_programme(&c, p);
  if (c.batch.n > 0) end_batch(&c);
}
