/* Text from outside, made safe to show: a terminal takes some letters for orders. */
#ifndef ISW_BASE_PLAIN_TEXT_H
#define ISW_BASE_PLAIN_TEXT_H

#include <stdbool.h>

/* Replace by "?", in place, what is no UTF-8 character and what steers instead of showing: the
 * controls of ECMA-48 (C0 but for line break and tab, DEL, C1 such as U+0085 and U+009B) and the
 * marks that change the direction of writing (Unicode standard annex 9: U+061C, U+200E, U+200F,
 * U+202A-E, U+2066-9). bold: our own ESC [1m and ESC [0m stay. The text gets no longer. */
void isw_base_make_plain(char *text, bool bold);

/* The same of what must stay on one line, as a name in a warning: line breaks and tabs too become
 * blanks. */
void isw_base_make_plain_line(char *text);

#endif
