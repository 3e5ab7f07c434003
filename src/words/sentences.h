/* The table of everything a reader sees: which sentences there are. The sentences themselves stand,
 * whole, in words/sentences_*.def. */
#ifndef ISW_WORDS_SENTENCES_H
#define ISW_WORDS_SENTENCES_H

enum isw_sentence {
#define ISW_SENTENCE(id, arguments, context, text) ISW_SAY_##id,
#define ISW_PLURAL(id, arguments, context, one, many) ISW_SAY_##id,
#include "words/sentences.def"
#undef ISW_SENTENCE
#undef ISW_PLURAL
  ISW_SENTENCES /* how many there are */
};

#endif
