/* The temporary folders in a results folder, and how results go from there into place and back. */
#ifndef ISW_OUTPUT_UNFINISHED_H
#define ISW_OUTPUT_UNFINISHED_H

#include <glib.h>

#include "base/log.h"

/* A new temporary folder in dir: its path, new, g_free; NULL with errno when there can be none. */
char *isw_output_new_unfinished(const char *dir);

/* Remove a folder with all that is in it; links are not followed. */
void isw_output_remove_tree(const char *dir);

/* Whether dir holds a temporary folder with a record in it. Only while dir is locked, or those of
 * living runs are looked at, too. */
bool isw_output_holds_cut_commit(const char *dir);

/* Put in place what the temporary folder holds: the earlier entries of dir named in `aside` move
 * into a folder of their own within it, then `names` move from it into dir, run.json last. On
 * failure all goes back. ISW_OUTPUT: the message says that nothing was changed, or what was;
 * *keep: the temporary folder must stay, it holds earlier results that could not go back. */
enum isw_status isw_output_put_in_place(const char *temporary, const char *dir,
                                        const GPtrArray *aside, const GPtrArray *names, bool *keep,
                                        struct isw_error *error);

/* The same without a record, each result by itself over an earlier one of its name: all are whole,
 * and a failure, told with their count, leaves those that went before it. */
enum isw_status isw_output_put_each_in_place(const char *temporary, const char *dir,
                                             const GPtrArray *names, struct isw_error *error);

/* Mend what killed runs left in dir, which must be locked: where results were being put in place,
 * those that are there go and the earlier ones come back; then every temporary folder goes. One
 * whose earlier results cannot go back, because other files have their names now, stays, with a
 * warning. */
void isw_output_mend_unfinished(const char *dir, struct isw_log *log);

#endif
