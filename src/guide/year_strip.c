#include "guide/year_strip.h"

#include "guide/guide_words.h"
#include "survey/place_types.h"
#include "words/place_words.h"
#include "words/say.h"

static void list_runs(const struct isw_guide_facts *facts, int region,
                      struct isw_year_strip *strip) {
  int varieties[ISW_YEAR_DAYS];
  isw_guide_read_year(facts->table, region, varieties);
  for (int i = 0; i < ISW_YEAR_DAYS; i++) {
    int variety = varieties[isw_base_wrap_day(strip->first_day + i)];
    if (variety < 0) continue;
    struct isw_year_run *last = strip->n_runs > 0 ? &strip->runs[strip->n_runs - 1] : NULL;
    if (last != NULL && last->variety == variety && last->to == i - 1)
      last->to = i;
    else
      strip->runs[strip->n_runs++] = (struct isw_year_run){variety, i, i};
  }
}

static void list_best_days(const struct isw_guide_facts *facts, int region,
                           struct isw_year_strip *strip) {
  for (int s = 0; s < facts->plan->n_seasons; s++) {
    struct isw_table_pick pick = isw_guide_read_pick(facts->table, region, s);
    int v = isw_guide_chosen_variety(facts->plan, pick.variety);
    struct isw_table_row row = {.has_dates = false};
    if (v >= 0 && !pick.risky) isw_guide_read_row(facts->table, region, v, s, &row);
    if (row.has_dates && isw_guide_can_sow(facts->table, region, s, row.day[ISW_TABLE_BEST_SOW][1]))
      strip->best[strip->n_best++] =
          isw_base_days_forward(strip->first_day, row.day[ISW_TABLE_BEST_SOW][1]);
  }
}

void isw_guide_make_strip(const struct isw_guide_facts *facts, int region,
                          struct isw_year_strip *out) {
  struct isw_table_row row;
  isw_guide_read_row(facts->table, region, 0, 0, &row);
  out->has_data = row.area_km2 > 0.0;
  out->n_runs = out->n_best = 0;
  out->first_month = facts->page->south ? ISW_YEAR_MONTHS / 2 : 0;
  out->first_day = isw_base_month_start[out->first_month];
  list_runs(facts, region, out);
  list_best_days(facts, region, out);
}

char *isw_guide_strip_words(const struct isw_guide_facts *facts,
                            const struct isw_year_strip *strip) {
  if (strip->n_runs == 0)
    return g_strdup(
        isw_words_text(strip->has_data ? ISW_SAY_GUIDE_NO_COMMON_DATE : ISW_SAY_GUIDE_NO_DATA));
  struct isw_year_types *types = g_new0(struct isw_year_types, 1);
  for (int i = 0; i < strip->n_runs; i++) {
    const struct isw_year_run *run = &strip->runs[i];
    types->runs[types->n_runs++] =
        (struct isw_dated_type){.variety = run->variety,
                                .from_day = isw_base_wrap_day(strip->first_day + run->from),
                                .to_day = isw_base_wrap_day(strip->first_day + run->to),
                                .days = run->to - run->from + 1,
                                .follows = i > 0 && strip->runs[i - 1].to + 1 == run->from};
  }
  struct isw_words_place about = {.plan = facts->plan};
  char *words = isw_words_types(&about, types);
  g_free(types);
  return words;
}
