#ifndef NINEPIN_PAD_HISTORY_H
#define NINEPIN_PAD_HISTORY_H

#include "pad-memory.h"
#include "record.h"

/* The pad history: the last pads that were plugged in. pad-memory.c gives it its turns on the flash. */

void history_init(void);

/* Queues a pad to be written, unless it is kept already as it is. */
void history_add(const struct pad_identity *identity, uint8_t outcome, const uint8_t *descriptor, uint16_t length);

bool history_has_job(void);

/* The next pad to be written; false when there is none. */
bool history_next_job(struct record_job *job);

/* How that job has ended. */
void history_job_done(bool written);

/* Where the record lies that is to be forgotten next, the oldest first; false when there is none. */
bool history_next_to_forget(uint32_t *at);

/* It has been spoiled, or could not be: it is not known any more, in any case. */
void history_forgotten(void);

#endif
