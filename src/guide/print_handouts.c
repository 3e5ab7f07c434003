#include "guide/print_handouts.h"

#include "guide/guide_words.h"
#include "guide/print_calendar.h"
#include "guide/print_page.h"
#include "guide/print_publication.h"
#include "guide/print_seasons.h"
#include "guide/print_year.h"
#include "words/say.h"

struct handout {
  const struct isw_guide_facts *facts;
  const char *lead;
  int d;
};

static void draw_handout(struct isw_print *print, const void *self) {
  const struct handout *handout = self;
  const struct isw_guide_facts *facts = handout->facts;
  const char *region = facts->page->region_title;
  char *subject = isw_guide_subject(facts);
  char *under = region != NULL && region[0] != '\0'
                    ? isw_words_say(ISW_SAY_GUIDE_TITLE, region, subject)
                    : g_strdup(subject);
  const char *name = facts->areas->items[handout->d].name;
  const int named = isw_guide_next_named(facts->sites, handout->d, 0);
  const struct isw_guide_site *site =
      named < 0 ? &facts->sites->sites[handout->d] : &facts->sites->named[named];
  struct isw_print_titles titles = {facts, name, under, handout->lead, site, true};
  isw_guide_print_titles(print, &titles);
  g_free(under);
  g_free(subject);
  struct isw_guide_year year = {
      .facts = facts, .first = handout->d, .n = 1, .words = true, .alone = true, .stretch = 1.3};
  isw_guide_print_year(print, &year);
  isw_guide_print_season_head(print, facts->plan->sheet, false);
  isw_guide_print_seasons(print, facts, 1 + handout->d);
  int district = facts->areas->items[handout->d].district;
  isw_guide_print_land(print, facts, ISW_PRINT_SMALL, district);
  isw_guide_print_own_text(
      print, ISW_PRINT_SMALL,
      isw_guide_text_of(facts->publication->district_texts,
                        isw_regions_district_name(facts->districts, district)));
  isw_guide_print_season_lines(print, facts);
  isw_guide_print_text(
      print, ISW_PRINT_SMALL,
      isw_words_text(named < 0 ? ISW_SAY_GUIDE_CALENDAR_NOTE : ISW_SAY_GUIDE_CALENDAR_NOTE_NAMED));
  isw_guide_draw_calendar(print, facts, site);
  isw_guide_print_small_cautions(print, facts);
  isw_guide_print_imprint(print, facts);
}

/* Begin with an empty page. */
static void print_handout(struct isw_print *print, const struct handout *handout) {
  isw_guide_shrink_to_fit(print, draw_handout, handout);
  draw_handout(print, handout);
  isw_guide_print_notes(print, isw_words_text(ISW_SAY_GUIDE_NOTES));
  isw_guide_unshrink(print);
}

enum isw_status isw_guide_write_handouts(int n, const struct isw_guide_facts *crops,
                                         const char *path, struct isw_error *error) {
  char *title = isw_guide_title(n, crops), *subject = isw_guide_subjects(n, crops);
  char *lead = isw_guide_lead(crops), *foot = isw_guide_foot(crops);
  struct isw_print_paper paper = {.width_mm = crops->page->width_mm,
                                  .height_mm = crops->page->height_mm,
                                  .title = title,
                                  .subject = subject,
                                  .author = crops->publication->publisher,
                                  .now = crops->now};
  struct isw_print print;
  enum isw_status status = isw_guide_open_print(path, &paper, foot, &print, error);
  bool any = false;
  for (int d = 0; d < crops->areas->n && status == ISW_OK; d++) {
    for (int c = 0; c < n; c++) {
      struct isw_guide_facts facts = crops[c];
      facts.numbered = false; /* no map is here that could have numbers */
      const struct handout handout = {.facts = &facts, .lead = lead, .d = d};
      if (!isw_guide_area_has_pick(&facts, d)) continue;
      if (any) isw_guide_next_page(&print);
      any = true;
      print_handout(&print, &handout);
    }
  }
  struct isw_error closing;
  enum isw_status closed = isw_guide_close_print(&print, path, &closing);
  if (status == ISW_OK && closed != ISW_OK) {
    status = closed;
    if (error != NULL) *error = closing;
  }
  g_free(title);
  g_free(subject);
  g_free(lead);
  g_free(foot);
  return status;
}
