/* The built-in sheets as the build made them from src/crop/builtin/NAME.yaml. */
#ifndef ISW_CROP_BUILTIN_TEXTS_H
#define ISW_CROP_BUILTIN_TEXTS_H

#include <stddef.h>

struct isw_builtin_text {
  const char *name;          /* NULL past the last */
  const unsigned char *text; /* NUL-terminated */
  size_t size;               /* without the NUL */
};

extern const struct isw_builtin_text isw_crop_builtin_texts[];

#endif
