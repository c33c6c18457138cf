#ifndef NINEPIN_LAST_ACTIVITY_H
#define NINEPIN_LAST_ACTIVITY_H

#include "pad-memory.h"
#include "record.h"

/* The last activity: what the last pad and the console did last, in RAM, and snapshots of it in flash. pad-memory.c gives them their turns there. */

void activity_init(void);

/* A pad is watched from now on, or something else is to be said of the one that is. */
void activity_begin(const struct pad_identity *identity, uint8_t outcome, uint32_t now_ms);
void activity_end(uint32_t now_ms);
void activity_tick(uint32_t now_ms, uint32_t controls, uint16_t inputs);

bool activity_has_job(void);

/* A snapshot that is due; false when none is. */
bool activity_next_job(struct record_job *job);
void activity_job_done(bool written);

/* Whether what is being written is of a pad that another has taken the place of: then it is not worth going on. */
bool activity_job_is_stale(void);

/* As those of pad-history.h. */
bool activity_next_to_forget(uint32_t *at);
void activity_forgotten(void);
void activity_forget_ram(void);

#endif
