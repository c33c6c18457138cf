#ifndef NINEPIN_IDENTITY_H
#define NINEPIN_IDENTITY_H

#include "link.h"

/* What this adapter says of itself over the link. Figures are for the chip's pins and a line driver each way. */
const struct link_identity *identity_make(void);

#endif
