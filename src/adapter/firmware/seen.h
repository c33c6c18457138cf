#ifndef NINEPIN_SEEN_H
#define NINEPIN_SEEN_H

#include "kept.h"
#include "record.h"

/* What the last pad and the console did last, in RAM, and snapshots of it in flash: kept.c gives them their turns there. */

void seen_init(void);

/* A pad is watched from now on, or something else is to be said of the one that is. */
void seen_begin(const struct pad_identity *identity, uint8_t outcome, uint32_t now_ms);
void seen_end(uint32_t now_ms);
void seen_tick(uint32_t now_ms, uint32_t controls, uint16_t inputs);

bool seen_has_job(void);

/* A snapshot that is due; false when none is. */
bool seen_next_job(struct record_job *job);
void seen_job_done(bool written);

/* Whether what is being written is of a pad that another has taken the place of: then it is not worth going on. */
bool seen_job_is_stale(void);

/* As those of met.h. */
bool seen_next_to_forget(uint32_t *at);
void seen_forgotten(void);
void seen_forget_ram(void);

#endif
