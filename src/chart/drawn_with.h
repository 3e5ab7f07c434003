/* What draws the pages, for a run's record: other versions may draw other pixels. */
#ifndef ISW_CHART_DRAWN_WITH_H
#define ISW_CHART_DRAWN_WITH_H

/* "cairo 1.16.0, Pango 1.50.12, fontconfig 2.14.1, libpng 1.6.39, PROJ 9.1.1"; new (g_free). */
char *isw_chart_drawn_with(void);

#endif
