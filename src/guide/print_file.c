#include "guide/print_file.h"

#include <qpdf/qpdf-c.h>

#include "output/text_result.h"

struct figures {
  qpdf_data pdf;
  const GPtrArray *alternatives;
  guint n; /* met so far */
};

static void describe_element(struct figures *figures, qpdf_oh element);

/* An element's kids: one, or an array of them; numbers among them are marks on a page. */
static void describe_kids(struct figures *figures, qpdf_oh kids) {
  if (!qpdf_oh_is_array(figures->pdf, kids)) {
    describe_element(figures, kids);
    return;
  }
  int n = qpdf_oh_get_array_n_items(figures->pdf, kids);
  for (int i = 0; i < n; i++)
    describe_element(figures, qpdf_oh_get_array_item(figures->pdf, kids, i));
}

static void describe_element(struct figures *figures, qpdf_oh element) {
  qpdf_data pdf = figures->pdf;
  if (!qpdf_oh_is_dictionary(pdf, element)) return;
  if (qpdf_oh_is_name_and_equals(pdf, qpdf_oh_get_key(pdf, element, "/S"), "/Figure")) {
    if (figures->n < figures->alternatives->len)
      qpdf_oh_replace_key(
          pdf, element, "/Alt",
          qpdf_oh_new_unicode_string(pdf, g_ptr_array_index(figures->alternatives, figures->n)));
    figures->n++;
    return;
  }
  describe_kids(figures, qpdf_oh_get_key(pdf, element, "/K"));
}

static guint complete_catalogue(qpdf_data pdf, const char *language,
                                const GPtrArray *alternatives) {
  qpdf_oh root = qpdf_get_root(pdf);
  qpdf_oh_replace_key(pdf, root, "/Lang", qpdf_oh_new_unicode_string(pdf, language));
  qpdf_oh preferences = qpdf_oh_new_dictionary(pdf);
  qpdf_oh_replace_key(pdf, preferences, "/DisplayDocTitle", qpdf_oh_new_bool(pdf, QPDF_TRUE));
  qpdf_oh_replace_key(pdf, root, "/ViewerPreferences", preferences);
  struct figures figures = {.pdf = pdf, .alternatives = alternatives};
  describe_element(&figures, qpdf_oh_get_key(pdf, root, "/StructTreeRoot"));
  return figures.n;
}

static enum isw_status write_pdf(qpdf_data pdf, const char *path, struct isw_error *error) {
  qpdf_init_write_memory(pdf);
  qpdf_set_deterministic_ID(pdf, QPDF_TRUE);
  qpdf_write(pdf);
  if (qpdf_has_error(pdf)) return ISW_OK; /* told by the caller */
  GString *bytes =
      g_string_new_len((const char *)qpdf_get_buffer(pdf), (gssize)qpdf_get_buffer_length(pdf));
  return isw_output_write_text(bytes, path, error);
}

enum isw_status isw_guide_complete_pdf(const char *path, const char *language,
                                       const GPtrArray *alternatives, struct isw_error *error) {
  qpdf_data pdf = qpdf_init();
  qpdf_silence_errors(pdf);
  qpdf_set_suppress_warnings(pdf, QPDF_TRUE);
  qpdf_read(pdf, path, NULL);
  guint n = alternatives->len;
  enum isw_status status = ISW_OK;
  if (!qpdf_has_error(pdf)) n = complete_catalogue(pdf, language, alternatives);
  if (n != alternatives->len)
    status = isw_base_fail(error, ISW_INTERNAL, "%s: %u figures, but %u texts for them", path, n,
                           alternatives->len);
  else if (!qpdf_has_error(pdf))
    status = write_pdf(pdf, path, error);
  if (status == ISW_OK && qpdf_has_error(pdf))
    status = isw_base_fail(error, ISW_OUTPUT, "%s: cannot be completed (%s); is the disk full?",
                           path, qpdf_get_error_full_text(pdf, qpdf_get_error(pdf)));
  qpdf_cleanup(&pdf);
  return status;
}
