#include "output/run_facts.h"

#include <glib.h>

enum isw_status isw_output_note_facts(const struct isw_climate *climate, struct isw_run_facts *out,
                                      struct isw_error *error) {
  struct isw_run_facts facts = {.period = g_strdup(isw_climate_period(climate))};
  isw_climate_copy_grid(isw_climate_grid(climate), &facts.grid);
  while (isw_climate_understood(climate, facts.n_understood) != NULL) facts.n_understood++;
  facts.understood = g_new0(char *, facts.n_understood + 1);
  for (int i = 0; i < facts.n_understood; i++)
    facts.understood[i] = g_strdup(isw_climate_understood(climate, i));
  int n = 0;
  while (isw_climate_input_file(climate, n) != NULL) n++;
  facts.inputs = g_new0(struct isw_run_input, n);
  enum isw_status status = ISW_OK;
  for (; facts.n_inputs < n && status == ISW_OK; facts.n_inputs++) {
    struct isw_run_input *input = &facts.inputs[facts.n_inputs];
    input->file = g_strdup(isw_climate_input_file(climate, facts.n_inputs));
    status = isw_output_checksum_file(input->file, input->sha256, &input->size, error);
  }
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
