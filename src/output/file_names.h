/* File names made of names from outside (stations), by one rule. */
#ifndef ISW_OUTPUT_FILE_NAMES_H
#define ISW_OUTPUT_FILE_NAMES_H

#include <glib.h>

/* For each of n names prefix + name + ending, of letters and digits of any script, in lower case;
 * whatever stands between them is a hyphen, and a name without any is "station". At most 100 bytes
 * of the name count. No two are equal, letters' case aside: of names that come to the same, and of
 * those that Windows keeps for devices, the later ones get "-2", "-3" and so on. New,
 * NULL-terminated, g_strfreev. */
char **isw_output_name_files(const char *prefix, int n, const char *const *names,
                             const char *ending);

#endif
