/* A look into one cell, for developers: look_cell CROP VARIETY SEASON north|south, with the cell's
 * 24 normals (twelve monthly minima, twelve maxima, degC) on standard input. Every sowing day as
 * the kernel's tables hold it, beside the plain path; "*" where they differ. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "growth/cell.h"
#include "growth/kernel_room.h"
#include "growth/windows.h"
#include "reference_cell.h"

struct look {
  struct isw_sheet *sheet;
  struct isw_plan plan;
  struct isw_growth_workspace workspace;
  struct reference_memory memory;
  struct isw_scores scores;
  struct isw_result results[ISW_VARIETIES_MAX * ISW_SEASONS_MAX];
};

static void stop(const char *why) {
  fprintf(stderr, "look_cell: %s\n", why);
  exit(EXIT_FAILURE);
}

static void read_numbers(double out[ISW_YEAR_MONTHS]) {
  for (int m = 0; m < ISW_YEAR_MONTHS; m++)
    if (scanf("%lf", &out[m]) != 1)
      stop("standard input should hold 24 numbers: twelve minima, then twelve maxima");
}

static void make_plan(struct look *look, char **argv) {
  struct isw_error error;
  if (isw_crop_load_sheet(argv[1], &look->sheet, &error) != ISW_OK) stop(error.text);
  const int variety = isw_crop_find_variety(look->sheet, argv[2]);
  const int season = isw_crop_find_season(look->sheet, argv[3]);
  if (variety < 0) stop("the sheet has no such variety");
  if (season < 0) stop("the sheet has no such season");
  const struct isw_conditions conditions = isw_growth_default_conditions();
  isw_growth_make_plan(look->sheet, &conditions, 1, &variety, 1, &season, &look->plan);
}

static void print_stage_ends(const struct isw_sowing *sowing, int n_stages) {
  for (int k = 0; k < n_stages; k++)
    printf(" %4d", k < sowing->n_stages ? sowing->runs[k].to_after : -1);
}

static bool same_stages(const struct isw_sowing *a, const struct isw_sowing *b) {
  bool same = a->n_stages == b->n_stages;
  for (int k = 0; same && k < a->n_stages; k++)
    same =
        a->runs[k].to_after == b->runs[k].to_after && fabs(a->runs[k].fit - b->runs[k].fit) < 1e-4;
  return same;
}

static void print_day(struct look *look, const struct isw_normals *normals, int day) {
  struct isw_sowing kernel, plain;
  isw_growth_follow_sowing(&look->workspace, normals, 0, day, &kernel);
  plain_score_sowing(&look->plan, &look->plan.programmes[0], &look->memory.sums, day, &plain);
  const bool same = kernel.score_tenths == plain.score_tenths && kernel.limit == plain.limit &&
                    same_stages(&kernel, &plain);
  char date[ISW_DATE_SIZE];
  printf("%c %s %s", same ? ' ' : '*', isw_base_format_month_day(day, date),
         look->scores.good[day] ? "good" : "    ");
  const struct isw_sowing *both[] = {&kernel, &plain};
  for (int i = 0; i < 2; i++) {
    const struct isw_sowing *sowing = both[i];
    printf(" | %5.1f %6.4f %6.4f %6.4f %3d", 0.1 * sowing->score_tenths, sowing->least_fit,
           sowing->survive, sowing->stay, sowing->limit);
    print_stage_ends(sowing, look->plan.sheet->n_stages);
  }
  printf("\n");
}

static void print_result(const char *name, const struct isw_result *r) {
  char date[ISW_DATE_SIZE], from[ISW_DATE_SIZE] = "-", to[ISW_DATE_SIZE] = "-";
  if (r->window.days > 0) {
    isw_base_format_month_day(r->window.from_day, from);
    isw_base_format_month_day(r->window.to_day, to);
  }
  printf(
      "%s: score %.1f, best %s, window %s to %s (%d), %d years, edge %d, grows %d days, limit %d, "
      "frost %.6f, bolting %.6f\n",
      name, 0.1 * r->score_tenths,
      r->best_sow_day < 0 ? "-" : isw_base_format_month_day(r->best_sow_day, date), from, to,
      r->window.days, r->years, r->edge, r->growing_days, r->limit, r->frost_risk, r->bolt_risk);
}

int main(int argc, char **argv) {
  if (argc != 5 || (strcmp(argv[4], "north") != 0 && strcmp(argv[4], "south") != 0))
    stop("usage: look_cell CROP VARIETY SEASON north|south < NORMALS");
  static struct look look;
  struct isw_normals normals = {0};
  const bool south = strcmp(argv[4], "south") == 0;
  make_plan(&look, argv);
  read_numbers(normals.tmin_C);
  read_numbers(normals.tmax_C);
  isw_growth_start_workspace(&look.plan, &look.workspace);
  isw_growth_score_year(&look.workspace, &normals, 0, &look.scores);
  reference_cell(&look.plan, &normals, south, &look.memory, look.results);
  printf(
      "kernel | plain path: score, least fit, survive, stay, limit, days from sowing to the end "
      "of each stage\n");
  for (int day = 0; day < ISW_YEAR_DAYS; day++) print_day(&look, &normals, day);
  print_result("plain ", &look.results[0]);
  isw_growth_cell(&look.workspace, &normals, south, look.results);
  print_result("kernel", &look.results[0]);
  isw_crop_free_sheet(look.sheet);
  return EXIT_SUCCESS;
}
