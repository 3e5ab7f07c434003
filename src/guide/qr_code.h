/* QR codes (ISO/IEC 18004) in print: black on white, error correction M, with the quiet zone of
 * four modules that the standard asks for. */
#ifndef ISW_GUIDE_QR_CODE_H
#define ISW_GUIDE_QR_CODE_H

#include <cairo.h>

/* Octets of text that find room in the largest code of that correction. */
enum { ISW_QR_OCTETS_MAX = 2331, ISW_QR_QUIET_MODULES = 4 };

struct isw_qr_code;

/* text: 1 to ISW_QR_OCTETS_MAX octets. New, to be freed. */
struct isw_qr_code *isw_guide_new_qr_code(const char *text);
void isw_guide_free_qr_code(struct isw_qr_code *code); /* takes NULL */

/* Modules along a side, the quiet zone counted. */
int isw_guide_qr_modules(const struct isw_qr_code *code);

/* x, y: the quiet zone's upper left corner, in cr's units as side is. */
void isw_guide_draw_qr_code(const struct isw_qr_code *code, cairo_t *cr, double x, double y,
                            double side);

#endif
