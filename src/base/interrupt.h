/* SIGINT and SIGTERM as a flag that long loops ask for. */
#ifndef ISW_BASE_INTERRUPT_H
#define ISW_BASE_INTERRUPT_H

/* From here on SIGINT and SIGTERM only set the flag; a second one ends the program at once. A file
 * that grows beyond a limit (SIGXFSZ) is a failed write, as on a full disk, and no signal. */
void isw_base_catch_interrupts(void);

/* The signal number that arrived, or 0. Safe from any thread. */
int isw_base_interrupted_by(void);

#endif
