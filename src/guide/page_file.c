#include "guide/page_file.h"

#include <math.h>
#include <string.h>

#include "guide/guide_words.h"
#include "guide/page_data.h"
#include "guide/page_texts.h"
#include "survey/area_share.h"
#include "words/say.h"

static const char *find_text(const char *name) {
  for (int i = 0; isw_guide_page_texts[i].name != NULL; i++)
    if (strcmp(isw_guide_page_texts[i].name, name) == 0)
      return (const char *)isw_guide_page_texts[i].text;
  return "";
}

static void append_escaped(GString *html, const char *text) {
  char *escaped = g_markup_escape_text(text, -1);
  g_string_append(html, escaped);
  g_free(escaped);
}

static void append_cell(GString *html, const char *text) {
  g_string_append(html, "<td>");
  append_escaped(html, text);
  g_string_append(html, "</td>");
}

static void append_date_cell(GString *html, bool there, int after, int day) {
  char part[ISW_DATE_SIZE];
  if (there)
    g_string_append_printf(html, "<td data-key=\"%d\">%s</td>", after,
                           isw_guide_part_of_month(day, part));
  else
    g_string_append(html, "<td data-key=\"\">–</td>");
}

static void append_share_cell(GString *html, double share) {
  g_string_append_printf(html, "<td class=\"n\" data-key=\"%.3f\">%d&nbsp;%%</td>", share,
                         isw_survey_share(share, 1.0).percent);
}

/* Of a region in a season: the pick's row; without a pick all dashes. */
static void append_numbers(GString *html, const struct isw_guide_facts *facts, int region, int s,
                           struct isw_table_pick pick) {
  int v = isw_guide_chosen_variety(facts->plan, pick.variety);
  struct isw_table_row row = {.has_dates = false};
  if (v >= 0) isw_guide_read_row(facts->table, region, v, s, &row);
  append_date_cell(html, row.has_dates, row.after[ISW_TABLE_SOW_FROM][1],
                   row.day[ISW_TABLE_SOW_FROM][1]);
  append_date_cell(html, row.has_dates, row.after[ISW_TABLE_BEST_SOW][1],
                   row.day[ISW_TABLE_BEST_SOW][1]);
  append_date_cell(html, row.has_dates, row.after[ISW_TABLE_SOW_TO][1],
                   row.day[ISW_TABLE_SOW_TO][1]);
  append_date_cell(html, row.has_dates, row.after[ISW_TABLE_HARVEST][1],
                   row.day[ISW_TABLE_HARVEST][1]);
  if (v < 0) {
    g_string_append(html,
                    "<td class=\"n\" data-key=\"\">–</td><td class=\"n\" data-key=\"\">–</td>");
    return;
  }
  append_share_cell(html, row.window_share);
  g_string_append_printf(html, "<td class=\"n\">%d</td>", row.median_score);
}

static char *make_picks(const struct isw_guide_facts *facts) {
  const struct isw_plan *plan = facts->plan;
  GString *html = g_string_new(
      "<p class=\"caption\" id=\"picks-caption\">For each season, with the sowing dates looked "
      "at: the type to choose on most of the area. Dates are the middle of the area; early, mid "
      "and late are the "
      "days 1 to 10, 11 to 20 and 21 to the end of a month. Score: 0 to 100, of the best day.</p>\n"
      "<div class=\"scroll\" tabindex=\"0\" role=\"group\" aria-label=\"Types to choose\">"
      "<table aria-labelledby=\"picks-caption\">\n"
      "<thead><tr><th scope=\"col\">Season</th><th scope=\"col\">Type to choose</th>"
      "<th scope=\"col\">Sow from</th><th scope=\"col\">Best</th><th scope=\"col\">Sow to</th>"
      "<th scope=\"col\">Cut from</th><th scope=\"col\">Has a window on</th>"
      "<th scope=\"col\">Score</th></tr></thead><tbody>\n");
  for (int s = 0; s < plan->n_seasons; s++) {
    struct isw_table_pick pick = isw_guide_read_pick(facts->table, 0, s);
    char *dates = isw_guide_season_dates(facts, s), *words = isw_guide_pick_words(facts, pick);
    g_string_append(html, "<tr><th scope=\"row\">");
    append_escaped(html, plan->sheet->seasons[plan->seasons[s]].name);
    g_string_append_printf(html, "<small>%s</small></th><td>", dates);
    append_escaped(html, words);
    g_string_append_printf(html, " <span class=\"soft\">(on %d&nbsp;%% of the area)</span></td>",
                           isw_survey_share(pick.share, 1.0).percent);
    append_numbers(html, facts, 0, s, pick);
    g_string_append(html, "</tr>\n");
    g_free(dates);
    g_free(words);
  }
  g_string_append(html, "</tbody></table></div>");
  return g_string_free(html, FALSE);
}

static char *make_districts(const struct isw_guide_facts *facts) {
  const struct isw_plan *plan = facts->plan;
  GString *html = g_string_new(
      "<table class=\"sortable\" aria-label=\"Districts and seasons\">\n"
      "<thead><tr><th scope=\"col\">District</th><th scope=\"col\">Season</th>"
      "<th scope=\"col\">Type to choose</th><th scope=\"col\">Sow from</th><th scope=\"col\">Best"
      "</th><th scope=\"col\">Sow to</th><th scope=\"col\">Cut from</th><th scope=\"col\">Has a "
      "window on</th><th scope=\"col\">Score</th></tr></thead><tbody>\n");
  for (int d = 0; d < isw_regions_district_count(facts->districts); d++) {
    for (int s = 0; s < plan->n_seasons; s++) {
      struct isw_table_pick pick = isw_guide_read_pick(facts->table, 1 + d, s);
      struct isw_table_row any;
      isw_guide_read_row(facts->table, 1 + d, 0, s, &any);
      char *words = any.area_km2 > 0.0 ? isw_guide_pick_words(facts, pick)
                                       : g_strdup(isw_words_text(ISW_SAY_GUIDE_NO_DATA));
      g_string_append(html, "<tr><th scope=\"row\">");
      append_escaped(html, isw_regions_district_name(facts->districts, d));
      g_string_append_printf(html, "</th><td data-key=\"%d\">", s);
      append_escaped(html, plan->sheet->seasons[plan->seasons[s]].name);
      g_string_append(html, "</td>");
      append_cell(html, words);
      append_numbers(html, facts, 1 + d, s, pick);
      g_string_append(html, "</tr>\n");
      g_free(words);
    }
  }
  g_string_append(html, "</tbody></table>");
  return g_string_free(html, FALSE);
}

typedef char *make_paragraph(const struct isw_guide_facts *facts, int index);

static char *make_list(const struct isw_guide_facts *facts, make_paragraph *make, const char *tag) {
  GString *html = g_string_new(NULL);
  char *text;
  for (int i = 0; (text = make(facts, i)) != NULL; i++) {
    g_string_append_printf(html, "<%s>", tag);
    append_escaped(html, text);
    g_string_append_printf(html, "</%s>\n", tag);
    g_free(text);
  }
  return g_string_free(html, FALSE);
}

static char *make_sources(const struct isw_guide_facts *facts) {
  const struct isw_sheet *sheet = facts->plan->sheet;
  char *method = make_list(facts, isw_guide_method, "p");
  GString *html = g_string_new(method);
  g_free(method);
  g_string_append(html, "<h3>Sources</h3>\n<ul>\n<li>");
  append_escaped(html, facts->page->source_line != NULL ? facts->page->source_line : "");
  g_string_append(html, "</li>\n");
  for (int i = 0; i < sheet->n_sources; i++) {
    g_string_append(html, "<li>");
    append_escaped(html, sheet->sources[i]);
    g_string_append(html, "</li>\n");
  }
  g_string_append(html, "</ul>\n<p class=\"small\">Made with isosow " ISOSOW_VERSION
                        ". The numbers of every type are in districts.csv beside this page.</p>");
  return g_string_free(html, FALSE);
}

struct part {
  const char *key;
  char *text; /* ours */
};

/* In one pass, so that nothing inside a part is taken for a key. */
static void fill_template(GString *html, const char *template, size_t n, const struct part *parts) {
  const char *at = template;
  while (*at != '\0') {
    size_t i = 0;
    while (i < n && !g_str_has_prefix(at, parts[i].key)) i++;
    if (i < n) {
      g_string_append(html, parts[i].text);
      at += strlen(parts[i].key);
    } else {
      g_string_append_c(html, *at++);
    }
  }
}

static char *escaped_title(const struct isw_guide_facts *facts) {
  char *title = isw_guide_title(facts), *escaped = g_markup_escape_text(title, -1);
  g_free(title);
  return escaped;
}

static char *make_lead(const struct isw_guide_facts *facts) {
  char *lead = isw_guide_lead(facts), *escaped = g_markup_escape_text(lead, -1);
  g_free(lead);
  return escaped;
}

/* Printed, the page takes the paper that the maps and the print have, upright. */
static char *make_style(const struct isw_map_page *page) {
  char width[G_ASCII_DTOSTR_BUF_SIZE], height[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(width, sizeof width, "%.1f", fmin(page->width_mm, page->height_mm));
  g_ascii_formatd(height, sizeof height, "%.1f", fmax(page->width_mm, page->height_mm));
  return g_strdup_printf("%s@page { size: %smm %smm; }\n", find_text("page.css"), width, height);
}

enum isw_status isw_guide_write_page(const struct isw_guide_facts *facts, const char *path,
                                     struct isw_error *error) {
  char *data = NULL;
  enum isw_status status = isw_guide_make_page_data(facts, &data, error);
  if (status != ISW_OK) return status;
  struct part parts[] = {{"@TITLE@", escaped_title(facts)},
                         {"@LEAD@", make_lead(facts)},
                         {"@STYLE@", make_style(facts->page)},
                         {"@PICKS@", make_picks(facts)},
                         {"@DISTRICTS@", make_districts(facts)},
                         {"@CAUTIONS@", make_list(facts, isw_guide_caution, "li")},
                         {"@SOURCES@", make_sources(facts)},
                         {"@DATA@", data},
                         {"@SCRIPT@", g_strdup(find_text("page.js"))}};
  GString *html = g_string_new(NULL);
  fill_template(html, find_text("page.html"), G_N_ELEMENTS(parts), parts);
  GError *failure = NULL;
  if (!g_file_set_contents(path, html->str, (gssize)html->len, &failure)) {
    status = isw_base_fail(error, ISW_OUTPUT, "%s: cannot be written: %s", path, failure->message);
    g_error_free(failure);
  }
  for (size_t i = 0; i < G_N_ELEMENTS(parts); i++) g_free(parts[i].text);
  g_string_free(html, TRUE);
  return status;
}
