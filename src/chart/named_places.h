/* Towns and other named places on a map: a ring and a name, clear of each other and of all labels
 * that come after. */
#ifndef ISW_CHART_NAMED_PLACES_H
#define ISW_CHART_NAMED_PLACES_H

#include "chart/label_space.h"
#include "regions/place_list.h"

/* Where they come to lie, in the list's order: rings first, then as many names as find room beside
 * theirs; both are taken from space. New array, freed with g_ptr_array_unref. */
GPtrArray *isw_chart_place_names(struct isw_pen *pen, const struct isw_map_source *source,
                                 const struct isw_map_frame *frame,
                                 const struct isw_place_list *places,
                                 struct isw_label_space *space);

struct isw_drawn_place {
  const char *name; /* the list's */
  double x_mm, y_mm;
  bool named;
  double name_x_mm, name_y_mm, across; /* of the name, as a text is drawn */
};
void isw_chart_draw_places(struct isw_pen *pen, const GPtrArray *places);

#endif
