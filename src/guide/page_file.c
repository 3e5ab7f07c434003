#include "guide/page_file.h"

#include <math.h>
#include <string.h>

#include "guide/guide_words.h"
#include "guide/page_data.h"
#include "guide/page_publication.h"
#include "guide/page_tables.h"
#include "guide/page_texts.h"
#include "output/text_result.h"
#include "words/say.h"

static const char *find_text(const char *name) {
  for (int i = 0; isw_guide_page_texts[i].name != NULL; i++)
    if (strcmp(isw_guide_page_texts[i].name, name) == 0)
      return (const char *)isw_guide_page_texts[i].text;
  return "";
}

typedef char *make_paragraph(const struct isw_guide_facts *facts, int index);

static char *make_list(const struct isw_guide_facts *facts, make_paragraph *make, const char *tag) {
  GString *html = g_string_new(NULL);
  char *text;
  for (int i = 0; (text = make(facts, i)) != NULL; i++) {
    g_string_append_printf(html, "<%s>", tag);
    isw_guide_append_escaped(html, text);
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
  g_string_append_printf(html, "<h3>%s</h3>\n<ul>\n<li>", isw_words_text(ISW_SAY_GUIDE_SOURCES));
  isw_guide_append_escaped(html, facts->page->source_line != NULL ? facts->page->source_line : "");
  g_string_append(html, "</li>\n");
  for (int i = 0; i < sheet->n_sources; i++) {
    g_string_append(html, "<li>");
    isw_guide_append_escaped(html, sheet->sources[i]);
    g_string_append(html, "</li>\n");
  }
  g_string_append(html, "</ul>\n");
  isw_guide_append_own_text(html, facts->publication->credit);
  isw_guide_append_own_text(html, facts->publication->licence);
  char *made = isw_words_say(ISW_SAY_PAGE_MADE_WITH, "isosow " ISOSOW_VERSION);
  g_string_append(html, "<p class=\"small\">");
  isw_guide_append_escaped(html, made);
  g_string_append(html, "</p>");
  g_free(made);
  return g_string_free(html, FALSE);
}

struct part {
  const char *key;
  char *text; /* ours */
};

/* "{{ID}}": a sentence without arguments. Returns its end in the template, NULL: none is here. */
static const char *append_sentence(GString *html, const char *at) {
  const char *end = g_str_has_prefix(at, "{{") ? strstr(at, "}}") : NULL;
  for (int i = 0; end != NULL && i < ISW_SENTENCES; i++) {
    const char *id = isw_words_id((enum isw_sentence)i);
    if (strlen(id) != (size_t)(end - at - 2) || strncmp(id, at + 2, strlen(id)) != 0) continue;
    isw_guide_append_escaped(html, isw_words_text((enum isw_sentence)i));
    return end + 2;
  }
  return NULL;
}

/* In one pass, so that nothing inside a part is taken for a key. */
static void fill_template(GString *html, const char *template, size_t n, const struct part *parts) {
  for (const char *at = template, *after; *at != '\0';) {
    size_t i = 0;
    while (i < n && !g_str_has_prefix(at, parts[i].key)) i++;
    if (i < n) {
      g_string_append(html, parts[i].text);
      at += strlen(parts[i].key);
    } else if ((after = append_sentence(html, at)) != NULL) {
      at = after;
    } else {
      g_string_append_c(html, *at++);
    }
  }
}

typedef void append_part(GString *html, const struct isw_guide_facts *facts);

static char *make_part(append_part *append, const struct isw_guide_facts *facts) {
  GString *html = g_string_new(NULL);
  append(html, facts);
  return g_string_free(html, FALSE);
}

static char *escaped_title(int n, const struct isw_guide_facts *crops) {
  char *title = isw_guide_title(n, crops), *escaped = g_markup_escape_text(title, -1);
  g_free(title);
  return escaped;
}

static char *make_lead(const struct isw_guide_facts *facts) {
  char *lead = isw_guide_lead(facts), *escaped = g_markup_escape_text(lead, -1);
  g_free(lead);
  return escaped;
}

/* Printed, the page takes the paper that the maps and the print have, upright. */
static char *make_style(const struct isw_guide_facts *facts) {
  const struct isw_map_page *page = facts->page;
  char width[G_ASCII_DTOSTR_BUF_SIZE], height[G_ASCII_DTOSTR_BUF_SIZE];
  g_ascii_formatd(width, sizeof width, "%.1f", fmin(page->width_mm, page->height_mm));
  g_ascii_formatd(height, sizeof height, "%.1f", fmax(page->width_mm, page->height_mm));
  GString *style = g_string_new(find_text("page.css"));
  g_string_append_printf(style, "@page { size: %smm %smm; }\n:root { --months: ", width, height);
  isw_guide_append_month_lines(style, facts);
  g_string_append(style, "; }\n");
  return g_string_free(style, FALSE);
}

/* What the ids of a crop's part end in, so that there are no two alike: the first has none. */
static char *make_mark(const struct isw_guide_facts *crops, int c) {
  return c == 0 ? g_strdup("") : g_strconcat("-", crops[c].plan->sheet->crop, NULL);
}

static char *make_chooser(int n, const struct isw_guide_facts *crops) {
  GString *html = g_string_new(NULL);
  if (n == 1) return g_string_free(html, FALSE);
  g_string_append(html, "<nav class=\"crops\" aria-label=\"");
  isw_guide_append_escaped(html, isw_words_text(ISW_SAY_PAGE_CROPS));
  g_string_append(html, "\">");
  for (int c = 0; c < n; c++) {
    char *mark = make_mark(crops, c);
    g_string_append_printf(html, "<a href=\"#guide%s\">", mark);
    isw_guide_append_escaped(html, crops[c].plan->sheet->title);
    g_string_append(html, "</a>");
    g_free(mark);
  }
  g_string_append(html, "</nav>\n");
  return g_string_free(html, FALSE);
}

static char *make_crop_head(int n, const struct isw_guide_facts *facts) {
  if (n == 1) return g_strdup("");
  GString *html = g_string_new("<h2 class=\"crop-name\">");
  isw_guide_append_escaped(html, facts->plan->sheet->title);
  g_string_append(html, "</h2>\n");
  return g_string_free(html, FALSE);
}

static void free_parts(size_t n, const struct part *parts) {
  for (size_t i = 0; i < n; i++) g_free(parts[i].text);
}

/* A crop's part of the page. */
static enum isw_status fill_crop(GString *html, const char *template, int n,
                                 const struct isw_guide_facts *crops, int c,
                                 struct isw_error *error) {
  const struct isw_guide_facts *facts = &crops[c];
  char *data = NULL;
  enum isw_status status = isw_guide_make_page_data(facts, &data, error);
  if (status != ISW_OK) return status;
  const bool last = c == n - 1;
  struct part parts[] = {
      {"@ID@", make_mark(crops, c)},
      {"@CROPHEAD@", make_crop_head(n, facts)},
      {"@SEASONTEXTS@", make_part(isw_guide_append_season_texts, facts)},
      {"@PLACES@", make_part(isw_guide_append_named_places, facts)},
      {"@DISTRICTTEXTS@", make_part(isw_guide_append_district_texts, facts)},
      {"@AFTER@", last ? make_part(isw_guide_append_after, facts) : g_strdup("")},
      {"@REGION@", make_part(isw_guide_append_region, facts)},
      {"@STRIPS@", make_part(isw_guide_append_strips, facts)},
      {"@DISTRICTS@", make_part(isw_guide_append_districts, facts)},
      {"@MOVES@", make_part(isw_guide_append_moves, facts)},
      {"@CAUTIONS@", make_list(facts, isw_guide_caution, "li")},
      {"@SOURCES@", make_sources(facts)},
      {"@DATA@", data}};
  fill_template(html, template, G_N_ELEMENTS(parts), parts);
  free_parts(G_N_ELEMENTS(parts), parts);
  return ISW_OK;
}

enum isw_status isw_guide_write_page(int n, const struct isw_guide_facts *crops, const char *path,
                                     struct isw_error *error) {
  static const char begin[] = "@CROP-BEGIN@", end[] = "@CROP-END@";
  char **head = g_strsplit(find_text("page.html"), begin, 2);
  char **body = g_strsplit(head[1], end, 2);
  GString *html = g_string_new(NULL);
  struct part parts[] = {
      {"@TITLE@", escaped_title(n, crops)},
      {"@LEAD@", make_lead(crops)},
      {"@LOGO@", make_part(isw_guide_append_logo, crops)},
      {"@SUBTITLE@", make_part(isw_guide_append_subtitle, crops)},
      {"@BEFORE@", make_part(isw_guide_append_before, crops)},
      {"@CHOOSER@", make_chooser(n, crops)},
      {"@STYLE@", make_style(crops)},
      {"@SCRIPT@", g_strconcat(find_text("calendar.js"), find_text("page.js"), NULL)}};
  fill_template(html, head[0], G_N_ELEMENTS(parts), parts);
  enum isw_status status = ISW_OK;
  for (int c = 0; c < n && status == ISW_OK; c++)
    status = fill_crop(html, body[0], n, crops, c, error);
  fill_template(html, body[1], G_N_ELEMENTS(parts), parts);
  free_parts(G_N_ELEMENTS(parts), parts);
  g_strfreev(head);
  g_strfreev(body);
  if (status == ISW_OK) return isw_output_write_text(html, path, error);
  g_string_free(html, TRUE);
  return status;
}
