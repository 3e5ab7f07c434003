#define _XOPEN_SOURCE 700

#include "base/interrupt.h"

#include <signal.h>
#include <stdatomic.h>
#include <stddef.h>

/* A signal handler can reach nothing but a global. */
static atomic_int caught_signal;

static void remember_signal(int signal_number) {
  atomic_store(&caught_signal, signal_number);
}

void isw_base_catch_interrupts(void) {
  struct sigaction action = {.sa_handler = remember_signal, .sa_flags = (int)SA_RESETHAND};
  sigemptyset(&action.sa_mask);
  sigaction(SIGINT, &action, NULL);
  sigaction(SIGTERM, &action, NULL);
  signal(SIGXFSZ, SIG_IGN);
}

int isw_base_interrupted_by(void) {
  return atomic_load(&caught_signal);
}
