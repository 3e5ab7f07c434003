/* Plain words for what the model says about a place: whole sentences about one variety in one
 * season for card, chart, print and calendar file alike, made from the plan, the place and its
 * result. All texts are new. What a crop calls things comes from its sheet. */
#ifndef ISW_WORDS_PLACE_WORDS_H
#define ISW_WORDS_PLACE_WORDS_H

#include <glib.h>

#include "survey/place_crops.h"
#include "survey/place_types.h"

/* What sentences are about. */
struct isw_words_place {
  const struct isw_plan *plan;
  const struct isw_place *place;
  bool fahrenheit;
};

/* A clause: "hearts form in too much heat", "may bolt after a cold April"; "" for nothing. */
char *isw_words_limit(const struct isw_words_place *about, const struct isw_programme *programme,
                      const struct isw_place_result *result);

/* The limit in few words, for a cell or a label: "rosette cold", "heading heat"; "-" for nothing.
 */
char *isw_words_short_limit(const struct isw_sheet *sheet, int limit);

/* "Sow 31 July to 18 August (19 days), best 13 August. Good in 9 of 10 years." */
char *isw_words_sowing(const struct isw_result *result);

/* "Good in 9 of 10 years."; NULL where years are not counted or there is no best day. */
char *isw_words_years(const struct isw_result *result);

/* What is beyond the season's ends: "Goes on into summer. Better still later: 20 July (autumn).";
 * NULL for nothing. v, s: chosen indexes. */
char *isw_words_edge(const struct isw_words_place *about, int v, int s);

/* "Early heat-tolerant type promises more: ..." where another one scores ISW_BETTER_TENTHS more
 * than the pick v in season s, or NULL. */
char *isw_words_better_type(const struct isw_words_place *about, int v, int s);

/* "Also good: sow 5 September to 12 September." */
char *isw_words_also_good(struct isw_window window);

/* "26 Jul-7 Aug Late storage type, to 14 Aug Standard type; ..." */
char *isw_words_types(const struct isw_words_place *about, const struct isw_year_types *types);

/* "Start seed in the shade (nursery).", "Sow in place.": by the first stage's shelter and what it
 * does on those days. */
char *isw_words_start(const struct isw_words_place *about, const struct isw_programme *programme,
                      const struct isw_place_result *result);

/* "Transplant about 3 September. Cut between 31 October and 20 November." */
char *isw_words_growing(const struct isw_result *result);

/* "Score 87 of 100, very good; the weak point: hearts form in too much heat." */
char *isw_words_quality(const struct isw_words_place *about, const struct isw_programme *programme,
                        const struct isw_place_result *result);

/* "Frost rare to at times (2.1 to 9.8 %), bolting low (0.0 %).": over the days of the window, or on
 * the best day where there is none. v, s: chosen indexes. */
char *isw_words_risks(const struct isw_words_place *about, int v, int s);

/* "Cut as soon as ready: ..." where the crop does not wait in the field, or NULL. */
char *isw_words_wait(const struct isw_words_place *about, const struct isw_place_crop *crop);

/* "Nothing to sow. The nearest is ...": a season (chosen index) without a pick. */
char *isw_words_no_pick(const struct isw_words_place *about, int season);

/* What it would take in a season (chosen index) without a window: "Under row-cover in the field
 * there is a window: ..."; NULL where it has one. */
char *isw_words_opening(const struct isw_words_place *about, int season);

/* Two sentences beside each other, and both freed; b may be NULL. */
char *isw_words_join(char *a, char *b);

/* What chilling makes of the crop, where anything chills it: "bolting", or the sheet's word. */
const char *isw_words_chilling_makes(const struct isw_sheet *sheet);

/* "44.2° N", "150.1° W" of the text given and its value. */
char *isw_words_latitude(const char *text, double lat_deg);
char *isw_words_longitude(const char *text, double lon_deg);

#endif
