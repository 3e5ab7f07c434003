/* Words that the page and the print share. */
#ifndef ISW_GUIDE_GUIDE_WORDS_H
#define ISW_GUIDE_GUIDE_WORDS_H

#include <glib.h>

#include "guide/guide_facts.h"
#include "survey/place_crops.h"

/* Paragraphs, new; NULL past the last. */
char *isw_guide_caution(const struct isw_guide_facts *facts, int index);
char *isw_guide_method(const struct isw_guide_facts *facts, int index);

/* "Sample island – Heading Chinese cabbage: when to sow", of n crops with all of them; titles stand
 * as they were given, whatever word they begin with. New. */
char *isw_guide_title(int n, const struct isw_guide_facts *crops);
/* The same without the region. New. */
char *isw_guide_subjects(int n, const struct isw_guide_facts *crops);
char *isw_guide_subject(const struct isw_guide_facts *facts);

/* "Gullmarsh", or "1 Gullmarsh" where the print's maps have numbers. New. */
char *isw_guide_print_name(const struct isw_guide_facts *facts, int area);

/* The same of the area's district, without heights; and its heights alone, or NULL where districts
 * are not split by them. New. */
char *isw_guide_print_district_name(const struct isw_guide_facts *facts, int area);
char *isw_guide_area_heights(const struct isw_guide_facts *facts, int area);
/* Is this the first area of its district, or the last? */
bool isw_guide_begins_district(const struct isw_guide_facts *facts, int area);
bool isw_guide_ends_district(const struct isw_guide_facts *facts, int area);

/* "Normals of 1991-2020.", or "Normals, period not stated.", and what was asked beside the usual
 * conditions: "Every normal taken 2 °C warmer." New. */
char *isw_guide_period_words(const struct isw_guide_facts *facts);
/* That, whether the normals are old, and that they are no forecast. New. */
char *isw_guide_lead(const struct isw_guide_facts *facts);
/* What every printed page says at its foot. New. */
char *isw_guide_foot(const struct isw_guide_facts *facts);

/* What share of a district counts, where a mask is given, and "Spring: each 300 m higher, the best
 * day is 9 days later, give or take 4." of each season's type to choose, where districts are split
 * by height; NULL: nothing can be said. New. */
char *isw_guide_land_words(const struct isw_guide_facts *facts, int district);

/* Is something to be chosen in any season? A band of a district without it has rows, but no
 * calendar and no handout. */
bool isw_guide_area_has_pick(const struct isw_guide_facts *facts, int area);

/* "mid Mar"; returns out (ISW_DATE_SIZE). day 0..364 */
const char *isw_guide_part_of_month(int day, char *out);

/* The name of a variety with what is to be said of the pick; "nothing worth sowing". New. */
char *isw_guide_pick_words(const struct isw_guide_facts *facts, struct isw_table_pick pick);

/* The chosen index of a variety by its sheet index, or -1. */
int isw_guide_chosen_variety(const struct isw_plan *plan, int variety);

/* "Spring and summer": the seasons of a crop of a place. New. */
char *isw_guide_crop_seasons(const struct isw_plan *plan, const struct isw_place_crop *crop);

/* "1 Jan to 15 May": the season's sowing dates in the region, of both sides where the equator
 * crosses it. New. */
char *isw_guide_season_dates(const struct isw_guide_facts *facts, int s);

/* "26 Jul – 7 Aug", or the one day; with the type (sheet index) in front. New. */
char *isw_guide_days_words(struct isw_window days);
char *isw_guide_type_words(const struct isw_guide_facts *facts, int variety,
                           struct isw_window days);

/* "leaves grow in the cold", "–" for nothing: a limit code of a variety in a season (chosen
 * indexes), wherever it is. New. */
char *isw_guide_limit_words(const struct isw_plan *plan, int v, int s, int limit);

#endif
