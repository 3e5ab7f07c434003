/* The inside of the growing model: every sowing day of every programme at one place.
 * Room-internal: the door is growth/cell.h.
 *
 * DESIGN
 *
 * The plain way (tests/growth/plain_path.h) follows one sowing day after another through its
 * stages. Here a plan is compiled once into a recipe, a list of steps over tables of consecutive
 * days, and every distinct thing is computed once per place, whichever varieties ask for it:
 *
 *   month means --> curve: lo, hi of 365 days
 *     per shelter ........... days: mean, half swing, lowest           growth/kernel_days.c
 *     per shelter + ramp .... running sum of the ramp: a band is two,  growth/kernel_response.c
 *                             rate = rise, fit = rise - fall
 *     per shelter + dies .... running sum of kill
 *     per shelter ........... running sum of chilling
 *     per rise + days ....... where a stage begun on day s ends        growth/kernel_clock.c
 *     per chain of stages ... segment: the chain begun on day s        growth/kernel_score.c
 *     per programme ......... score of each sowing day                 growth/kernel_score.c
 *     per batch of programmes  in how many of ten years a good day     growth/kernel_years.c
 *                             stays good; what its seasons hold        growth/kernel_result.c
 *
 * A segment is built from the last stage backwards, so each start day is one look-up:
 *
 *   start day s:      0   1   2  ...  s        ...  e = end[s]  ...
 *   running sums Q    .   .   .       Q[s] ------------> Q[e]           own kill: Q[e] - Q[s]
 *   next segment      .   .   .       .                  next[e]        what follows from e
 *   this segment      .   .   .   length = (e - s) + next.length[e]
 *                                 fit    = min(mean fit of s..e-1, next.fit[e])
 *                                 kill   = Q[e] + next.kill[e] - Q[s]
 *                                 chill  = the same with chilling
 *
 * What the stage before will look up, Q[e] + kill[e] with its own Q, is what a segment stores: one
 * look-up for two.
 *
 * Stages that programmes share at the front (a nursery) make one segment too; a programme's score
 * then looks up its own rest at that segment's end. Varieties that share their last stages share
 * those segments. Lengths are kept for heads, and for others where the stages' longest times come
 * to more than a year.
 *
 * Layout: consecutive start days stand side by side, so they fill the vector lanes. Ends never fall
 * from one start day to the next and mostly lie within two vectors of each other: two loads and a
 * permutation replace a gather, which is the fallback (growth/kernel_lanes.h).
 *
 *   table:  | day 0 ......... day 364 | day 0, 1, 2 ... as far as the plan reaches |
 *            <-- row: 368, whole vectors -->
 *
 * Ramps, kills and chilling are summed as integers in units of 2^-21 day: differences are exact,
 * order does not matter, and any lane width gives the same bytes.
 *
 * Sheets can hold far more distinct things than there are tables. Tables are therefore slots, given
 * out while compiling to what was used longest ago; what was pushed out is a step again. Programmes
 * are taken in batches, whose tables all stand at its end: as many as there is room for. */
#ifndef ISW_GROWTH_KERNEL_H
#define ISW_GROWTH_KERNEL_H

#include <stdint.h>

#include "growth/daily_curve.h"
#include "growth/plan.h"
#include "growth/result.h"

enum {
  ISW_KERNEL_ROW = 368,  /* 365 days in whole vectors of 4, 8 or 16 */
  ISW_KERNEL_SPAN = 784, /* a row, a year of reach, and what vectors read past it */
  ISW_KERNEL_WINDOW = 8, /* lengths a clock tries at once */
  ISW_KERNEL_LONGEST = ISW_YEAR_DAYS + 1, /* stands for every length that never matures */
  ISW_KERNEL_RANK = 2048,    /* more than any tenths: days compare by rank, then by tenths */
  ISW_KERNEL_BATCH = 16,     /* programmes at most */
  ISW_KERNEL_YEAR_WORDS = 6, /* 64 days each */
  ISW_KERNEL_WORDS = 12      /* 64 days each, two years */
};
enum { ISW_KERNEL_UNITS = 1 << 21 }; /* one day of rate, fit, kill or chilling */
enum { ISW_KERNEL_NONE = -1 };
/* Below this many spreads a day's kill is rounded to 0 units, however it is computed. */
#define ISW_KERNEL_SURELY_ALIVE -5.2f
#define ISW_KERNEL_EDGE_K 1e-3f          /* more than rounding can move a day's lowest or highest */
#define ISW_KERNEL_NEVER_FIT -4194304.0f /* mean fit, in units, of what never matures */

/* Distinct things of a plan, and slots for their tables. */
enum {
  ISW_KERNEL_STAGES = ISW_PROGRAMMES_MAX * ISW_STAGES_MAX,
  ISW_KERNEL_NODES = 2 * ISW_KERNEL_STAGES,
  ISW_KERNEL_STEPS = ISW_PROGRAMMES_MAX * (8 * ISW_STAGES_MAX),
  ISW_KERNEL_OPEN_GROUND = ISW_SHELTERS_MAX, /* number of the shelter that changes nothing */
  ISW_KERNEL_SHELTERS = ISW_SHELTERS_MAX + 1,
  /* Each kind has more slots than one programme needs. */
  ISW_KERNEL_RAMP_SLOTS = 40,
  ISW_KERNEL_FIT_SLOTS = 24,
  ISW_KERNEL_KILL_SLOTS = 24,
  ISW_KERNEL_END_SLOTS = 24,
  ISW_KERNEL_SEGMENT_SLOTS = 40
};

struct isw_kernel_shelter {
  float warm_to_C, warm_most_K, cool_to_C, cool_most_K; /* finite; far off for "none" */
};
struct isw_kernel_ramp {
  float foot_C, top_C, per_height; /* 1/K */
};
struct isw_kernel_band {
  struct isw_kernel_ramp rise, fall;
};
struct isw_kernel_sheltered_ramp {
  int shelter;
  struct isw_kernel_ramp ramp;
};
struct isw_kernel_fit {
  int rise, fall; /* ramps */
};
struct isw_kernel_kill {
  int shelter;
  float dies_below_C;
};
struct isw_kernel_clock {
  int rise;     /* ramp */
  int32_t need; /* units */
  int at_most_days;
};
/* What one stage of a programme asks for, by number. */
struct isw_kernel_stage {
  int clock, fit, kill, chilling; /* kill, chilling: or NONE; chilling is the shelter's number */
};
struct isw_kernel_node {
  int stage;                     /* number of the stage */
  int next;                      /* node, or NONE */
  int before_kill, before_chill; /* kill, chilling of the stage before, added to its own; or NONE */
  bool kills, chills;
  bool counts;    /* its length is asked for */
  bool looked_up; /* at ends of other stages, so past its row */
  bool is_head;   /* a programme's rest is looked up at its ends */
};

enum isw_kernel_work {
  ISW_KERNEL_DO_RAMP,
  ISW_KERNEL_DO_FIT,
  ISW_KERNEL_DO_KILL,
  ISW_KERNEL_DO_CHILLING,
  ISW_KERNEL_DO_CLOCK,
  ISW_KERNEL_DO_SEGMENT,
  ISW_KERNEL_DO_SCORE,
  ISW_KERNEL_DO_YEARS /* and what is cut outside the dates asked for */
};
/* what: number of the ramp, fit, kill, clock, node, programme or batch; slots as each work needs
 * them. */
struct isw_kernel_step {
  int16_t work, what, slot, rise_slot, fall_slot, end_slot, fit_slot, kill_slot, next_slot;
  int16_t before_kill_slot, chilling;
};

struct isw_kernel_programme {
  int head_slot, rest_slot; /* segments; head NONE: the rest is all */
  bool head_kills, rest_kills, head_chills, rest_chills;
  bool counts;                           /* a run may last longer than a year */
  int32_t doubtful_kill, doubtful_chill; /* units: from these on a day is not good */
  float bolts_all, per_bolts;            /* days, 1/day; per_bolts 0: never bolts */
  int first_pair, n_pairs;               /* its entries in pairs[] */
  int score;                             /* where its scores stand: its number in the batch */
  int16_t stage[ISW_STAGES_MAX];         /* numbers */
  int16_t end_slot[ISW_STAGES_MAX], rise_slot[ISW_STAGES_MAX], fit_slot[ISW_STAGES_MAX];
  int16_t fall_slot[ISW_STAGES_MAX];
  int16_t kill_slot[ISW_STAGES_MAX], chilling[ISW_STAGES_MAX], shelter[ISW_STAGES_MAX];
  int16_t at_most_days[ISW_STAGES_MAX];
  int transplant_stage; /* or -1 */
};
struct isw_kernel_pair {
  int16_t season, result; /* chosen season; index of the result */
};

struct isw_kernel_batch {
  int first, n; /* programmes */
};

/* Everything that depends on the plan only. */
struct isw_kernel_recipe {
  int n_stages, n_steps, n_shelters, n_pairs, n_batches;
  int reach; /* table entries that are read, from day 0 */
  float swing, per_spread, spread_K, warmer_K;
  int32_t good_tenths; /* a day that is good in a year has at least this many */
  int32_t good_key;    /* a good day has at least this key */
  int least_years;     /* 0: not counted */
  float year_spread_K;
  int cut_from_day, cut_days; /* cut_days 365: whenever */
  struct isw_kernel_band chilling_band;
  double month_starts[ISW_YEAR_MONTHS][ISW_YEAR_MONTHS]; /* [month mean][start of month] */
  float day_weight[3][ISW_YEAR_MONTHS][32];              /* month's start, its end, its mean */
  struct isw_window season_days[2][ISW_SEASONS_MAX];     /* [south] */
  uint64_t season_set[2][ISW_SEASONS_MAX][ISW_KERNEL_YEAR_WORDS]; /* the same, a bit a day */
  int shelters[ISW_KERNEL_SHELTERS];                              /* those in use */
  struct isw_kernel_shelter shelter[ISW_KERNEL_SHELTERS];
  struct isw_kernel_step steps[ISW_KERNEL_STEPS];
  struct isw_kernel_sheltered_ramp ramps[2 * ISW_KERNEL_STAGES];
  struct isw_kernel_fit fits[ISW_KERNEL_STAGES];
  struct isw_kernel_kill kills[ISW_KERNEL_STAGES];
  struct isw_kernel_clock clocks[ISW_KERNEL_STAGES];
  struct isw_kernel_stage stages[ISW_KERNEL_STAGES];
  struct isw_kernel_node nodes[ISW_KERNEL_NODES];
  struct isw_kernel_programme programmes[ISW_PROGRAMMES_MAX];
  struct isw_kernel_batch batches[ISW_PROGRAMMES_MAX];
  struct isw_kernel_pair pairs[ISW_VARIETIES_MAX * ISW_SEASONS_MAX];
};

/* Tables of one place; every array starts on a multiple of 64 bytes. */
enum { ISW_KERNEL_EDGES = 96 }; /* one per vector, the narrowest being 4 */
struct isw_kernel_days {
  float mean_C[ISW_KERNEL_ROW + 16], half_K[ISW_KERNEL_ROW + 16], per_half[ISW_KERNEL_ROW + 16];
  float lo_C[ISW_KERNEL_ROW + 16];
  /* Per vector: all of its days, as the bands see them, lie between. */
  float edge_lo_C[ISW_KERNEL_EDGES], edge_hi_C[ISW_KERNEL_EDGES];
};
struct isw_kernel_segment {
  int32_t length[ISW_KERNEL_SPAN];                       /* filled where it counts */
  float fit[ISW_KERNEL_SPAN];                            /* units */
  int32_t kill[ISW_KERNEL_SPAN], chill[ISW_KERNEL_SPAN]; /* not filled where nothing does; with
                                                            the sum of the stage before */
  int32_t end[ISW_KERNEL_ROW];                           /* of heads: start day + length */
};
struct isw_kernel_scores {
  /* Tenths + RANK * rank: the years in which the day is good, or where years are not counted 1 for
   * good days. Negative where cut outside the dates asked for. Two years. */
  int32_t key[ISW_KERNEL_SPAN];
  float fit[ISW_KERNEL_ROW + 16];  /* least mean fit of the stages, in units; or NEVER_FIT */
  uint64_t good[ISW_KERNEL_WORDS]; /* until years are counted: good in the normal year */
};

/* Tables of one shifted year, filled as far as they were asked for; by day, from the first year's
 * day 0 to where the clock of a crop may look that stands to the end of the second. */
enum { ISW_KERNEL_SHIFTED_SPAN = 1152 };
struct isw_kernel_range {
  int from, to; /* sums stand from..to; to 0: none */
};
enum { ISW_KERNEL_DONE_WORDS = (ISW_KERNEL_SHIFTED_SPAN / 4 + 63) / 64 }; /* a bit per vector */
struct isw_kernel_shifted_days {
  float mean_C[ISW_KERNEL_SHIFTED_SPAN], half_K[ISW_KERNEL_SHIFTED_SPAN];
  float per_half[ISW_KERNEL_SHIFTED_SPAN], lo_C[ISW_KERNEL_SHIFTED_SPAN];
  float edge_lo_C[ISW_KERNEL_SHIFTED_SPAN / 4], edge_hi_C[ISW_KERNEL_SHIFTED_SPAN / 4];
};
struct isw_kernel_filled { /* emptied for each shift */
  struct isw_kernel_range ramp[ISW_KERNEL_RAMP_SLOTS], kill[ISW_KERNEL_KILL_SLOTS];
  struct isw_kernel_range chilling[ISW_KERNEL_SHELTERS];
  uint64_t days[ISW_KERNEL_SHELTERS][ISW_KERNEL_DONE_WORDS];
};
struct isw_kernel_shifted {
  struct isw_kernel_filled filled;
  struct isw_kernel_shifted_days days[ISW_KERNEL_SHELTERS];
  int32_t ramp[ISW_KERNEL_RAMP_SLOTS][ISW_KERNEL_SHIFTED_SPAN];
  int32_t kill[ISW_KERNEL_KILL_SLOTS][ISW_KERNEL_SHIFTED_SPAN];
  int32_t chilling[ISW_KERNEL_SHELTERS][ISW_KERNEL_SHIFTED_SPAN];
  /* How many years a day has for sure and at most, per programme of the batch. */
  int32_t sure[ISW_KERNEL_BATCH][ISW_KERNEL_ROW], possible[ISW_KERNEL_BATCH][ISW_KERNEL_ROW];
};
struct isw_kernel_place {
  float year_spread_K;
  bool south;
  bool in_full; /* the years of every day are asked for, not only what seasons hold */
};
struct isw_kernel_tables {
  float lo_C[ISW_KERNEL_ROW + 16], hi_C[ISW_KERNEL_ROW + 16]; /* open ground */
  struct isw_kernel_days days[ISW_KERNEL_SHELTERS];
  int32_t zero[ISW_KERNEL_SPAN]; /* stays so */
  int32_t ramp[ISW_KERNEL_RAMP_SLOTS][ISW_KERNEL_SPAN];
  int32_t fit[ISW_KERNEL_FIT_SLOTS][ISW_KERNEL_SPAN];
  int32_t kill[ISW_KERNEL_KILL_SLOTS][ISW_KERNEL_SPAN];
  int32_t chilling[ISW_KERNEL_SHELTERS][ISW_KERNEL_SPAN];
  int32_t end[ISW_KERNEL_END_SLOTS][ISW_KERNEL_ROW]; /* at_most + 1 days on: never */
  struct isw_kernel_segment segment[ISW_KERNEL_SEGMENT_SLOTS];
  struct isw_kernel_scores scores[ISW_KERNEL_BATCH];
  struct isw_kernel_shifted shifted;
  struct isw_kernel_place place;
};

/* The highest of a season's keys and, where it is above 0, the run of top days that holds the first
 * day of it; days counted from the season's first. */
struct isw_kernel_top {
  int32_t key;
  int first, last;
};

/* The steps for one kind of processor. */
struct isw_kernel_routines {
  const char *name;
  void (*days)(const struct isw_kernel_recipe *recipe, const struct isw_normals *normals,
               struct isw_kernel_tables *tables);
  void (*ramp)(const struct isw_kernel_recipe *recipe, const struct isw_kernel_step *step,
               struct isw_kernel_tables *tables);
  void (*fit)(const struct isw_kernel_recipe *recipe, const struct isw_kernel_step *step,
              struct isw_kernel_tables *tables);
  void (*kill)(const struct isw_kernel_recipe *recipe, const struct isw_kernel_step *step,
               struct isw_kernel_tables *tables);
  void (*chilling)(const struct isw_kernel_recipe *recipe, const struct isw_kernel_step *step,
                   struct isw_kernel_tables *tables);
  void (*clock)(const struct isw_kernel_recipe *recipe, const struct isw_kernel_step *step,
                struct isw_kernel_tables *tables);
  void (*segment)(const struct isw_kernel_recipe *recipe, const struct isw_kernel_step *step,
                  struct isw_kernel_tables *tables);
  void (*score)(const struct isw_kernel_recipe *recipe, const struct isw_kernel_step *step,
                struct isw_kernel_tables *tables);
  /* In how many years the good days of a batch's programmes stay good: into their keys. */
  void (*years)(const struct isw_kernel_recipe *recipe, const struct isw_kernel_batch *batch,
                struct isw_kernel_tables *tables);
  /* The most of n > 0 keys, and what a season's n keys hold; n > 0 fits and their most, and the
   * first of them that is not below `least` (n: none is). */
  int32_t (*most)(const int32_t *keys, int n);
  void (*top)(const int32_t *keys, int n, struct isw_kernel_top *out);
  float (*most_fit)(const float *fit, int n);
  int (*first_fit)(const float *fit, int n, float least);
};

/* The routines this processor can run, slowest first; NULL past the last. */
const struct isw_kernel_routines *isw_growth_kernel_routines(int index);
/* The fastest of them. */
const struct isw_kernel_routines *isw_growth_kernel_best_routines(void);

/* Any plan of isw_growth_make_plan, which is not needed after; recipe: the caller's, filled whole.
 */
void isw_growth_kernel_compile(const struct isw_plan *plan, struct isw_kernel_recipe *recipe);

/* A place's days (normals: degC, finite; south: southern seasons; in_full: years of every day are
 * wanted); then every step of its recipe in order (growth/kernel_step.h). After a years step
 * all tables of its batch stand until the next step: its results are made then. */
void isw_growth_kernel_start_place(const struct isw_kernel_recipe *recipe,
                                   const struct isw_kernel_routines *routines,
                                   const struct isw_normals *normals, bool south, bool in_full,
                                   struct isw_kernel_tables *tables);
void isw_growth_kernel_do_years(const struct isw_kernel_recipe *recipe,
                                const struct isw_kernel_routines *routines,
                                const struct isw_kernel_batch *batch,
                                struct isw_kernel_tables *tables);

/* Days that are cut outside the dates asked for are no candidates and not good. */
void isw_growth_kernel_drop_cut_outside(const struct isw_kernel_recipe *recipe,
                                        const struct isw_kernel_programme *programme,
                                        struct isw_kernel_tables *tables);

/* Results of a programme (0..n_programmes-1) whose tables stand: one per season that uses it, where
 * isw_growth_result_index says. */
void isw_growth_kernel_results(const struct isw_kernel_recipe *recipe,
                               const struct isw_kernel_routines *routines, int programme,
                               bool south, const struct isw_kernel_tables *tables,
                               struct isw_result *results);

/* The same tables, told in full: every sowing day, and one (0..364) stage by stage. */
void isw_growth_kernel_year(const struct isw_kernel_recipe *recipe, int programme,
                            const struct isw_kernel_tables *tables, struct isw_scores *out);
void isw_growth_kernel_sowing(const struct isw_kernel_recipe *recipe, int programme,
                              const struct isw_kernel_tables *tables, int sow_day,
                              struct isw_sowing *out);

#endif
