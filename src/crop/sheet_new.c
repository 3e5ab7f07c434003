/* DESIGN. The sheet's own text stays as it is, comments and all: libyaml says where the list of
 * varieties ends, and the new one is written there, in the list's own style. */
#include "crop/sheet_new.h"

#include <glib.h>
#include <math.h>
#include <stdarg.h>
#include <string.h>

#include "crop/sheet_doubts.h"
#include "crop/sheet_sections.h"

/* The list of varieties as it stands in the text. */
struct varieties_list {
  bool flow;     /* in brackets, not with dashes */
  size_t column; /* of its dashes */
  gsize end;     /* byte where a further variety goes: a line's start, or behind the last item */
};

/* ---- where ---- */

static const yaml_node_t *value_of(yaml_document_t *document, const yaml_node_t *map,
                                   const char *key) {
  for (const yaml_node_pair_t *pair = map->data.mapping.pairs.start;
       pair < map->data.mapping.pairs.top; pair++) {
    const yaml_node_t *name = yaml_document_get_node(document, pair->key);
    if (name->type == YAML_SCALAR_NODE && strcmp((const char *)name->data.scalar.value, key) == 0)
      return yaml_document_get_node(document, pair->value);
  }
  return NULL;
}

/* Where what a node says ends, in characters: blocks end, for libyaml, where something else begins.
 */
static size_t end_of(yaml_document_t *document, const yaml_node_t *node) {
  if (node->type == YAML_SEQUENCE_NODE && node->data.sequence.style == YAML_BLOCK_SEQUENCE_STYLE &&
      node->data.sequence.items.top > node->data.sequence.items.start)
    return end_of(document, yaml_document_get_node(document, node->data.sequence.items.top[-1]));
  if (node->type == YAML_MAPPING_NODE && node->data.mapping.style == YAML_BLOCK_MAPPING_STYLE &&
      node->data.mapping.pairs.top > node->data.mapping.pairs.start)
    return end_of(document,
                  yaml_document_get_node(document, node->data.mapping.pairs.top[-1].value));
  return node->end_mark.index;
}

static enum isw_status find_varieties(const struct isw_sheet *sheet, struct varieties_list *out,
                                      struct isw_error *error) {
  static const struct isw_yaml_kind kind = {"crop sheet", "varieties"};
  static const char byte_order_mark[] = "\xef\xbb\xbf";
  yaml_document_t document;
  enum isw_status status = isw_documents_open_yaml(&kind, sheet->text, sheet->text_size,
                                                   sheet->origin, &document, error);
  if (status != ISW_OK) return status;
  const yaml_node_t *list =
      value_of(&document, yaml_document_get_root_node(&document), "varieties");
  const yaml_node_t *last = yaml_document_get_node(&document, list->data.sequence.items.top[-1]);
  out->flow = list->data.sequence.style == YAML_FLOW_SEQUENCE_STYLE;
  out->column = list->start_mark.column;
  const char *text = sheet->text;
  if (g_str_has_prefix(text, byte_order_mark)) text += strlen(byte_order_mark);
  const char *end = g_utf8_offset_to_pointer(text, (glong)end_of(&document, last));
  if (!out->flow && end[-1] != '\n') {
    end += strcspn(end, "\r\n");
    end += strspn(end, "\r");
    end += *end == '\n';
  }
  out->end = (gsize)(end - sheet->text);
  yaml_document_delete(&document);
  return ISW_OK;
}

/* ---- what ---- */

struct writing {
  const struct isw_sheet *sheet;
  const struct isw_catalogue_type *type;
  const struct isw_new_type *made;
  const struct isw_variety *like;
  GString *out;
  int column;
};

static double in_unit(const struct writing *w, double temp_C) {
  return round(10 * isw_base_from_celsius(temp_C, w->sheet->unit)) / 10 + 0.0; /* no "-0" */
}

/* A number as the sheet's texts have them. */
static void append_number(GString *out, const char *before, double number) {
  char text[G_ASCII_DTOSTR_BUF_SIZE];
  g_string_append_printf(out, "%s%s", before,
                         g_ascii_formatd(text, sizeof text, "%.6g", number + 0.0));
}

static void append_quoted(GString *out, const char *text) {
  g_string_append_c(out, '"');
  for (const char *c = text; *c != '\0'; c++) {
    if (*c == '"' || *c == '\\') g_string_append_c(out, '\\');
    g_string_append_c(out, *c);
  }
  g_string_append_c(out, '"');
}

static void append_band(const struct writing *w, const struct isw_band *band) {
  append_number(w->out, "[", in_unit(w, band->stops_below_C));
  append_number(w->out, ", ", in_unit(w, band->best_from_C));
  append_number(w->out, ", ", in_unit(w, band->best_to_C));
  append_number(w->out, ", ", in_unit(w, band->stops_above_C));
  g_string_append_c(w->out, ']');
}

/* A line of comment; the text is wrapped. */
static void append_comment(const struct writing *w, const char *format, ...) G_GNUC_PRINTF(2, 3);
static void append_comment(const struct writing *w, const char *format, ...) {
  enum { WIDTH = 100 };
  va_list arguments;
  va_start(arguments, format);
  char *text = g_strdup_vprintf(format, arguments);
  va_end(arguments);
  char **words = g_strsplit(text, " ", -1);
  glong used = 0;
  for (char **word = words; *word != NULL; word++) {
    const glong length = g_utf8_strlen(*word, -1);
    if (used == 0 || used + 1 + length > WIDTH) {
      g_string_append_printf(w->out, "%s%*s#", used > 0 ? "\n" : "", w->column, "");
      used = w->column + 1;
    }
    g_string_append_printf(w->out, " %s", *word);
    used += 1 + length;
  }
  g_string_append_c(w->out, '\n');
  g_strfreev(words);
  g_free(text);
}

static void append_origin(const struct writing *w) {
  const char *unit = isw_base_unit_name(w->sheet->unit), *like = w->like->name;
  const struct isw_catalogue_type *type = w->type;
  append_comment(
      w,
      "Written from what a catalogue says of it, like %s of this sheet%s. What is not "
      "said here is as there, the cold ends of its bands and what chilling does too: hold "
      "dates and cuts against what growers saw before you print them.",
      like, type->like != NULL ? "" : ", the nearest");
  if (!isnan(type->days))
    append_comment(
        w,
        "Days: %g from sowing to cut are counted as they pass. On their best days the "
        "built-in types take %.4g of them for each day at best temperature (the median at "
        "57 places), so %.4g are meant; %s has %.4g. They are shared among the stages as "
        "there, the first as it is.",
        type->days, isw_crop_days_per_best_day, w->made->best_days, like,
        isw_crop_total_days(w->sheet, w->made->like));
  if (!isnan(type->hottest_week_C))
    append_comment(
        w,
        "Heat: %g deg%s, the mean of day and night in the hottest week in which it still "
        "makes its crop, is where the late stages stop; what is best moves by three "
        "quarters of that, as it does between the built-in types.",
        in_unit(w, type->hottest_week_C), unit);
  if (!isnan(type->stands_C))
    append_comment(w, "Frost: it stands %g deg%s when ready; younger stages keep their distance.",
                   in_unit(w, type->stands_C), unit);
  append_comment(w,
                 "Last in the list: it is chosen where no type above has a window. Move it up, or "
                 "name it under prefer of a season, to have it chosen first.");
}

static bool same_band(const struct isw_band *a, const struct isw_band *b) {
  return a->stops_below_C == b->stops_below_C && a->best_from_C == b->best_from_C &&
         a->best_to_C == b->best_to_C && a->stops_above_C == b->stops_above_C;
}

/* Do other varieties say something else of this stage? Then it must be said here. */
static bool says_differ(const struct isw_sheet *sheet, int like, int k) {
  const struct isw_says *own = &sheet->varieties[like].stages[k].says;
  for (int v = 0; v < sheet->n_varieties; v++) {
    const struct isw_says *other = &sheet->varieties[v].stages[k].says;
    if (g_strcmp0(own->cold, other->cold) != 0 || g_strcmp0(own->warm, other->warm) != 0)
      return true;
  }
  return false;
}

static void append_says(const struct writing *w, const struct isw_says *says) {
  g_string_append(w->out, ", says: {");
  if (says->cold != NULL) {
    g_string_append(w->out, "cold: ");
    append_quoted(w->out, says->cold);
  }
  if (says->warm != NULL) {
    g_string_append(w->out, says->cold != NULL ? ", warm: " : "warm: ");
    append_quoted(w->out, says->warm);
  }
  g_string_append_c(w->out, '}');
}

/* The keys in which a stage is not as the crop's; nothing where it is. */
static void append_stage_keys(const struct writing *w, int k) {
  const struct isw_stage *own = &w->made->stages[k], *crop = &w->sheet->crop_stages[k];
  const bool stated = crop->at_most_days != isw_crop_usual_at_most(crop->days);
  const int at_most = stated ? crop->at_most_days : isw_crop_usual_at_most(own->days);
  if (own->shelter != crop->shelter)
    g_string_append_printf(w->out, ", shelter: %s",
                           own->shelter == ISW_OPEN_GROUND ? isw_crop_open_ground_name
                                                           : w->sheet->shelters[own->shelter].name);
  if (own->days != crop->days) append_number(w->out, ", days: ", own->days);
  if (own->at_most_days != at_most) append_number(w->out, ", at_most: ", own->at_most_days);
  if (!same_band(&own->band, &crop->band)) {
    g_string_append(w->out, ", band: ");
    append_band(w, &own->band);
  }
  if (isfinite(own->dies_below_C) && own->dies_below_C != crop->dies_below_C)
    append_number(w->out, ", dies_below: ", in_unit(w, own->dies_below_C));
  if (own->chills != crop->chills)
    g_string_append_printf(w->out, ", chills: %s", own->chills ? "true" : "false");
  if (says_differ(w->sheet, w->made->like, k)) append_says(w, &own->says);
}

/* Where each of its numbers comes from. */
static void append_stage_source(const struct writing *w, int k) {
  const struct isw_stage *own = &w->made->stages[k], *there = &w->like->stages[k];
  GString *out = w->out;
  const gsize start = out->len;
  if (own->days != there->days) append_number(out, "; days there ", there->days);
  if (!same_band(&own->band, &there->band)) {
    append_number(out, "; warm end there ", in_unit(w, there->band.best_to_C));
    append_number(out, ", ", in_unit(w, there->band.stops_above_C));
  }
  if (own->dies_below_C != there->dies_below_C)
    append_number(out, "; dies below there ", in_unit(w, there->dies_below_C));
  if (out->len == start)
    g_string_append_printf(out, "   # as %s", w->like->name);
  else {
    out->str[start] = '#';
    g_string_insert(out, (gssize)start, "   ");
  }
}

/* A line per stage that differs from the crop's: "{stage: x, days: 9}". */
static void append_stages(const struct writing *w, bool flow) {
  bool any = false;
  for (int k = 0; k < w->sheet->n_stages; k++) {
    GString *out = w->out;
    const gsize start = out->len;
    append_stage_keys(w, k);
    if (out->len == start) continue;
    char *keys = g_strdup(out->str + start);
    g_string_truncate(out, start);
    if (!any && flow) g_string_append(out, ", stages: [\n");
    if (!any && !flow) g_string_append_printf(out, "%*sstages:\n", w->column + 2, "");
    g_string_append_printf(out, "%*s%s{stage: %s%s}%s", w->column + 4, "", flow ? "" : "- ",
                           w->like->stages[k].name, keys, flow ? "," : "");
    append_stage_source(w, k);
    g_string_append_c(out, '\n');
    any = true;
    g_free(keys);
  }
  if (flow && any) g_string_append_printf(w->out, "%*s]", w->column + 2, "");
}

static void append_variety(const struct writing *w, const char *name, const char *title,
                           const struct varieties_list *list) {
  const struct isw_variety *like = w->like;
  GString *out = w->out;
  const bool bolts = like->bolts;
  append_origin(w);
  if (list->flow) {
    g_string_append_printf(out, "  {variety: %s, title: ", name);
    append_quoted(out, title);
    if (bolts) {
      append_number(out, ", bolts: [", like->bolts_safe);
      append_number(out, ", ", like->bolts_all);
      g_string_append_c(out, ']');
    }
    append_stages(w, true);
    g_string_append_c(out, '}');
    return;
  }
  g_string_append_printf(out, "%*s- variety: %s\n%*stitle: ", w->column, "", name, w->column + 2,
                         "");
  append_quoted(out, title);
  g_string_append_c(out, '\n');
  if (bolts) {
    g_string_append_printf(out, "%*sbolts: ", w->column + 2, "");
    append_number(out, "[", like->bolts_safe);
    append_number(out, ", ", like->bolts_all);
    g_string_append_printf(out, "]   # as %s\n", like->name);
  }
  append_stages(w, false);
}

/* ---- names ---- */

static enum isw_status check_name(const struct isw_sheet *sheet, const char *name,
                                  const char *title, struct isw_error *error) {
  static const char letters[] = "abcdefghijklmnopqrstuvwxyz0123456789-";
  if (name[0] == '\0' || strlen(name) > ISW_YAML_ID_MAX || strspn(name, letters) != strlen(name))
    return isw_base_fail(error, ISW_USAGE,
                         "‹name› %s: a name is made of a-z, 0-9 and -, up to %d of "
                         "them",
                         name, ISW_YAML_ID_MAX);
  if (isw_crop_find_variety(sheet, name) >= 0)
    return isw_base_fail(error, ISW_USAGE, "%s has a variety '%s' already; give another ‹name›",
                         sheet->origin, name);
  if (title[0] == '\0' || !g_utf8_validate(title, -1, NULL) ||
      g_utf8_strlen(title, -1) > ISW_SHEET_TITLE_MAX)
    return isw_base_fail(error, ISW_USAGE, "‹title›: a title has 1 to %d characters",
                         ISW_SHEET_TITLE_MAX);
  for (const char *c = title; *c != '\0'; c = g_utf8_next_char(c))
    if (g_unichar_iscntrl(g_utf8_get_char(c)))
      return isw_base_fail(error, ISW_USAGE, "‹title›: holds a control character");
  return ISW_OK;
}

enum isw_status isw_crop_write_new_type(const struct isw_sheet *sheet,
                                        const struct isw_catalogue_type *type, char **text,
                                        struct isw_error *error) {
  *text = NULL;
  struct isw_new_type made;
  struct varieties_list list;
  enum isw_status status = isw_crop_derive_type(sheet, type, &made, error);
  if (status == ISW_OK) status = find_varieties(sheet, &list, error);
  if (status != ISW_OK) return status;
  const bool days = !isnan(type->days);
  char *name = type->name != NULL ? g_strdup(type->name)
               : days             ? g_strdup_printf("%g-day", floor(type->days))
                                  : g_strdup("new-type");
  char *title = type->title != NULL ? g_strdup(type->title)
                : days              ? g_strdup_printf("%g-day type", type->days)
                                    : g_strdup("New type");
  status = check_name(sheet, name, title, error);
  if (status == ISW_OK) {
    GString *out = g_string_new_len(sheet->text, (gssize)list.end);
    const struct writing writing = {.sheet = sheet,
                                    .type = type,
                                    .made = &made,
                                    .like = &sheet->varieties[made.like],
                                    .out = out,
                                    .column = list.flow ? 2 : (int)list.column};
    if (list.flow)
      g_string_append(out, ",\n");
    else if (out->len > 0 && out->str[out->len - 1] != '\n')
      g_string_append_c(out, '\n');
    append_variety(&writing, name, title, &list);
    g_string_append(out, sheet->text + list.end);
    *text = g_string_free(out, FALSE);
  }
  g_free(name);
  g_free(title);
  return status;
}
