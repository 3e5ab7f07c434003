#include "words/place_words.h"

#include "words/classes.h"
#include "words/date_words.h"
#include "words/quantities.h"
#include "words/say.h"

/* Seasons of the weather by the calendar, whatever the sheet calls its own. */
enum time_of_year { WINTER, SPRING, SUMMER, AUTUMN };

static enum time_of_year time_of_year(int day, bool south) {
  int month, day_of_month;
  isw_base_date_of_day(day + (south ? ISW_HALF_YEAR_DAYS : 0), &month, &day_of_month);
  return (enum time_of_year)(month % 12 / 3);
}

static char *bolting_limit(const struct isw_words_place *about,
                           const struct isw_programme *programme,
                           const struct isw_place_result *result) {
  static const enum isw_sentence may[] = {ISW_SAY_LIMIT_MAY_BOLT_WINTER,
                                          ISW_SAY_LIMIT_MAY_BOLT_SPRING,
                                          ISW_SAY_LIMIT_MAY_BOLT_SUMMER,
                                          ISW_SAY_LIMIT_MAY_BOLT_AUTUMN},
                                 likely[] = {ISW_SAY_LIMIT_BOLTS_WINTER, ISW_SAY_LIMIT_BOLTS_SPRING,
                                             ISW_SAY_LIMIT_BOLTS_SUMMER,
                                             ISW_SAY_LIMIT_BOLTS_AUTUMN};
  bool is_likely = isw_words_bolting_class(result->result.bolt_risk) == ISW_BOLTING_HIGH;
  const char *makes = about->plan->sheet->chilling_makes;
  if (makes != NULL)
    return isw_words_say(is_likely ? ISW_SAY_LIMIT_MAKES : ISW_SAY_LIMIT_MAY_MAKE, makes);
  int last = 0; /* end of the days that chill */
  for (int k = 0; k < result->sowing.n_stages; k++)
    if (programme->stages[k].chills) last = result->sowing.runs[k].to_after;
  if (last == 0)
    return g_strdup(isw_words_text(is_likely ? ISW_SAY_LIMIT_BOLTS : ISW_SAY_LIMIT_MAY_BOLT));
  enum time_of_year when =
      time_of_year(result->result.best_sow_day + last / 2, about->place->south);
  return g_strdup(isw_words_text(is_likely ? likely[when] : may[when]));
}

char *isw_words_limit(const struct isw_words_place *about, const struct isw_programme *programme,
                      const struct isw_place_result *result) {
  int limit = result->result.limit;
  switch (limit) {
    case ISW_LIMIT_NOTHING: return g_strdup("");
    case ISW_LIMIT_FROST: return g_strdup(isw_words_text(ISW_SAY_LIMIT_FROST));
    case ISW_LIMIT_BOLTING: return bolting_limit(about, programme, result);
    case ISW_LIMIT_NEVER_MATURES: return g_strdup(isw_words_text(ISW_SAY_LIMIT_NEVER_MATURES));
    default: break;
  }
  int k = (limit - 1) / 2;
  if (k >= about->plan->sheet->n_stages) return g_strdup("");
  const struct isw_stage *stage = &programme->stages[k];
  bool cold = limit % 2 == 1;
  const char *own = cold ? stage->says.cold : stage->says.warm;
  if (own != NULL) return g_strdup(own);
  return isw_words_say(cold ? ISW_SAY_LIMIT_STAGE_COLD : ISW_SAY_LIMIT_STAGE_WARM, stage->name);
}

char *isw_words_short_limit(const struct isw_sheet *sheet, int limit) {
  switch (limit) {
    case ISW_LIMIT_NOTHING: return g_strdup("-");
    case ISW_LIMIT_FROST: return g_strdup(isw_words_text(ISW_SAY_CELL_FROST));
    case ISW_LIMIT_BOLTING:
      return g_strdup(sheet->chilling_makes != NULL ? sheet->chilling_makes
                                                    : isw_words_text(ISW_SAY_BOLTING));
    case ISW_LIMIT_NEVER_MATURES: return g_strdup(isw_words_text(ISW_SAY_CELL_NEVER));
    default:
      return isw_words_say(limit % 2 == 1 ? ISW_SAY_CELL_COLD : ISW_SAY_CELL_HEAT,
                           sheet->varieties[0].stages[(limit - 1) / 2].name);
  }
}

char *isw_words_join(char *a, char *b) {
  if (b == NULL) return a;
  char *both = g_strconcat(a, " ", b, NULL);
  g_free(a);
  g_free(b);
  return both;
}

char *isw_words_sowing(const struct isw_result *r) {
  char best[ISW_DATE_SIZE], from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  isw_words_long_date(r->best_sow_day, best);
  if (r->window.days == 0) return isw_words_say(ISW_SAY_SOW_NO_WINDOW, best);
  if (r->window.days >= ISW_YEAR_DAYS) return isw_words_say(ISW_SAY_SOW_ALL_YEAR, best);
  if (r->window.days == 1) return isw_words_say(ISW_SAY_SOW_ONE_DAY, best);
  return isw_words_count_with(ISW_SAY_SOW_WINDOW, r->window.days,
                              isw_words_long_date(r->window.from_day, from),
                              isw_words_long_date(r->window.to_day, to), best);
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
  if (!keeps) return isw_words_say(sentence, work.shelter->name);
  char *warm = isw_words_temperature(work.shelter->warm_to_C, about->fahrenheit);
  char *text = isw_words_say(sentence, work.shelter->name, warm);
  g_free(warm);
  return text;
}

static char *cut_sentence(const struct isw_place_result *full) {
  const struct isw_result *r = &full->result;
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  bool ranged = r->window.days > 1 && r->window.days < ISW_YEAR_DAYS &&
                full->harvest_from_day != full->harvest_to_day;
  if (ranged)
    return isw_words_say(ISW_SAY_CUT_BETWEEN, isw_words_long_date(full->harvest_from_day, from),
                         isw_words_long_date(full->harvest_to_day, to));
  char *cut = isw_words_say(ISW_SAY_CUT_ABOUT, isw_words_long_date(r->harvest_day, from));
  if (r->window.days < ISW_YEAR_DAYS) return cut;
  return isw_words_join(cut, isw_words_count(ISW_SAY_CUT_AFTER, r->growing_days));
}

char *isw_words_growing(const struct isw_place_result *full) {
  char date[ISW_DATE_SIZE];
  char *cut = cut_sentence(full);
  if (full->result.transplant_day < 0) return cut;
  return isw_words_join(
      isw_words_say(ISW_SAY_TRANSPLANT, isw_words_long_date(full->result.transplant_day, date)),
      cut);
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

char *isw_words_risks(const struct isw_words_place *about, const struct isw_programme *programme,
                      const struct isw_result *result) {
  const struct isw_sheet *sheet = about->plan->sheet;
  const char *makes =
      sheet->chilling_makes != NULL ? sheet->chilling_makes : isw_words_text(ISW_SAY_BOLTING);
  char *frost = isw_words_percent(result->frost_risk), *bolting = NULL, *text;
  const char *frost_word = isw_words_frost(result->frost_risk);
  if (!sheet->has_chilling) {
    text = isw_words_say(ISW_SAY_RISKS_FROST, frost_word, frost);
  } else if (!programme->bolts) {
    text = isw_words_say(ISW_SAY_RISKS_NO_BOLTING, frost_word, frost, makes);
  } else {
    bolting = isw_words_percent(result->bolt_risk);
    text = isw_words_say(ISW_SAY_RISKS, frost_word, frost, makes,
                         isw_words_bolting(result->bolt_risk), bolting);
  }
  g_free(frost);
  g_free(bolting);
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

char *isw_words_no_pick(const struct isw_words_place *about, int s) {
  const struct isw_plan *plan = about->plan;
  const struct isw_place_result *best = NULL;
  int best_v = 0;
  for (int v = 0; v < plan->n_varieties; v++) {
    const struct isw_place_result *full =
        &about->place->results[isw_growth_result_index(plan, v, s)];
    if (best != NULL && full->result.score_tenths <= best->result.score_tenths) continue;
    best = full;
    best_v = v;
  }
  char *limit = isw_words_limit(about, &plan->programmes[plan->programme_of[best_v][s]], best),
       *text;
  if (best->result.limit == ISW_LIMIT_NEVER_MATURES) {
    text = g_strdup(isw_words_text(ISW_SAY_NOTHING_MATURES));
  } else if (best->result.best_sow_day < 0) {
    text = isw_words_say(ISW_SAY_NOTHING_TO_SOW_LIMIT, limit);
  } else {
    char date[ISW_DATE_SIZE];
    char *score = isw_words_number((best->result.score_tenths + 5) / 10);
    const char *title = plan->sheet->varieties[plan->varieties[best_v]].title;
    const char *word = isw_words_score(best->result.score_tenths);
    isw_words_long_date(best->result.best_sow_day, date);
    text = limit[0] == '\0'
               ? isw_words_say(ISW_SAY_NOTHING_BUT, title, date, score, word)
               : isw_words_say(ISW_SAY_NOTHING_BUT_LIMIT, title, date, score, word, limit);
    g_free(score);
  }
  g_free(limit);
  return text;
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
