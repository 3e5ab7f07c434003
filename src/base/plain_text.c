#include "base/plain_text.h"

#include <stddef.h>
#include <string.h>

/* Bytes of the well-formed UTF-8 character at text, 0 where there is none (Unicode, table 3-7). */
static size_t character_size(const unsigned char *text) {
  static const struct {
    unsigned char first, last, second_from, second_to;
    size_t size;
  } rows[] = {
      {0x00, 0x7f, 0x00, 0x00, 1}, {0xc2, 0xdf, 0x80, 0xbf, 2}, {0xe0, 0xe0, 0xa0, 0xbf, 3},
      {0xe1, 0xec, 0x80, 0xbf, 3}, {0xed, 0xed, 0x80, 0x9f, 3}, {0xee, 0xef, 0x80, 0xbf, 3},
      {0xf0, 0xf0, 0x90, 0xbf, 4}, {0xf1, 0xf3, 0x80, 0xbf, 4}, {0xf4, 0xf4, 0x80, 0x8f, 4}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    if (text[0] < rows[i].first || text[0] > rows[i].last) continue;
    if (rows[i].size > 1 && (text[1] < rows[i].second_from || text[1] > rows[i].second_to))
      return 0;
    for (size_t k = 2; k < rows[i].size; k++)
      if (text[k] < 0x80 || text[k] > 0xbf) return 0;
    return rows[i].size;
  }
  return 0;
}

static unsigned value_of(const unsigned char *text, size_t size) {
  static const unsigned char first_bits[] = {0, 0x7f, 0x1f, 0x0f, 0x07};
  unsigned value = text[0] & first_bits[size];
  for (size_t k = 1; k < size; k++) value = value << 6 | (text[k] & 0x3fU);
  return value;
}

static bool steers(unsigned value) {
  static const struct {
    unsigned first, last;
  } ranges[] = {{0x01, 0x08},     {0x0b, 0x1f},     {0x7f, 0x9f},    {0x61c, 0x61c},
                {0x200e, 0x200f}, {0x202a, 0x202e}, {0x2066, 0x2069}};
  for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++)
    if (value >= ranges[i].first && value <= ranges[i].last) return true;
  return false;
}

static size_t size_of_bold(const char *text) {
  static const char *const orders[] = {"\033[1m", "\033[0m"};
  for (size_t i = 0; i < sizeof orders / sizeof *orders; i++)
    if (strncmp(text, orders[i], strlen(orders[i])) == 0) return strlen(orders[i]);
  return 0;
}

/* The NUL ends every sequence that it cuts. */
void isw_base_make_plain(char *text, bool bold) {
  char *to = text;
  while (*text != '\0') {
    size_t size = character_size((const unsigned char *)text);
    size_t kept = bold ? size_of_bold(text) : 0;
    if (kept > 0) size = kept;
    if (kept == 0 && (size == 0 || steers(value_of((const unsigned char *)text, size)))) {
      *to++ = '?';
      text += size == 0 ? 1 : size;
    } else {
      memmove(to, text, size);
      to += size;
      text += size;
    }
  }
  *to = '\0';
}

void isw_base_make_plain_line(char *text) {
  for (char *c = text; *c != '\0'; c++)
    if (*c == '\n' || *c == '\r' || *c == '\t') *c = ' ';
  isw_base_make_plain(text, false);
}
