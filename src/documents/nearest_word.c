#include "documents/nearest_word.h"

#include <stddef.h>
#include <string.h>

enum { WORD_MAX = 64, FAR_APART = 1000 };

static int least(int a, int b) {
  return a < b ? a : b;
}

int isw_documents_count_edits(const char *a, const char *b) {
  size_t n = strlen(a), m = strlen(b);
  if (n > WORD_MAX || m > WORD_MAX) return FAR_APART;
  int cost[WORD_MAX + 1][WORD_MAX + 1];
  for (size_t i = 0; i <= n; i++) cost[i][0] = (int)i;
  for (size_t j = 0; j <= m; j++) cost[0][j] = (int)j;
  for (size_t i = 1; i <= n; i++) {
    for (size_t j = 1; j <= m; j++) {
      int replace = cost[i - 1][j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      int step = least(cost[i - 1][j], cost[i][j - 1]) + 1;
      cost[i][j] = least(replace, step);
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        cost[i][j] = least(cost[i][j], cost[i - 2][j - 2] + 1);
    }
  }
  return cost[n][m];
}

const char *isw_documents_nearest_word(const char *word, int n, const char *const *words) {
  int most = strlen(word) <= 3 ? 1 : strlen(word) <= 6 ? 2 : 3;
  const char *best = NULL;
  for (int i = 0; i < n; i++) {
    int edits = isw_documents_count_edits(word, words[i]);
    if (edits > most) continue;
    most = edits - 1;
    best = words[i];
  }
  return best;
}
