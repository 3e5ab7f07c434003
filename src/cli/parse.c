#include "cli/parse.h"

#include <stdio.h>
#include <string.h>

/* ---- the table as entries of GOption ---- */

struct parse {
  const struct isw_cli_command *command;
  struct isw_options *options;
  struct isw_error *error;
  bool refused;        /* error is filled */
  GHashTable *started; /* lists that a word of the command line stands in */
};

static gboolean take_option(const char *dashed, const char *value, gpointer data,
                            GError **failure) {
  struct parse *parse = data;
  const struct isw_option *option = isw_jobs_find_option(dashed + 2, parse->command->command);
  const char *text = option->kind == ISW_OPTION_FLAG ? "yes" : value;
  /* What is typed wins over a region file: its list is not added to. Pairs are one value each. */
  if (isw_jobs_is_list(option) && option->kind != ISW_OPTION_PAIRS &&
      g_hash_table_add(parse->started, (gpointer)option->name))
    isw_jobs_empty_list(parse->options, option);
  if (isw_jobs_set_option(parse->options, option, text, parse->error) == ISW_OK) return TRUE;
  isw_base_prefix_error(parse->error, "%s %s: ", dashed, text);
  parse->refused = true;
  g_set_error_literal(failure, G_OPTION_ERROR, G_OPTION_ERROR_BAD_VALUE, "refused");
  return FALSE;
}

/* Paths are bytes; all other texts become UTF-8. */
static int entry_flags(const struct isw_option *option) {
  switch (option->kind) {
    case ISW_OPTION_FLAG: return G_OPTION_FLAG_NO_ARG;
    case ISW_OPTION_PATH:
    case ISW_OPTION_SHEETS:
    case ISW_OPTION_NUMBER_OR_PATH: return G_OPTION_FLAG_FILENAME;
    default: return 0;
  }
}

/* The help with the default in the place of %s; kept in texts. */
static const char *help_of(const struct isw_option *option, GPtrArray *texts) {
  const char *place = strstr(option->help, "%s");
  if (place == NULL) return option->help;
  struct isw_options defaults;
  isw_jobs_start_options(&defaults);
  char *value = isw_jobs_option_text(&defaults, option);
  char *help = g_strdup_printf("%.*s%s%s", (int)(place - option->help), option->help, value,
                               place + strlen("%s"));
  g_free(value);
  isw_jobs_clear_options(&defaults);
  g_ptr_array_add(texts, help);
  return help;
}

static GOptionGroup *new_group(enum isw_option_group group, struct parse *parse) {
  static const char *const names[][3] = {
      [ISW_OPTIONS_MAIN] = {"main", "Options:", "Show options"},
      [ISW_OPTIONS_CLIMATE] = {"climate", "Climate:", "Show climate options"},
      [ISW_OPTIONS_CONDITIONS] = {"conditions", "Conditions:", "Show options for conditions"},
      [ISW_OPTIONS_MAPS] = {"maps", "Maps:", "Show options for maps"},
      [ISW_OPTIONS_GUIDE] = {"guide", "Publication:", "Show options for a guide's publication"}};
  return g_option_group_new(names[group][0], names[group][1], names[group][2], parse, NULL);
}

/* Adds the options of one group to the context; false: the command has none there. */
static bool add_group(GOptionContext *context, enum isw_option_group group, struct parse *parse,
                      GPtrArray *texts) {
  size_t count;
  const struct isw_option *table = isw_jobs_option_table(&count);
  GArray *entries = g_array_new(TRUE, TRUE, sizeof(GOptionEntry));
  for (size_t i = 0; i < count; i++) {
    const struct isw_option *option = &table[i];
    if (option->group != group || option->in_file) continue;
    if ((option->commands & parse->command->command) == 0) continue;
    GOptionEntry entry = {.long_name = option->name,
                          .flags = entry_flags(option),
                          .arg = G_OPTION_ARG_CALLBACK,
                          .description = help_of(option, texts),
                          .arg_description = isw_jobs_option_argument(option)};
    /* The one way from a function to the void pointer that GOption keeps it in. */
    GOptionArgFunc take = take_option;
    memcpy(&entry.arg_data, &take, sizeof take);
    g_array_append_val(entries, entry);
  }
  bool any = entries->len > 0;
  if (any || group == ISW_OPTIONS_MAIN) {
    GOptionGroup *made = new_group(group, parse);
    g_option_group_add_entries(made, (const GOptionEntry *)(const void *)entries->data);
    if (group == ISW_OPTIONS_MAIN)
      g_option_context_set_main_group(context, made);
    else
      g_option_context_add_group(context, made);
  }
  g_array_unref(entries);
  return any;
}

/* ---- parsing ---- */

/* GOption's own --help hides what is in groups; a command's help shows all its options. */
static void show_all_help(GOptionContext *context) {
  char *text = g_option_context_get_help(context, FALSE, NULL);
  fputs(text, stdout);
  g_free(text);
}

/* An option of other commands: say which. NULL: there is none in the words. */
static char *find_foreign(const struct parse *parse, int argc, char **argv) {
  for (int i = 1; i < argc && strcmp(argv[i], "--") != 0; i++) {
    if (!g_str_has_prefix(argv[i], "--")) continue;
    char *name = g_strndup(argv[i] + 2, strcspn(argv[i] + 2, "="));
    const struct isw_option *foreign = isw_jobs_find_option(name, ~0U);
    bool ours = isw_jobs_find_option(name, parse->command->command) != NULL;
    g_free(name);
    if (foreign == NULL || foreign->in_file || ours) continue;
    GString *text = g_string_new(NULL);
    size_t n_commands;
    const struct isw_cli_command *commands = isw_cli_commands(&n_commands);
    for (size_t k = 0; k < n_commands; k++)
      if (isw_jobs_find_option(foreign->name, commands[k].command) != NULL)
        g_string_append_printf(text, "%s%s", text->len > 0 ? ", " : "",
                               isw_jobs_command_name(commands[k].command));
    char *told = g_strdup_printf("--%s is an option of %s, not of %s", foreign->name, text->str,
                                 isw_jobs_command_name(parse->command->command));
    g_string_free(text, TRUE);
    return told;
  }
  return NULL;
}

static enum isw_status refuse(struct parse *parse, const GError *failure, const char *program,
                              int argc, char **argv) {
  if (parse->refused) return parse->error->status;
  char *foreign = g_error_matches(failure, G_OPTION_ERROR, G_OPTION_ERROR_UNKNOWN_OPTION)
                      ? find_foreign(parse, argc, argv)
                      : NULL;
  enum isw_status status = isw_base_fail(parse->error, ISW_USAGE, "%s; see %s --help",
                                         foreign != NULL ? foreign : failure->message, program);
  g_free(foreign);
  return status;
}

static enum isw_status check_words(const struct isw_cli_command *command, int *argc, char **argv,
                                   const char *program, struct isw_error *error) {
  /* A "--" that GOption leaves in front of positional words. */
  if (*argc > 1 && strcmp(argv[1], "--") == 0) {
    memmove(&argv[1], &argv[2], sizeof(char *) * (size_t)(*argc - 1));
    (*argc)--;
  }
  int words = *argc - 1;
  if (words > command->most_words)
    return isw_base_fail(error, ISW_USAGE, "\"%s\" is not understood; see %s --help",
                         argv[command->most_words + 1], program);
  if (words < command->least_words)
    return isw_base_fail(error, ISW_USAGE, "%s wanted, %d given; see %s --help",
                         command->least_words == 1 ? "a name is" : "two names are", words, program);
  return ISW_OK;
}

enum isw_status isw_cli_parse(const struct isw_cli_command *command, int *argc, char ***argv,
                              struct isw_options *options, bool *helped, struct isw_error *error) {
  struct parse parse = {.command = command,
                        .options = options,
                        .error = error,
                        .started = g_hash_table_new(g_str_hash, g_str_equal)};
  GPtrArray *texts = g_ptr_array_new_with_free_func(g_free);
  GOptionContext *context = g_option_context_new(command->usage);
  g_option_context_set_summary(context, command->summary);
  g_option_context_set_help_enabled(context, FALSE);
  add_group(context, ISW_OPTIONS_MAIN, &parse, texts);
  gboolean help = FALSE;
  const GOptionEntry entries[] = {
      {"help", 'h', 0, G_OPTION_ARG_NONE, &help, "Show this help", NULL}, G_OPTION_ENTRY_NULL};
  g_option_context_add_main_entries(context, entries, NULL);
  add_group(context, ISW_OPTIONS_CLIMATE, &parse, texts);
  add_group(context, ISW_OPTIONS_CONDITIONS, &parse, texts);
  add_group(context, ISW_OPTIONS_MAPS, &parse, texts);
  add_group(context, ISW_OPTIONS_GUIDE, &parse, texts);

  char *program = g_strconcat("isosow ", isw_jobs_command_name(command->command), NULL);
  g_set_prgname(program);
  int typed_count = *argc;
  char **typed = g_memdup2(*argv, sizeof(char *) * ((size_t)typed_count + 1));
  GError *failure = NULL;
  enum isw_status status;
  if (!g_option_context_parse(context, argc, argv, &failure)) {
    status = refuse(&parse, failure, program, typed_count, typed);
    g_error_free(failure);
  } else {
    *helped = help != FALSE;
    if (help) show_all_help(context);
    status = help ? ISW_OK : check_words(command, argc, *argv, program, error);
  }
  g_option_context_free(context);
  g_hash_table_destroy(parse.started);
  g_ptr_array_unref(texts);
  g_free(typed);
  g_free(program);
  return status;
}

/* ---- the table for scripts ---- */

void isw_cli_print_options(void) {
  static const char *const kinds[] = {
      [ISW_OPTION_FLAG] = "flag",           [ISW_OPTION_COUNT] = "count",
      [ISW_OPTION_NUMBER] = "number",       [ISW_OPTION_CHOICE] = "choice",
      [ISW_OPTION_SIZE] = "size",           [ISW_OPTION_TEXT] = "text",
      [ISW_OPTION_DATE] = "date",           [ISW_OPTION_DATES] = "dates",
      [ISW_OPTION_MONTHS] = "months",       [ISW_OPTION_PATH] = "path",
      [ISW_OPTION_SHEETS] = "sheet",        [ISW_OPTION_NUMBERS] = "list",
      [ISW_OPTION_NUMBER_OR_PATH] = "path", [ISW_OPTION_TEXTS] = "text",
      [ISW_OPTION_PAIRS] = "text"};
  size_t count, n_commands;
  const struct isw_option *table = isw_jobs_option_table(&count);
  const struct isw_cli_command *commands = isw_cli_commands(&n_commands);
  for (size_t k = 0; k < n_commands; k++)
    for (size_t i = 0; i < count; i++) {
      if (table[i].in_file || (table[i].commands & commands[k].command) == 0) continue;
      const char *argument = isw_jobs_option_argument(&table[i]), *words = table[i].words;
      printf("%s\t--%s\t%s\t%s\t%s\n", isw_jobs_command_name(commands[k].command), table[i].name,
             kinds[table[i].kind], argument != NULL ? argument : "", words != NULL ? words : "");
    }
}
