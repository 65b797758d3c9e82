/* fast_mapped.c - the handlers of the fast core once more, for addresses that memory management maps: each reference looks
 * at the row of its page (mapping.h).  They are a table of their own, so that a program without it pays nothing. */
#define MS_ROWS 1
#include "fast.c"
