#include "chart/raster_style.h"

#include <glib.h>

#include "chart/palette.h"
#include "growth/pick.h"
#include "output/text_result.h"
#include "words/date_words.h"
#include "words/say.h"

static GString *start_style(const char *title, int band) {
  GString *text = g_string_new("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
  char *named = g_markup_escape_text(title, -1);
  g_string_append_printf(
      text,
      "<StyledLayerDescriptor version=\"1.0.0\" xmlns=\"http://www.opengis.net/sld\" "
      "xmlns:ogc=\"http://www.opengis.net/ogc\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" "
      "xmlns:xsi=\"http://www.w3.org/2001/XMLSchema-instance\">\n"
      "<NamedLayer><Name>%s</Name><UserStyle><Title>%s</Title><FeatureTypeStyle><Rule>"
      "<RasterSymbolizer>\n<ChannelSelection><GrayChannel><SourceChannelName>%d"
      "</SourceChannelName></GrayChannel></ChannelSelection>\n<ColorMap type=\"values\">\n",
      named, named, band);
  g_free(named);
  return text;
}

static void add_entry(GString *text, int value, unsigned hex, bool seen, const char *label) {
  char *escaped = g_markup_escape_text(label, -1);
  g_string_append_printf(
      text, "<ColorMapEntry color=\"#%06x\" quantity=\"%d\" opacity=\"%d\" label=\"%s\"/>\n", hex,
      value, seen ? 1 : 0, escaped);
  g_free(escaped);
}

static enum isw_status end_style(GString *text, const char *path, struct isw_error *error) {
  g_string_append(text,
                  "</ColorMap>\n</RasterSymbolizer></Rule></FeatureTypeStyle></UserStyle>"
                  "</NamedLayer>\n</StyledLayerDescriptor>\n");
  return isw_output_write_text(text, path, error);
}

enum isw_status isw_chart_write_date_style(const char *path, const char *title, int band,
                                           struct isw_error *error) {
  struct isw_colour colours[ISW_TEN_DAY_PERIODS];
  isw_chart_period_colours(colours);
  GString *text = start_style(title, band);
  add_entry(text, 0, 0xffffff, false, isw_words_text(ISW_SAY_STYLE_NO_DATE));
  for (int day = 0; day < ISW_YEAR_DAYS; day++) {
    char date[ISW_DATE_SIZE];
    add_entry(text, day + 1, isw_chart_hex_of_colour(colours[isw_base_ten_day_period(day)]), true,
              isw_words_short_date(day, date));
  }
  return end_style(text, path, error);
}

enum isw_status isw_chart_write_pick_style(const char *path, const char *title,
                                           const struct isw_plan *plan, struct isw_error *error) {
  uint8_t colours[256][4];
  isw_chart_pick_colours(plan, colours);
  GString *text = start_style(title, 1);
  for (int code = 0; code < 256; code++) {
    bool risky = code > ISW_PICK_RISKY_CODE;
    int variety = code - 1 - (risky ? ISW_PICK_RISKY_CODE : 0);
    if (code > 0 && (variety < 0 || variety >= plan->sheet->n_varieties)) continue;
    const uint8_t *rgba = colours[code];
    unsigned hex = (unsigned)rgba[0] << 16 | (unsigned)rgba[1] << 8 | rgba[2];
    const char *name =
        code > 0 ? plan->sheet->varieties[variety].title : isw_words_text(ISW_SAY_GUIDE_NO_PICK);
    char *label =
        code > 0 && risky ? isw_words_say(ISW_SAY_GUIDE_RISKY_PICK, name) : g_strdup(name);
    add_entry(text, code, hex, true, label);
    g_free(label);
  }
  return end_style(text, path, error);
}
