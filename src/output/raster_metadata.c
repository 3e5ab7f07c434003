#include "output/raster_metadata.h"

static const char caution[] =
    "Normals are an average year, not a forecast; soil, water, light, pests, slope, frost hollows "
    "and city heat are not known here.";

void isw_output_add_metadata(struct isw_metadata_list *list, int band, char *key, char *value) {
  struct isw_raster_metadata item = {band, key, value};
  g_array_append_val(list->items, item);
  g_ptr_array_add(list->texts, key);
  g_ptr_array_add(list->texts, value);
}

static void add_year_spread(struct isw_metadata_list *list, const struct isw_conditions *asked) {
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(number, sizeof number, "%g", asked->year_spread_K);
  isw_output_add_metadata(list, -1, g_strdup("YEAR_SPREAD_K"),
                          g_strdup(asked->own_year_spread ? "of each place" : number));
}

static void add_cut(struct isw_metadata_list *list, const struct isw_conditions *asked) {
  char from[ISW_DATE_SIZE], to[ISW_DATE_SIZE];
  isw_output_add_metadata(
      list, -1, g_strdup("CUT"),
      asked->has_cut
          ? g_strdup_printf("%s..%s", isw_base_format_month_day(asked->cut_from_day, from),
                            isw_base_format_month_day(asked->cut_to_day, to))
          : g_strdup("any day"));
}

static void add_conditions(struct isw_metadata_list *list, const struct isw_plan *plan) {
  const struct isw_conditions *asked = &plan->conditions;
  const struct {
    const char *key;
    double value;
  } numbers[] = {{"GOOD", asked->good_score},
                 {"YEARS", asked->least_years},
                 {"SPREAD_K", asked->spread_K},
                 {"WARMER_K", asked->warmer_K}};
  for (size_t i = 0; i < G_N_ELEMENTS(numbers); i++) {
    char text[G_ASCII_DTOSTR_BUF_SIZE];
    g_ascii_formatd(text, sizeof text, "%g", numbers[i].value);
    isw_output_add_metadata(list, -1, g_strdup(numbers[i].key), g_strdup(text));
  }
  add_year_spread(list, asked);
  add_cut(list, asked);
  const char *under = asked->grown_under == ISW_OPEN_GROUND
                          ? "open ground"
                          : plan->sheet->shelters[asked->grown_under].name;
  const char *start = asked->start < 0                   ? "as the seasons say"
                      : asked->start == ISW_START_DIRECT ? "direct"
                                                         : "nursery";
  isw_output_add_metadata(list, -1, g_strdup("GROWN_UNDER"), g_strdup(under));
  isw_output_add_metadata(list, -1, g_strdup("START"), g_strdup(start));
}

struct isw_metadata_list isw_output_start_metadata(const struct isw_plan *plan, const char *season,
                                                   const char *period) {
  struct isw_metadata_list list = {g_array_new(FALSE, FALSE, sizeof(struct isw_raster_metadata)),
                                   g_ptr_array_new_with_free_func(g_free)};
  const struct isw_raster_metadata common[] = {
      {-1, "SOFTWARE", "isosow " ISOSOW_VERSION},
      {-1, "CROP", plan->sheet->crop},
      {-1, "SEASON", season},
      {-1, "PERIOD", period != NULL ? period : "not stated"},
      {-1, "CAUTION", caution},
  };
  g_array_append_vals(list.items, common, G_N_ELEMENTS(common));
  add_conditions(&list, plan);
  return list;
}

void isw_output_free_metadata(struct isw_metadata_list *list) {
  g_array_unref(list->items);
  g_ptr_array_unref(list->texts);
}
