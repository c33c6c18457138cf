#ifndef NINEPIN_MET_H
#define NINEPIN_MET_H

#include "kept.h"
#include "record.h"

/* The pads that were met: kept.c gives them their turns on the flash. */

void met_init(void);

/* Queues a pad to be written, unless it is kept already as it is. */
void met_add(const struct pad_identity *identity, uint8_t outcome, const uint8_t *descriptor, uint16_t length);

bool met_has_job(void);

/* The next pad to be written; false when there is none. */
bool met_next_job(struct record_job *job);

/* How that job has ended. */
void met_job_done(bool written);

/* Where the record lies that is to be forgotten next, the oldest first; false when there is none. */
bool met_next_to_forget(uint32_t *at);

/* It has been spoiled, or could not be: it is not known any more, in any case. */
void met_forgotten(void);

#endif
