#include "base/setting.h"

#include <string.h>

static const char opens[] = "\u2039", closes[] = "\u203a", option[] = "--";
static const char name_letters[] = "abcdefghijklmnopqrstuvwxyz-";

void isw_base_show_settings(char *text) {
  char *to = text;
  while (*text != '\0') {
    const char *name = text + strlen(opens);
    size_t length = strncmp(text, opens, strlen(opens)) == 0 ? strspn(name, name_letters) : 0;
    if (length == 0 || strncmp(name + length, closes, strlen(closes)) != 0) {
      *to++ = *text++;
      continue;
    }
    memcpy(to, option, strlen(option));
    memmove(to + strlen(option), name, length);
    to += strlen(option) + length;
    text += strlen(opens) + length + strlen(closes);
  }
  *to = '\0';
}
