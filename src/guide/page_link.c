#include "guide/page_link.h"

#include <string.h>

#include "guide/qr_code.h"
#include "words/say.h"

/* On paper. A phone's camera reads 0.4 mm from a hand's distance: common practice, no source. */
static const double least_module_mm = 0.4, usual_side_mm = 21.0, most_module_mm = 0.6;

static bool is_there(const struct isw_guide_site *site) {
  return site != NULL && site->place != NULL;
}

char *isw_guide_page_link(const struct isw_guide_facts *facts, const struct isw_guide_site *site) {
  const char *address = facts->publication->page_address;
  if (address == NULL) return NULL;
  GString *link = g_string_new(address);
  if (is_there(site)) {
    char lat[G_ASCII_DTOSTR_BUF_SIZE], lon[G_ASCII_DTOSTR_BUF_SIZE];
    g_ascii_formatd(lat, sizeof lat, "%.4f", site->lat_deg);
    g_ascii_formatd(lon, sizeof lon, "%.4f",
                    site->lon_deg > 180.0 ? site->lon_deg - 360.0 : site->lon_deg);
    g_string_append_printf(link, "#at=%s,%s", lat, lon);
  }
  if (facts->among_crops)
    g_string_append_printf(link, "%ccrop=%s", strchr(link->str, '#') != NULL ? '&' : '#',
                           facts->plan->sheet->crop);
  return g_string_free(link, FALSE);
}

struct isw_extent isw_guide_print_page_code(struct isw_print *print,
                                            const struct isw_guide_facts *facts,
                                            const struct isw_guide_site *site, double right_mm) {
  char *link = isw_guide_page_link(facts, site);
  if (link == NULL) return (struct isw_extent){0.0, 0.0};
  struct isw_qr_code *code = isw_guide_new_qr_code(link);
  const int modules = isw_guide_qr_modules(code);
  const double module_mm = CLAMP(usual_side_mm / modules, least_module_mm, most_module_mm);
  const double side_mm = modules * isw_guide_print_true_mm(print, module_mm);
  char *alternative = isw_words_say(ISW_SAY_GUIDE_CODE_ALT, link);
  isw_guide_begin_figure(&print->structure, alternative);
  isw_guide_draw_qr_code(code, print->cr, right_mm - side_mm, print->y_mm, side_mm);
  isw_guide_end_figure(&print->structure);
  isw_guide_free_qr_code(code);
  g_free(alternative);
  g_free(link);
  print->y_mm += side_mm;
  const double words_mm = isw_guide_print_beside(
      print, ISW_PRINT_SMALL, right_mm - side_mm * (1.0 - (double)ISW_QR_QUIET_MODULES / modules),
      side_mm, isw_words_text(is_there(site) ? ISW_SAY_GUIDE_CODE_PLACE : ISW_SAY_GUIDE_CODE_PAGE));
  print->y_mm -= side_mm;
  return (struct isw_extent){side_mm, side_mm + words_mm};
}
