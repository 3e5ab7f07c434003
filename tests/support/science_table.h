/* Science tables (text files of tests/tables): one row a line, numbers first, the source as the
 * rest of the line; '#' starts a comment line. An agronomist can read and extend them without C. */
#ifndef ISW_TEST_SCIENCE_TABLE_H
#define ISW_TEST_SCIENCE_TABLE_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { SCIENCE_NUMBERS_MAX = 32, SCIENCE_TEXT_SIZE = 400 };

struct science_row {
  double number[SCIENCE_NUMBERS_MAX];
  char text[SCIENCE_TEXT_SIZE]; /* what follows the numbers */
};

/* Row `index` of TEST_SOURCE_DIR/tables/name, whose rows start with n_numbers numbers; returns the
 * count of rows (index -1: only count). Exits on a table that does not read: a broken table must
 * not pass as an empty one. */
static inline int science_table_row(const char *name, int n_numbers, int index,
                                    struct science_row *row) {
  char path[1024], line[1024];
  snprintf(path, sizeof path, "%s/tables/%s", TEST_SOURCE_DIR, name);
  FILE *file = fopen(path, "r");
  if (file == NULL) {
    fprintf(stderr, "%s: cannot be opened\n", path);
    exit(EXIT_FAILURE);
  }
  int count = 0;
  while (fgets(line, sizeof line, file) != NULL) {
    char *at = line + strspn(line, " \t");
    if (*at == '#' || *at == '\n' || *at == '\0') continue;
    if (count++ != index || row == NULL) continue;
    for (int i = 0; i < n_numbers; i++) {
      char *end;
      row->number[i] = strtod(at, &end);
      if (end == at) {
        fprintf(stderr, "%s: row %d has fewer than %d numbers\n", path, count, n_numbers);
        exit(EXIT_FAILURE);
      }
      at = end;
    }
    at += strspn(at, " \t");
    snprintf(row->text, sizeof row->text, "%s", at);
    row->text[strcspn(row->text, "\n")] = '\0';
  }
  fclose(file);
  if (count == 0 || index >= count) {
    fprintf(stderr, "%s: no row %d\n", path, index + 1);
    exit(EXIT_FAILURE);
  }
  return count;
}

static inline int science_table_count(const char *name) {
  return science_table_row(name, 0, -1, NULL);
}

#endif
