/* Results are named from varieties and seasons (docs/outputs.md), so two different pairs can come
 * to the same name: "a" in "b-c" and "a-b" in "c", or a variety called "pick" or "span". */
#include <glib.h>

#include "crop/sheet_sections.h"

struct maker {
  char *name;  /* of the file */
  char *whose; /* "variety 'a' in season 'b'" */
};

static void free_maker(gpointer data) {
  struct maker *maker = data;
  g_free(maker->name);
  g_free(maker->whose);
  g_free(maker);
}

/* false when the name is taken already; the message is then filled. Takes over both strings. */
static bool add_name(const struct isw_sheet_draft *draft, GHashTable *names, char *name,
                     char *whose) {
  const struct maker *other = g_hash_table_lookup(names, name);
  if (other != NULL) {
    isw_documents_fail_at(&draft->reader, NULL,
                          isw_documents_entry_line(&draft->reader, &draft->top, "varieties"),
                          "%s and %s would both write a file '%s'; rename a variety or a season",
                          other->whose, whose, name);
    g_free(name);
    g_free(whose);
    return false;
  }
  struct maker *maker = g_new(struct maker, 1);
  *maker = (struct maker){name, whose};
  g_hash_table_insert(names, maker->name, maker);
  return true;
}

static bool add_all(const struct isw_sheet_draft *draft, GHashTable *names) {
  const struct isw_sheet *sheet = draft->sheet;
  static const char *const of_result[] = {".tif", "-sowing.png", "-score.png", "-years.png"};
  static const char *const of_pick[] = {".tif", ".png"};
  static const char *const of_span[] = {".tif", "-first.png", "-last.png"};
  for (int s = 0; s < sheet->n_seasons; s++) {
    const char *season = sheet->seasons[s].name;
    for (size_t i = 0; i < G_N_ELEMENTS(of_pick); i++)
      if (!add_name(draft, names, g_strdup_printf("pick-%s%s", season, of_pick[i]),
                    g_strdup_printf("the pick of season '%s'", season)) ||
          !add_name(draft, names, g_strdup_printf("opens-%s%s", season, of_pick[i]),
                    g_strdup_printf("what opens season '%s'", season)))
        return false;
    for (size_t i = 0; i < G_N_ELEMENTS(of_span); i++)
      if (!add_name(draft, names, g_strdup_printf("span-%s%s", season, of_span[i]),
                    g_strdup_printf("the span of season '%s'", season)))
        return false;
    for (int v = 0; v < sheet->n_varieties; v++) {
      const char *variety = sheet->varieties[v].name;
      for (size_t i = 0; i < G_N_ELEMENTS(of_result); i++)
        if (!add_name(draft, names, g_strdup_printf("%s-%s%s", variety, season, of_result[i]),
                      g_strdup_printf("variety '%s' in season '%s'", variety, season)))
          return false;
    }
  }
  return true;
}

bool isw_crop_check_result_names(const struct isw_sheet_draft *draft) {
  GHashTable *names = g_hash_table_new_full(g_str_hash, g_str_equal, NULL, free_maker);
  bool fine = add_all(draft, names);
  g_hash_table_destroy(names);
  return fine;
}
