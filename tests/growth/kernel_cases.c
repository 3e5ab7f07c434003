#include "kernel_cases.h"

#include <check.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "growth/cell.h"
#include "growth/kernel_room.h"

static uint64_t roll(struct dice *dice) {
  uint64_t z = dice->state += UINT64_C(0x9e3779b97f4a7c15);
  z = (z ^ (z >> 30)) * UINT64_C(0xbf58476d1ce4e5b9);
  z = (z ^ (z >> 27)) * UINT64_C(0x94d049bb133111eb);
  return z ^ (z >> 31);
}

double dice_between(struct dice *dice, double least, double most) {
  return least + (most - least) * (double)(roll(dice) >> 11) * 0x1p-53;
}

int dice_whole(struct dice *dice, int least, int most) {
  return least + (int)(roll(dice) % (uint64_t)(most - least + 1));
}

bool dice_chance(struct dice *dice, double share) {
  return dice_between(dice, 0.0, 1.0) < share;
}

struct isw_normals random_place(struct dice *dice) {
  const double two_pi = 6.28318530717958647693;
  struct isw_normals normals = {.has_year_spread = dice_chance(dice, 0.2)};
  if (normals.has_year_spread) normals.year_spread_K = dice_between(dice, 0.0, 3.0);
  const double mean = dice_between(dice, -18.0, 31.0), yearly = dice_between(dice, 0.0, 24.0);
  const double warmest = dice_between(dice, 0.0, 12.0), second = dice_between(dice, 0.0, 4.0);
  const double second_at = dice_between(dice, 0.0, 12.0);
  const double daily = dice_between(dice, 0.5, 20.0), noise = dice_between(dice, 0.0, 2.0);
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
    double centre = mean + yearly * cos(two_pi * (m - warmest) / 12.0) +
                    second * cos(two_pi * (m - second_at) / 6.0) +
                    dice_between(dice, -noise, noise);
    double half = 0.5 * fmax(daily + dice_between(dice, -noise, noise), 0.0);
    /* Two decimals, as normals are published. */
    normals.tmin_C[m] = floor((centre - half) * 100.0 + 0.5) / 100.0;
    normals.tmax_C[m] = floor((centre + half) * 100.0 + 0.5) / 100.0;
  }
  return normals;
}

static struct isw_band random_band(struct dice *dice) {
  struct isw_band band;
  band.stops_below_C = dice_whole(dice, -5, 12);
  band.best_from_C = band.stops_below_C + dice_between(dice, 1.0, 15.0);
  band.best_to_C =
      dice_chance(dice, 0.1) ? band.best_from_C : band.best_from_C + dice_between(dice, 0.0, 12.0);
  band.stops_above_C = band.best_to_C + dice_between(dice, 1.0, 14.0);
  return band;
}

static struct isw_stage random_stage(struct dice *dice, int n_shelters, int n_stages) {
  static char name[] = "stage";
  const double days = dice_between(dice, 0.3, 2.0 * 120.0 / n_stages);
  struct isw_stage stage = {
      .name = name,
      .shelter = dice_chance(dice, 0.5) ? ISW_OPEN_GROUND : dice_whole(dice, -1, n_shelters - 1),
      .days = dice_chance(dice, 0.5) ? floor(days) + 1.0 : days,
      .band = random_band(dice),
      .dies_below_C = dice_chance(dice, 0.25) ? -INFINITY : (double)dice_whole(dice, -12, 2),
      .chills = dice_chance(dice, 0.4)};
  const double most = dice_chance(dice, 0.2) ? ceil(stage.days * dice_between(dice, 0.8, 1.5))
                                             : ceil(3.0 * stage.days);
  stage.at_most_days = (int)fmin(fmax(most, 1.0), 365.0);
  return stage;
}

static void random_shelters(struct dice *dice, struct isw_sheet *sheet) {
  sheet->n_shelters = dice_chance(dice, 0.2) ? ISW_SHELTERS_MAX : dice_whole(dice, 0, 4);
  for (int i = 0; i < sheet->n_shelters; i++) {
    struct isw_shelter *shelter = &sheet->shelters[i];
    *shelter = (struct isw_shelter){NULL, -INFINITY, INFINITY, INFINITY, INFINITY, NULL};
    if (dice_chance(dice, 0.7)) shelter->warm_to_C = dice_whole(dice, 2, 20);
    if (dice_chance(dice, 0.5)) shelter->warm_most_K = dice_between(dice, 0.0, 8.0);
    if (dice_chance(dice, 0.7)) shelter->cool_to_C = dice_whole(dice, 18, 32);
    if (dice_chance(dice, 0.5)) shelter->cool_most_K = dice_between(dice, 0.0, 8.0);
  }
}

/* As many ways to grow as a sheet may have are those of four seasons and 16 varieties. */
static void random_shelter_uses(struct dice *dice, struct isw_sheet *sheet) {
  if (sheet->n_seasons * sheet->n_varieties > ISW_WAYS_MAX / 2) return;
  for (int i = 0; i < sheet->n_shelters; i++) {
    struct isw_shelter_use *use = &sheet->shelter_uses[i];
    use->only_in_seasons = dice_chance(dice, 0.3);
    for (int s = 0; use->only_in_seasons && s < sheet->n_seasons; s++)
      use->not_in_season[s] = dice_chance(dice, 0.5);
    if (dice_chance(dice, 0.7)) continue;
    for (int v = 0; v < sheet->n_varieties; v++) use->not_for_variety[v] = dice_chance(dice, 0.4);
  }
}

void random_sheet(struct dice *dice, int n_stages, int n_varieties, struct random_sheet *out) {
  static char season_name[] = "season", crop[] = "dice", text[] = "";
  *out = (struct random_sheet){0};
  struct isw_sheet *sheet = &out->sheet;
  sheet->crop = sheet->title = sheet->origin = crop;
  sheet->text = text;
  sheet->swing = dice_chance(dice, 0.15)  ? 0.0
                 : dice_chance(dice, 0.2) ? 1.0
                                          : dice_between(dice, 0.0, 1.0);
  random_shelters(dice, sheet);
  sheet->has_chilling = dice_chance(dice, 0.7);
  if (sheet->has_chilling) sheet->chilling = random_band(dice);
  sheet->n_stages = n_stages;
  sheet->n_seasons = dice_whole(dice, 1, 4);
  sheet->n_varieties = n_varieties;
  sheet->varieties = out->varieties;
  for (int s = 0; s < sheet->n_seasons; s++) {
    struct isw_season *season = &sheet->seasons[s];
    season->name = season_name;
    season->sow_from_day = dice_whole(dice, 0, 364);
    season->sow_to_day = dice_chance(dice, 0.1) ? season->sow_from_day : dice_whole(dice, 0, 364);
    season->start = dice_chance(dice, 0.3) ? ISW_START_DIRECT : ISW_START_NURSERY;
    for (int v = 0; v < n_varieties; v++) season->preferred[v] = v;
  }
  random_shelter_uses(dice, sheet);
  const int transplant = dice_whole(dice, -1, n_stages - 1);
  for (int v = 0; v < n_varieties; v++) {
    struct isw_variety *variety = &out->varieties[v];
    variety->name = variety->title = crop;
    variety->bolts = sheet->has_chilling && dice_chance(dice, 0.7);
    if (variety->bolts) {
      variety->bolts_safe = dice_between(dice, 0.0, 30.0);
      variety->bolts_all = variety->bolts_safe + dice_between(dice, 1.0, 30.0);
    }
    for (int k = 0; k < n_stages; k++) {
      variety->stages[k] = v > 0 && dice_chance(dice, 0.6)
                               ? out->varieties[v - 1].stages[k]
                               : random_stage(dice, sheet->n_shelters, n_stages);
      variety->stages[k].transplant = k == transplant;
    }
  }
}

struct isw_conditions random_conditions(struct dice *dice, const struct isw_sheet *sheet) {
  struct isw_conditions conditions = isw_growth_default_conditions();
  if (dice_chance(dice, 0.5)) conditions.good_score = dice_between(dice, 0.0, 100.0);
  if (dice_chance(dice, 0.5)) conditions.spread_K = dice_between(dice, 0.05, 8.0);
  if (dice_chance(dice, 0.3)) conditions.warmer_K = dice_between(dice, -5.0, 5.0);
  if (sheet->n_shelters > 0 && dice_chance(dice, 0.2))
    conditions.grown_under = dice_whole(dice, 0, sheet->n_shelters - 1);
  if (dice_chance(dice, 0.2)) conditions.start = dice_whole(dice, -1, 1);
  if (dice_chance(dice, 0.5)) conditions.least_years = dice_whole(dice, 0, 10);
  if (dice_chance(dice, 0.5)) conditions.year_spread_K = dice_between(dice, 0.0, 4.0);
  if (dice_chance(dice, 0.3)) {
    conditions.has_cut = true;
    conditions.cut_from_day = dice_whole(dice, 0, 364);
    conditions.cut_to_day = dice_whole(dice, 0, 364);
  }
  return conditions;
}

struct kernel_bench *kernel_bench_new(const struct isw_sheet *sheet,
                                      const struct isw_conditions *conditions) {
  struct kernel_bench *bench = calloc(1, sizeof *bench);
  ck_assert_ptr_nonnull(bench);
  isw_growth_make_plan(sheet, conditions, 0, NULL, 0, NULL, &bench->plan);
  isw_growth_start_workspace(&bench->plan, &bench->workspace);
  return bench;
}

static void print_result(const char *title, const struct isw_result *r) {
  fprintf(stderr,
          "  %-9s tenths %d best %d window %d..%d (%d) transplant %d harvest %d growing %d limit "
          "%d years %d edge %d cut %d..%d frost %.6f bolt %.6f\n",
          title, r->score_tenths, r->best_sow_day, r->window.from_day, r->window.to_day,
          r->window.days, r->transplant_day, r->harvest_day, r->growing_days, r->limit, r->years,
          r->edge, r->cut_from_day, r->cut_to_day, r->frost_risk, r->bolt_risk);
}

static void print_place(const struct isw_normals *normals) {
  fprintf(stderr, "  tmin");
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) fprintf(stderr, " %.2f", normals->tmin_C[m]);
  fprintf(stderr, "\n  tmax");
  for (int m = 0; m < ISW_YEAR_MONTHS; m++) fprintf(stderr, " %.2f", normals->tmax_C[m]);
  fprintf(stderr, "\n");
}

void check_against_reference(struct kernel_bench *bench, const struct isw_normals *normals,
                             bool south) {
  const struct isw_plan *plan = &bench->plan;
  isw_growth_cell(&bench->workspace, normals, south, bench->results);
  reference_cell(plan, normals, south, &bench->memory, bench->other);
  for (int v = 0; v < plan->n_varieties; v++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      const int i = isw_growth_result_index(plan, v, s);
      const struct isw_result *result = &bench->results[i], *plain = &bench->other[i];
      ck_assert(isfinite(result->frost_risk) && isfinite(result->bolt_risk));
      ck_assert(result->frost_risk >= 0.0 && result->frost_risk <= 1.0);
      ck_assert(result->bolt_risk >= 0.0 && result->bolt_risk <= 1.0);
      bench->compared++;
      if (reference_same(result, plain)) continue;
      bench->differing++;
      const char *why = reference_accepts(plan, normals, south, v, s, &bench->memory, result);
      if (why == NULL) continue;
      print_result("kernel", result);
      print_result("reference", plain);
      print_place(normals);
      ck_abort_msg("variety %d, season %d: %s", v, s, why);
    }
  }
}

static bool exactly_same(const struct isw_result *a, const struct isw_result *b) {
  return a->score_tenths == b->score_tenths && a->best_sow_day == b->best_sow_day &&
         a->window.from_day == b->window.from_day && a->window.to_day == b->window.to_day &&
         a->window.days == b->window.days && a->transplant_day == b->transplant_day &&
         a->harvest_day == b->harvest_day && a->growing_days == b->growing_days &&
         a->limit == b->limit && a->years == b->years && a->edge == b->edge &&
         a->cut_from_day == b->cut_from_day && a->cut_to_day == b->cut_to_day &&
         a->frost_risk == b->frost_risk && a->bolt_risk == b->bolt_risk;
}

void check_all_routines_alike(struct kernel_bench *bench, const struct isw_normals *normals,
                              bool south) {
  const struct isw_plan *plan = &bench->plan;
  struct isw_kernel_room *room = isw_growth_room_of(&bench->workspace);
  const struct isw_kernel_routines *chosen = room->routines;
  room->routines = isw_growth_kernel_routines(0);
  isw_growth_cell(&bench->workspace, normals, south, bench->results);
  for (int i = 1; isw_growth_kernel_routines(i) != NULL; i++) {
    room->routines = isw_growth_kernel_routines(i);
    isw_growth_cell(&bench->workspace, normals, south, bench->other);
    for (int r = 0; r < plan->n_varieties * plan->n_seasons; r++) {
      if (exactly_same(&bench->results[r], &bench->other[r])) continue;
      print_result("baseline", &bench->results[r]);
      print_result(room->routines->name, &bench->other[r]);
      print_place(normals);
      ck_abort_msg("%s differs from the baseline", room->routines->name);
    }
  }
  room->routines = chosen;
}

int read_station_normals(const char *path, int max, struct isw_normals *out) {
  enum { NUMBERS = 2 * ISW_YEAR_MONTHS, COLUMNS_MAX = 64 };
  FILE *file = fopen(path, "r");
  if (file == NULL) return -1;
  char line[2048];
  int n = 0;
  bool header = true;
  while (n < max && fgets(line, sizeof line, file) != NULL) {
    if (header) {
      header = false;
      continue;
    }
    char *columns[COLUMNS_MAX];
    int n_columns = 0;
    for (char *at = strtok(line, ",\r\n"); at != NULL && n_columns < COLUMNS_MAX;
         at = strtok(NULL, ",\r\n"))
      columns[n_columns++] = at;
    if (n_columns < NUMBERS) continue;
    for (int m = 0; m < ISW_YEAR_MONTHS; m++) {
      out[n].tmin_C[m] = strtod(columns[n_columns - NUMBERS + m], NULL);
      out[n].tmax_C[m] = strtod(columns[n_columns - ISW_YEAR_MONTHS + m], NULL);
    }
    n++;
  }
  fclose(file);
  return n;
}
