#include "output/run_facts.h"

#include <glib.h>

#include "base/setting.h"

enum isw_status isw_output_note_facts(const struct isw_climate *climate, int threads,
                                      struct isw_run_facts *out, struct isw_error *error) {
  struct isw_run_facts facts = {.period = g_strdup(isw_climate_period(climate))};
  isw_climate_copy_grid(isw_climate_grid(climate), &facts.grid);
  while (isw_climate_understood(climate, facts.n_understood) != NULL) facts.n_understood++;
  facts.understood = g_new0(char *, (size_t)facts.n_understood + 1);
  for (int i = 0; i < facts.n_understood; i++) {
    facts.understood[i] = g_strdup(isw_climate_understood(climate, i));
    isw_base_show_settings(facts.understood[i]);
  }
  while (isw_climate_input_file(climate, facts.n_inputs) != NULL) facts.n_inputs++;
  facts.inputs = g_new0(struct isw_run_input, (size_t)facts.n_inputs);
  struct isw_checked_file *files = g_new0(struct isw_checked_file, (size_t)facts.n_inputs);
  for (int i = 0; i < facts.n_inputs; i++) files[i].path = isw_climate_input_file(climate, i);
  enum isw_status status = isw_output_checksum_files(facts.n_inputs, files, threads, error);
  for (int i = 0; i < facts.n_inputs; i++) {
    facts.inputs[i].file = g_strdup(files[i].path);
    facts.inputs[i].size = files[i].size;
    g_strlcpy(facts.inputs[i].sha256, files[i].sha256, ISW_CHECKSUM_SIZE);
  }
  g_free(files);
  if (status == ISW_OK)
    *out = facts;
  else
    isw_output_clear_facts(&facts);
  return status;
}

void isw_output_clear_facts(struct isw_run_facts *facts) {
  isw_climate_free_grid(&facts->grid);
  g_free(facts->period);
  for (int i = 0; i < facts->n_inputs; i++) g_free(facts->inputs[i].file);
  g_free(facts->inputs);
  for (int i = 0; i < facts->n_understood; i++) g_free(facts->understood[i]);
  g_free(facts->understood);
  *facts = (struct isw_run_facts){.n_inputs = 0};
}
