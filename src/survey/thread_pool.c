#include "survey/thread_pool.h"

#include <glib.h>

struct tasks {
  int n;
  isw_task *task;
  void *self;
  struct isw_log *log;
  GMutex mutex; /* guards all below */
  int next, done;
  enum isw_status status;
  struct isw_error error;
};

static gpointer work_on_tasks(gpointer data) {
  struct tasks *tasks = data;
  g_mutex_lock(&tasks->mutex);
  while (tasks->status == ISW_OK && tasks->next < tasks->n) {
    int number = tasks->next++;
    g_mutex_unlock(&tasks->mutex);
    struct isw_error error;
    enum isw_status status = tasks->task(tasks->self, number, &error);
    g_mutex_lock(&tasks->mutex);
    if (status != ISW_OK && tasks->status == ISW_OK) {
      tasks->status = status;
      tasks->error = error;
    }
    tasks->done++;
    if (tasks->log != NULL) isw_base_progress(tasks->log, tasks->done, tasks->n);
  }
  g_mutex_unlock(&tasks->mutex);
  return NULL;
}

enum isw_status isw_survey_do_tasks(int n, int threads, isw_task *task, void *self,
                                    struct isw_log *log, struct isw_error *error) {
  struct tasks tasks = {.n = n, .task = task, .self = self, .log = log};
  g_mutex_init(&tasks.mutex);
  int others = MIN(threads, n) - 1, started = 0;
  GThread **helpers = g_new0(GThread *, (size_t)MAX(others, 0) + 1);
  /* A thread that the system does not give is one fewer: the calling one is always there. */
  while (started < others &&
         (helpers[started] = g_thread_try_new("tasks", work_on_tasks, &tasks, NULL)) != NULL)
    started++;
  work_on_tasks(&tasks);
  for (int i = 0; i < started; i++) g_thread_join(helpers[i]);
  g_free(helpers);
  g_mutex_clear(&tasks.mutex);
  if (tasks.status != ISW_OK && error != NULL) *error = tasks.error;
  return tasks.status;
}
