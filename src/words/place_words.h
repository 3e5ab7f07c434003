/* Plain words for what the model says about a place: whole sentences about one variety in one
 * season for card, chart, print and calendar file alike, made from the plan, the place and its
 * result. All texts are new. What a crop calls things comes from its sheet. */
#ifndef ISW_WORDS_PLACE_WORDS_H
#define ISW_WORDS_PLACE_WORDS_H

#include <glib.h>

#include "survey/place_crops.h"

/* What sentences are about. */
struct isw_words_place {
  const struct isw_plan *plan;
  const struct isw_place *place;
  bool fahrenheit;
};

/* A clause: "hearts form in too much heat", "may bolt after a cold spring"; "" for nothing. */
char *isw_words_limit(const struct isw_words_place *about, const struct isw_programme *programme,
                      const struct isw_place_result *result);

/* The limit in few words, for a cell or a label: "rosette cold", "heading heat"; "-" for nothing.
 */
char *isw_words_short_limit(const struct isw_sheet *sheet, int limit);

/* "Sow 31 July to 18 August (19 days), best 13 August." */
char *isw_words_sowing(const struct isw_result *result);

/* "Start seed in the shade (nursery).", "Sow in place.": by the first stage's shelter and what it
 * does on those days. */
char *isw_words_start(const struct isw_words_place *about, const struct isw_programme *programme,
                      const struct isw_place_result *result);

/* "Transplant about 3 September. Cut between 31 October and 20 November." */
char *isw_words_growing(const struct isw_place_result *result);

/* "Score 87 of 100, very good; the weak point: hearts form in too much heat." */
char *isw_words_quality(const struct isw_words_place *about, const struct isw_programme *programme,
                        const struct isw_place_result *result);

/* "Frost rare (2.1 %), bolting low (0.0 %)." */
char *isw_words_risks(const struct isw_words_place *about, const struct isw_programme *programme,
                      const struct isw_result *result);

/* "Cut as soon as ready: ..." where the crop does not wait in the field, or NULL. */
char *isw_words_wait(const struct isw_words_place *about, const struct isw_place_crop *crop);

/* "Nothing to sow. The nearest is ...": a season (chosen index) without a pick. */
char *isw_words_no_pick(const struct isw_words_place *about, int season);

/* Two sentences beside each other, and both freed; b may be NULL. */
char *isw_words_join(char *a, char *b);

/* "44.2° N", "150.1° W" of the text given and its value. */
char *isw_words_latitude(const char *text, double lat_deg);
char *isw_words_longitude(const char *text, double lon_deg);

#endif
