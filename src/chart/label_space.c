#include "chart/label_space.h"

#include <math.h>

void isw_chart_init_label_space(struct isw_label_space *space, struct isw_box bounds) {
  space->bounds = bounds;
  space->taken = g_array_new(FALSE, FALSE, sizeof(struct isw_label_box));
}

void isw_chart_clear_label_space(struct isw_label_space *space) {
  g_clear_pointer(&space->taken, g_array_unref);
}

/* Half of a box's shadow on a line at `angle`. */
static double shadow(const struct isw_label_box *box, double angle) {
  return box->half_width_mm * fabs(cos(box->angle - angle)) +
         box->half_height_mm * fabs(sin(box->angle - angle));
}

/* Boxes are apart when some side's direction separates them (separating axis theorem). */
static bool overlap(const struct isw_label_box *a, const struct isw_label_box *b) {
  double axes[4] = {a->angle, a->angle + G_PI / 2, b->angle, b->angle + G_PI / 2};
  for (int i = 0; i < 4; i++) {
    double apart = fabs((a->x_mm - b->x_mm) * cos(axes[i]) + (a->y_mm - b->y_mm) * sin(axes[i]));
    if (apart > shadow(a, axes[i]) + shadow(b, axes[i])) return false;
  }
  return true;
}

bool isw_chart_take_label_space(struct isw_label_space *space, struct isw_label_box box) {
  double across = shadow(&box, 0), down = shadow(&box, G_PI / 2);
  if (!isw_chart_in_box(space->bounds, box.x_mm - across, box.y_mm - down) ||
      !isw_chart_in_box(space->bounds, box.x_mm + across, box.y_mm + down))
    return false;
  for (guint i = 0; i < space->taken->len; i++)
    if (overlap(&box, &g_array_index(space->taken, struct isw_label_box, i))) return false;
  g_array_append_val(space->taken, box);
  return true;
}
