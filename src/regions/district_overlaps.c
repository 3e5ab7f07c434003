#include "regions/district_overlaps.h"

#include <math.h>
#include <stdlib.h>

#include "regions/district_inner.h"

/* In the grid's units; of degrees those along a parallel are shortened, so that sizes compare. */
static double size_of(const struct isw_district_set *set, const struct isw_district *district) {
  double size = 0.0;
  for (guint i = 0; i < district->shapes->len; i++)
    size += OGR_G_Area(g_ptr_array_index(district->shapes, i));
  double middle_deg = (district->envelope.MinY + district->envelope.MaxY) / 2.0;
  return set->grid.geographic ? size * cos(middle_deg * G_PI / 180.0) : size;
}

struct sized {
  int district;
  double size;
};

static int compare_sizes(const void *a, const void *b) {
  const struct sized *x = a, *y = b;
  if (x->size != y->size) return x->size < y->size ? -1 : 1;
  return x->district - y->district;
}

void isw_regions_order_districts(struct isw_district_set *set) {
  gsize n = set->districts->len;
  struct sized *sized = g_new(struct sized, n);
  for (gsize d = 0; d < n; d++)
    sized[d] = (struct sized){(int)d, size_of(set, isw_regions_district_at(set, (int)d))};
  qsort(sized, n, sizeof *sized, compare_sizes);
  set->smaller_first = g_new(int, n);
  for (gsize i = 0; i < n; i++) {
    set->smaller_first[i] = sized[i].district;
    isw_regions_district_at(set, sized[i].district)->rank = (int)i;
  }
  g_free(sized);
}

const int *isw_regions_smaller_first(const struct isw_district_set *set) {
  return set->smaller_first;
}

/* ---- pairs ---- */

static long long *count_of(struct isw_district_set *set, int a, int b) {
  gint64 key = (gint64)MIN(a, b) << 32 | (gint64)MAX(a, b);
  long long *count = g_hash_table_lookup(set->overlaps, &key);
  if (count != NULL) return count;
  count = g_new0(long long, 1);
  g_hash_table_insert(set->overlaps, g_memdup2(&key, sizeof key), count);
  return count;
}

static long long count_shared(const struct isw_district_cells *a,
                              const struct isw_district_cells *b) {
  long long shared = 0;
  for (size_t i = 0, k = 0; i < a->n && k < b->n;) {
    if (a->cells[i] == b->cells[k])
      shared++, i++, k++;
    else if (a->cells[i] < b->cells[k])
      i++;
    else
      k++;
  }
  return shared;
}

void isw_regions_note_overlaps(struct isw_district_set *set) {
  const struct isw_district_cells *found = (const void *)set->found->data;
  for (guint a = 0; a < set->found->len; a++)
    for (guint b = a + 1; b < set->found->len; b++) {
      long long shared = count_shared(&found[a], &found[b]);
      if (shared > 0) *count_of(set, found[a].district, found[b].district) += shared;
    }
}

static int in_file_order(const void *a, const void *b) {
  const struct isw_district_overlap *x = a, *y = b;
  return x->smaller != y->smaller ? x->smaller - y->smaller : x->larger - y->larger;
}

int isw_regions_list_overlaps(const struct isw_district_set *set,
                              struct isw_district_overlap **out) {
  int n = 0;
  *out = g_new(struct isw_district_overlap, g_hash_table_size(set->overlaps) + 1);
  GHashTableIter iter;
  gpointer key, count;
  g_hash_table_iter_init(&iter, set->overlaps);
  while (g_hash_table_iter_next(&iter, &key, &count)) {
    int a = (int)(*(gint64 *)key >> 32), b = (int)(*(gint64 *)key & G_MAXINT32);
    bool first = isw_regions_district_at(set, a)->rank < isw_regions_district_at(set, b)->rank;
    struct isw_district_overlap pair = {first ? a : b, first ? b : a, *(long long *)count, false};
    pair.inside = pair.cells == isw_regions_district_at(set, pair.smaller)->cells_with_data;
    (*out)[n++] = pair;
  }
  qsort(*out, (size_t)n, sizeof **out, in_file_order);
  return n;
}
