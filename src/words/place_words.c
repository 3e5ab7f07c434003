#include "words/place_words.h"

#include <math.h>

#include "crop/sheet_doubts.h"
#include "words/classes.h"
#include "words/date_words.h"
#include "words/quantities.h"
#include "words/say.h"

static char *bolting_limit(const struct isw_words_place *about,
                           const struct isw_programme *programme,
                           const struct isw_place_result *result) {
  bool is_likely = isw_words_bolting_class(result->result.bolt_risk) == ISW_BOLTING_HIGH;
  const char *makes = about->plan->sheet->chilling_makes;
  if (makes != NULL)
    return isw_words_say(is_likely ? ISW_SAY_LIMIT_MAKES : ISW_SAY_LIMIT_MAY_MAKE, makes);
  int last = 0; /* end of the days that chill */
  for (int k = 0; k < result->sowing.n_stages; k++)
    if (programme->stages[k].chills) last = result->sowing.runs[k].to_after;
  if (last == 0)
    return g_strdup(isw_words_text(is_likely ? ISW_SAY_LIMIT_BOLTS : ISW_SAY_LIMIT_MAY_BOLT));
  int month, day_of_month;
  isw_base_date_of_day(result->result.best_sow_day + last / 2, &month, &day_of_month);
  return isw_words_say(is_likely ? ISW_SAY_LIMIT_BOLTS_IN : ISW_SAY_LIMIT_MAY_BOLT_IN,
                       isw_words_month(month));
}

static char *cut_limit(const struct isw_plan *plan) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  return isw_words_say(ISW_SAY_LIMIT_CUT_OUTSIDE,
                       isw_words_long_date(plan->conditions.cut_from_day, from),
                       isw_words_long_date(plan->conditions.cut_to_day, to));
}

char *isw_words_limit(const struct isw_words_place *about, const struct isw_programme *programme,
                      const struct isw_place_result *result) {
  int limit = result->result.limit;
  switch (limit) {
    case ISW_LIMIT_NOTHING: return g_strdup("");
    case ISW_LIMIT_FROST: return g_strdup(isw_words_text(ISW_SAY_LIMIT_FROST));
    case ISW_LIMIT_BOLTING: return bolting_limit(about, programme, result);
    case ISW_LIMIT_NEVER_MATURES: return g_strdup(isw_words_text(ISW_SAY_LIMIT_NEVER_MATURES));
    case ISW_LIMIT_CUT_OUTSIDE: return cut_limit(about->plan);
    default: break;
  }
  int k = (limit - 1) / 2;
  if (k >= about->plan->sheet->n_stages) return g_strdup("");
  const struct isw_stage *stage = &programme->stages[k];
  bool cold = limit % 2 == 1;
  const char *own = cold ? stage->says.cold : stage->says.warm;
  if (own != NULL) return g_strdup(own);
  return isw_words_say(cold ? ISW_SAY_LIMIT_STAGE_COLD : ISW_SAY_LIMIT_STAGE_WARM, stage->title);
}

char *isw_words_short_limit(const struct isw_sheet *sheet, int limit) {
  switch (limit) {
    case ISW_LIMIT_NOTHING: return g_strdup("-");
    case ISW_LIMIT_FROST: return g_strdup(isw_words_text(ISW_SAY_CELL_FROST));
    case ISW_LIMIT_BOLTING: return g_strdup(isw_words_chilling_makes(sheet));
    case ISW_LIMIT_NEVER_MATURES: return g_strdup(isw_words_text(ISW_SAY_CELL_NEVER));
    case ISW_LIMIT_CUT_OUTSIDE: return g_strdup(isw_words_text(ISW_SAY_CELL_CUT_OUTSIDE));
    default:
      return isw_words_say(limit % 2 == 1 ? ISW_SAY_CELL_COLD : ISW_SAY_CELL_HEAT,
                           sheet->varieties[0].stages[(limit - 1) / 2].title);
  }
}

char *isw_words_join(char *a, char *b) {
  if (a == NULL) return b;
  if (b == NULL) return a;
  char *both = g_strconcat(a, " ", b, NULL);
  g_free(a);
  g_free(b);
  return both;
}

char *isw_words_years(const struct isw_result *r) {
  if (r->years < 0 || r->best_sow_day < 0) return NULL;
  if (r->years == 0) return g_strdup(isw_words_text(ISW_SAY_GOOD_IN_NO_YEAR));
  char *years = isw_words_number(r->years), *text = isw_words_say(ISW_SAY_GOOD_IN_YEARS, years);
  g_free(years);
  return text;
}

static char *window_sentence(const struct isw_result *r) {
  char best[ISW_DATE_SIZE], from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  isw_words_long_date(r->best_sow_day, best);
  if (r->window.days == 0) return isw_words_say(ISW_SAY_SOW_RISKY, best);
  if (r->window.days >= ISW_YEAR_DAYS) return isw_words_say(ISW_SAY_SOW_ALL_YEAR, best);
  if (r->window.days == 1) return isw_words_say(ISW_SAY_SOW_ONE_DAY, best);
  return isw_words_count_with(ISW_SAY_SOW_WINDOW, r->window.days,
                              isw_words_long_date(r->window.from_day, from),
                              isw_words_long_date(r->window.to_day, to), best);
}

char *isw_words_sowing(const struct isw_result *r) {
  return isw_words_join(window_sentence(r), isw_words_years(r));
}

/* One side: [goes on into a season, into none of the plan's, better with the season, without]. */
static char *edge_sentence(const struct isw_words_place *about, int v, int s, bool after) {
  const struct isw_plan *plan = about->plan;
  int edge =
      about->place->results[isw_growth_result_index(plan, v, s)].result.edge >> (after ? 1 : 0);
  if ((edge & ISW_EDGE_GOES_ON_BEFORE) == 0) return NULL;
  struct isw_window dates = about->place->seasons[s].sowing_dates;
  int next = isw_survey_season_of_day(
      plan, about->place, after ? dates.to_day + 1 : isw_base_wrap_day(dates.from_day - 1));
  char *text =
      next < 0 ? g_strdup(isw_words_text(after ? ISW_SAY_GOES_ON_LATER : ISW_SAY_BEGINS_EARLIER))
               : isw_words_say(after ? ISW_SAY_GOES_ON_AFTER : ISW_SAY_GOES_ON_BEFORE,
                               plan->sheet->seasons[plan->seasons[next]].title);
  if ((edge & ISW_EDGE_BETTER_BEFORE) == 0) return text;
  int day = isw_survey_day_beyond(plan, about->place, v, s, after);
  if (day < 0) return text;
  char date[ISW_DATE_SIZE];
  isw_words_long_date(day, date);
  int there = isw_survey_season_of_day(plan, about->place, day);
  return isw_words_join(
      text, there < 0
                ? isw_words_say(after ? ISW_SAY_BETTER_AFTER_ALL : ISW_SAY_BETTER_BEFORE_ALL, date)
                : isw_words_say(after ? ISW_SAY_BETTER_AFTER : ISW_SAY_BETTER_BEFORE,
                                plan->sheet->seasons[plan->seasons[there]].title, date));
}

char *isw_words_edge(const struct isw_words_place *about, int v, int s) {
  return isw_words_join(edge_sentence(about, v, s, false), edge_sentence(about, v, s, true));
}

char *isw_words_better_type(const struct isw_words_place *about, int v, int s) {
  const struct isw_plan *plan = about->plan;
  int other = isw_survey_better_type(plan, about->place, v, s);
  if (other < 0) return NULL;
  const struct isw_result *r =
      &about->place->results[isw_growth_result_index(plan, other, s)].result;
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE],
      *score = isw_words_number((r->score_tenths + 5) / 10);
  char *text = isw_words_say(
      ISW_SAY_BETTER_TYPE, plan->sheet->varieties[plan->varieties[other]].title, score,
      isw_words_long_date(r->window.from_day, from), isw_words_long_date(r->window.to_day, to));
  g_free(score);
  return text;
}

char *isw_words_also_good(struct isw_window window) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  return isw_words_say(ISW_SAY_ALSO_GOOD, isw_words_long_date(window.from_day, from),
                       isw_words_long_date(window.to_day, to));
}

static char *type_run(const struct isw_words_place *about, const struct isw_dated_type *run) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  const char *title = about->plan->sheet->varieties[run->variety].title;
  isw_words_short_date(run->from_day, from);
  isw_words_short_date(run->to_day, to);
  if (run->days >= ISW_YEAR_DAYS) return isw_words_say(ISW_SAY_TYPE_ALL_YEAR, title);
  if (run->follows) return isw_words_say(ISW_SAY_TYPE_THEN_TO, to, title);
  return run->days == 1 ? isw_words_say(ISW_SAY_TYPE_ON, from, title)
                        : isw_words_say(ISW_SAY_TYPE_FROM_TO, from, to, title);
}

char *isw_words_types(const struct isw_words_place *about, const struct isw_year_types *types) {
  if (types->n_runs == 0) return g_strdup(isw_words_text(ISW_SAY_TYPES_NONE));
  char *line = NULL;
  for (int i = 0; i < types->n_runs; i++) {
    char *run = type_run(about, &types->runs[i]), *before = line;
    if (before == NULL) {
      line = run;
      continue;
    }
    line =
        isw_words_say(types->runs[i].follows ? ISW_SAY_LIST_MORE : ISW_SAY_TYPES_MORE, before, run);
    g_free(before);
    g_free(run);
  }
  char *text = isw_words_say(ISW_SAY_TYPES_YEAR, line);
  g_free(line);
  return text;
}

const char *isw_words_chilling_makes(const struct isw_sheet *sheet) {
  return sheet->chilling_makes != NULL ? sheet->chilling_makes : isw_words_text(ISW_SAY_BOLTING);
}

/* What the first stages' shelter does on the best day's days there. */
struct shelter_work {
  const struct isw_shelter *shelter; /* NULL: open ground */
  bool warms, cools;
};

static struct shelter_work shelter_work(const struct isw_words_place *about,
                                        const struct isw_programme *programme,
                                        const struct isw_place_result *result) {
  static const double matters_K = 2.0;
  struct shelter_work work = {NULL, false, false};
  int index = programme->stages[0].shelter;
  if (index == ISW_OPEN_GROUND || result->sowing.n_stages == 0) return work;
  const struct isw_shelter *shelter = &about->plan->sheet->shelters[index];
  double lo_C = 0.0, hi_C = 0.0;
  int days = 0;
  for (int k = 0; k < result->sowing.n_stages; k++) {
    if (programme->stages[k].shelter != index) break;
    const struct isw_stage_run *run = &result->sowing.runs[k];
    for (int i = run->from_after; i < run->to_after; i++, days++) {
      lo_C += about->place->year.tmin_C[isw_base_wrap_day(result->result.best_sow_day + i)];
      hi_C += about->place->year.tmax_C[isw_base_wrap_day(result->result.best_sow_day + i)];
    }
  }
  work.shelter = shelter;
  work.warms = shelter->warm_to_C - lo_C / days > matters_K && shelter->warm_most_K > matters_K;
  work.cools = hi_C / days - shelter->cool_to_C > 0.0;
  return work;
}

char *isw_words_start(const struct isw_words_place *about, const struct isw_programme *programme,
                      const struct isw_place_result *result) {
  /* [in place][warms by a temperature that it keeps, warms, neither][cools] */
  static const enum isw_sentence sentences[2][3][2] = {
      {{ISW_SAY_START_SEED_WARM, ISW_SAY_START_SEED_WARM_SHADE},
       {ISW_SAY_START_SEED_COVER, ISW_SAY_START_SEED_COVER_SHADE},
       {ISW_SAY_START_SEED, ISW_SAY_START_SEED_SHADE}},
      {{ISW_SAY_SOW_IN_PLACE_WARM, ISW_SAY_SOW_IN_PLACE_WARM_SHADE},
       {ISW_SAY_SOW_IN_PLACE_COVER, ISW_SAY_SOW_IN_PLACE_COVER_SHADE},
       {ISW_SAY_SOW_IN_PLACE_COVER, ISW_SAY_SOW_IN_PLACE_SHADE}}};
  struct shelter_work work = shelter_work(about, programme, result);
  if (work.shelter == NULL) return g_strdup(isw_words_text(ISW_SAY_SOW_IN_PLACE));
  /* Only a shelter without a bound on its warming can be asked to keep a temperature. */
  bool keeps = work.warms && work.shelter->warm_most_K > ISW_YEAR_DAYS;
  int warmth = keeps ? 0 : work.warms ? 1 : 2;
  enum isw_sentence sentence = sentences[programme->transplant_stage < 0][warmth][work.cools];
  char *where = g_strdelimit(g_strdup(work.shelter->name), "-", ' '); /* a place to start seed in */
  char *warm = isw_words_temperature(work.shelter->warm_to_C, about->fahrenheit);
  char *text = keeps ? isw_words_say(sentence, where, warm) : isw_words_say(sentence, where);
  g_free(warm);
  g_free(where);
  return text;
}

static char *cut_sentence(const struct isw_result *r) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  bool ranged =
      r->window.days > 1 && r->window.days < ISW_YEAR_DAYS && r->cut_from_day != r->cut_to_day;
  if (ranged)
    return isw_words_say(ISW_SAY_CUT_BETWEEN, isw_words_long_date(r->cut_from_day, from),
                         isw_words_long_date(r->cut_to_day, to));
  char *cut = isw_words_say(ISW_SAY_CUT_ABOUT, isw_words_long_date(r->harvest_day, from));
  if (r->window.days < ISW_YEAR_DAYS) return cut;
  return isw_words_join(cut, isw_words_count(ISW_SAY_CUT_AFTER, r->growing_days));
}

char *isw_words_growing(const struct isw_result *r) {
  char date[ISW_DATE_SIZE];
  char *cut = cut_sentence(r);
  if (r->transplant_day < 0) return cut;
  return isw_words_join(
      isw_words_say(ISW_SAY_TRANSPLANT, isw_words_long_date(r->transplant_day, date)), cut);
}

char *isw_words_quality(const struct isw_words_place *about, const struct isw_programme *programme,
                        const struct isw_place_result *full) {
  int tenths = full->result.score_tenths;
  char *limit = isw_words_limit(about, programme, full);
  char *score = isw_words_number((tenths + 5) / 10);
  const char *word = isw_words_score(tenths);
  char *text = limit[0] == '\0' ? isw_words_say(ISW_SAY_QUALITY, score, word)
                                : isw_words_say(ISW_SAY_QUALITY_LIMIT, score, word, limit);
  g_free(score);
  g_free(limit);
  return text;
}

/* "2.1 to 9.8", or the first alone; frees both. */
static char *range(bool same, char *least, char *most) {
  char *text = same ? g_strdup(least) : isw_words_say(ISW_SAY_RANGE, least, most);
  g_free(least);
  g_free(most);
  return text;
}

static char *percent_range(double least, double most) {
  static const double percent = 100.0;
  bool same = isw_growth_round_tenths(percent * least) == isw_growth_round_tenths(percent * most);
  return range(same, isw_words_percent(least), isw_words_percent(most));
}

static char *frost_range(double least, double most) {
  return range(isw_words_frost_class(least) == isw_words_frost_class(most),
               g_strdup(isw_words_frost(least)), g_strdup(isw_words_frost(most)));
}

static char *bolting_range(double least, double most) {
  return range(isw_words_bolting_class(least) == isw_words_bolting_class(most),
               g_strdup(isw_words_bolting(least)), g_strdup(isw_words_bolting(most)));
}

/* Of a variety that no stage of which can freeze. */
static char *risks_without_frost(const char *makes, bool bolts, const struct isw_risk_range *odds,
                                 bool has_chilling) {
  if (!has_chilling) return g_strdup(isw_words_text(ISW_SAY_RISKS_NO_FROST_ALONE));
  if (!bolts) return isw_words_say(ISW_SAY_RISKS_NEITHER, makes);
  char *bolting = percent_range(odds->bolt_least, odds->bolt_most);
  char *word = bolting_range(odds->bolt_least, odds->bolt_most);
  char *text = isw_words_say(ISW_SAY_RISKS_NO_FROST, makes, word, bolting);
  g_free(bolting);
  g_free(word);
  return text;
}

char *isw_words_risks(const struct isw_words_place *about, int v, int s) {
  const struct isw_plan *plan = about->plan;
  const struct isw_sheet *sheet = plan->sheet;
  const char *makes = isw_words_chilling_makes(sheet);
  struct isw_risk_range odds = isw_survey_risk_range(plan, about->place, v, s);
  const struct isw_programme *programme = &plan->programmes[plan->programme_of[v][s]];
  if (!isw_crop_can_freeze(sheet, programme->variety))
    return risks_without_frost(makes, programme->bolts, &odds, sheet->has_chilling);
  char *frost = percent_range(odds.frost_least, odds.frost_most);
  char *frost_word = frost_range(odds.frost_least, odds.frost_most);
  char *text;
  if (!sheet->has_chilling) {
    text = isw_words_say(ISW_SAY_RISKS_FROST, frost_word, frost);
  } else if (!programme->bolts) {
    text = isw_words_say(ISW_SAY_RISKS_NO_BOLTING, frost_word, frost, makes);
  } else {
    char *bolting = percent_range(odds.bolt_least, odds.bolt_most);
    char *word = bolting_range(odds.bolt_least, odds.bolt_most);
    text = isw_words_say(ISW_SAY_RISKS, frost_word, frost, makes, word, bolting);
    g_free(bolting);
    g_free(word);
  }
  g_free(frost);
  g_free(frost_word);
  return text;
}

char *isw_words_wait(const struct isw_words_place *about, const struct isw_place_crop *crop) {
  const struct isw_plan *plan = about->plan;
  const struct isw_cut_words *cut = &plan->sheet->cut;
  bool at_once = plan->sheet->seasons[plan->seasons[crop->season]].cut_at_once;
  if (!at_once && !isw_survey_crop_cannot_wait(plan, about->place, crop)) return NULL;
  if (cut->one != NULL && cut->ready != NULL)
    return isw_words_say(at_once ? ISW_SAY_CUT_AT_ONCE : ISW_SAY_CUT_AT_ONCE_HEAT, cut->one,
                         cut->ready);
  return g_strdup(
      isw_words_text(at_once ? ISW_SAY_CUT_AT_ONCE_READY : ISW_SAY_CUT_AT_ONCE_HEAT_READY));
}

/* Of the varieties in a season: most years, then the highest score, first in sheet order. */
static int nearest_variety(const struct isw_words_place *about, int s) {
  const struct isw_result *best = NULL;
  int nearest = 0;
  for (int v = 0; v < about->plan->n_varieties; v++) {
    const struct isw_result *r =
        &about->place->results[isw_growth_result_index(about->plan, v, s)].result;
    bool better = best == NULL || r->years > best->years ||
                  (r->years == best->years && r->score_tenths > best->score_tenths);
    if (!better) continue;
    best = r;
    nearest = v;
  }
  return nearest;
}

char *isw_words_no_pick(const struct isw_words_place *about, int s) {
  const struct isw_plan *plan = about->plan;
  int v = nearest_variety(about, s);
  const struct isw_place_result *full = &about->place->results[isw_growth_result_index(plan, v, s)];
  const struct isw_programme *programme = &plan->programmes[plan->programme_of[v][s]];
  if (full->result.limit == ISW_LIMIT_NEVER_MATURES)
    return g_strdup(isw_words_text(ISW_SAY_NOTHING_MATURES));
  /* A day that would read "0 of 100" is not near to anything. */
  if (full->result.best_sow_day < 0 || (full->result.score_tenths + 5) / 10 == 0) {
    char *limit = isw_words_limit(about, programme, full);
    char *text = isw_words_say(ISW_SAY_NOTHING_TO_SOW, limit);
    g_free(limit);
    return text;
  }
  char date[ISW_DATE_SIZE];
  char *text = isw_words_say(ISW_SAY_NOTHING_BUT, plan->sheet->varieties[plan->varieties[v]].title,
                             isw_words_long_date(full->result.best_sow_day, date));
  text = isw_words_join(text, isw_words_years(&full->result));
  return isw_words_join(text, isw_words_quality(about, programme, full));
}

/* What limits the season as it is, of the type that comes nearest; "" for nothing. */
static char *nearest_limit(const struct isw_words_place *about, int s) {
  const struct isw_plan *plan = about->plan;
  int v = nearest_variety(about, s);
  return isw_words_limit(about, &plan->programmes[plan->programme_of[v][s]],
                         &about->place->results[isw_growth_result_index(plan, v, s)]);
}

static char *shift_sentence(const struct isw_words_place *about, int s,
                            const struct isw_opening *opening, const char *title) {
  bool cooler = opening->shift_K < 0;
  char *limit = nearest_limit(about, s),
       *shift = isw_words_difference(fabs(opening->shift_K), about->fahrenheit);
  char *text =
      limit[0] == '\0'
          ? isw_words_say(cooler ? ISW_SAY_OPENS_COOLER : ISW_SAY_OPENS_WARMER, shift, title)
          : isw_words_say(cooler ? ISW_SAY_OPENS_COOLER_LIMIT : ISW_SAY_OPENS_WARMER_LIMIT, shift,
                          title, limit);
  g_free(shift);
  g_free(limit);
  return text;
}

char *isw_words_opening(const struct isw_words_place *about, int s) {
  const struct isw_sheet *sheet = about->plan->sheet;
  const struct isw_opening *opening = &about->place->seasons[s].opening;
  const char *title = opening->variety < 0 ? NULL : sheet->varieties[opening->variety].title;
  char *text = NULL, *bound;
  switch (opening->by) {
    case ISW_OPENS_ITSELF: return NULL;
    case ISW_OPENS_SHELTER:
      text = isw_words_say(ISW_SAY_OPENS_UNDER, sheet->shelters[opening->shelter].title, title);
      break;
    case ISW_OPENS_START:
      text = isw_words_say(
          opening->start == ISW_START_DIRECT ? ISW_SAY_OPENS_DIRECT : ISW_SAY_OPENS_NURSERY, title);
      break;
    case ISW_OPENS_SHIFT: return shift_sentence(about, s, opening, title);
    case ISW_OPENS_NOT:
      bound = isw_words_difference(isw_survey_greatest_shift_K(), about->fahrenheit);
      text = isw_words_say(ISW_SAY_OPENS_NOT, bound);
      g_free(bound);
      return text;
  }
  return isw_words_join(text, isw_words_sowing(&opening->result));
}

static char *coordinate(const char *text, enum isw_sentence sentence) {
  return isw_words_say(sentence, text + (text[0] == '-' || text[0] == '+' ? 1 : 0));
}

char *isw_words_latitude(const char *text, double lat_deg) {
  return coordinate(text, lat_deg < 0.0 ? ISW_SAY_LATITUDE_SOUTH : ISW_SAY_LATITUDE_NORTH);
}

char *isw_words_longitude(const char *text, double lon_deg) {
  return coordinate(text, lon_deg < 0.0 ? ISW_SAY_LONGITUDE_WEST : ISW_SAY_LONGITUDE_EAST);
}
