/* Answers about sowing on one date, and planting plans, as text of 80 columns for a grower. */
#ifndef ISW_OUTPUT_DAYS_CARD_H
#define ISW_OUTPUT_DAYS_CARD_H

#include "output/place_card.h"
#include "survey/planting_plan.h"

/* What comes of sowing on a day, 0..364, at a place: days of each of n crops there. Of several,
 * what of each can be sown then stands first. */
void isw_output_append_sowing_card(GString *out, int n, struct isw_place_days *const *days, int day,
                                   const struct isw_card_options *options);

/* A plan of n cuts, one each `every` days, as isw_survey_plan_cuts gives them. */
void isw_output_append_cuts_card(GString *out, const struct isw_place_days *days, int every, int n,
                                 const struct isw_planned_cut *cuts,
                                 const struct isw_card_options *options);

#endif
