/* The thread pool: numbered tasks that do not depend on each other, on several threads. */
#ifndef ISW_SURVEY_THREAD_POOL_H
#define ISW_SURVEY_THREAD_POOL_H

#include "base/log.h"
#include "base/status.h"

/* Task `number` of what self holds; called from any thread. */
typedef enum isw_status isw_task(void *self, int number, struct isw_error *error);

/* Tasks 0..n-1, each once, by up to `threads` threads, the calling one among them; in order of
 * their numbers with one thread. After a failure no further task begins; the first failure is
 * returned. log: told of the progress; or NULL. */
enum isw_status isw_survey_do_tasks(int n, int threads, isw_task *task, void *self,
                                    struct isw_log *log, struct isw_error *error);

#endif
