/* What every class of every map looks like. Checked in tests/chart/test_palette.c for readers who
 * confuse colours and for grey. */
#ifndef ISW_CHART_PALETTE_H
#define ISW_CHART_PALETTE_H

#include <stdbool.h>

#include "base/dates.h"
#include "chart/hatch.h"
#include "survey/tally.h"

/* Colours of the year's 36 ten-day periods, 0: early January. A closed loop: the last is as near to
 * the first as any two neighbours. Hue tells the time of year (winter blue, spring green, summer
 * gold, autumn red), lightness parts periods that follow each other. */
void isw_chart_period_colours(struct isw_colour colours[ISW_TEN_DAY_PERIODS]);

/* Score class 0..3, lightest to darkest. */
struct isw_fill isw_chart_score_fill(int score_class);

/* Class 0..4 of years out of ten, lightest to darkest. */
struct isw_fill isw_chart_years_fill(int years_class);

/* Of a season that is a flank of something better: the ground under rising lines (better later),
 * falling ones (better earlier) or both. */
struct isw_fill isw_chart_flank_fill(struct isw_colour ground, bool earlier, bool later);

/* Variety by sheet index: colour and hatch together are unique. risky: lighter, with dots. */
struct isw_fill isw_chart_variety_fill(int variety, bool risky);

/* No window, or no pick: light grey with a fine hatch. */
struct isw_fill isw_chart_empty_fill(void);

/* A colour without a hatch. */
struct isw_fill isw_chart_plain_fill(struct isw_colour colour);

/* RGBA of pick codes 0..255 for the raster's own colour table. */
void isw_chart_pick_colours(const struct isw_plan *plan, uint8_t colours[256][4]);
/* The same of the codes of survey/opens_map.h; and one code's. */
struct isw_fill isw_chart_opens_fill(int code);
void isw_chart_opens_colours(const struct isw_plan *plan, uint8_t colours[256][4]);

#endif
