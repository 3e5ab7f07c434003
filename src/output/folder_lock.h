/* One run at a time writes into a results folder: a lock on a file in it, which the system lets go
 * when its process ends, however it ends. */
#ifndef ISW_OUTPUT_FOLDER_LOCK_H
#define ISW_OUTPUT_FOLDER_LOCK_H

#include "base/log.h"

enum { ISW_LOCK_NONE = -1 };

/* Take the lock of an existing folder: *lock to be given back, or ISW_LOCK_NONE with a warning
 * where the file system has no locks. A lock file that a killed run left is taken over. ISW_OUTPUT:
 * another run has it; or nothing can be written there. */
enum isw_status isw_output_lock_folder(const char *dir, struct isw_log *log, int *lock,
                                       struct isw_error *error);

/* Path of the lock file; new, g_free. */
char *isw_output_lock_path(const char *dir);

/* Remove the lock file and let go. Takes ISW_LOCK_NONE. */
void isw_output_unlock_folder(const char *dir, int lock);

#endif
