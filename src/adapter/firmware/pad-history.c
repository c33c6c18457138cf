#include "pad-history.h"

#include <string.h>

#include "flash-map.h"
#include "flash.h"
#include "pad-record.h"

enum {
    MAX_CONTENT_BYTES = PAD_RECORD_BYTES + HISTORY_MAX_DESCRIPTOR_BYTES,
    NOWHERE = FLASH_HISTORY_SECTORS,
};

_Static_assert(FLASH_HISTORY_SECTORS == HISTORY_MAX_PADS + 1, "one sector is free to be written while the others count");
_Static_assert(RECORD_HEADER_BYTES + MAX_CONTENT_BYTES <= FLASH_SECTOR_BYTES, "a pad fits a sector");

/* A record that does not come out right is written again, so often all in all; then its sector is let be. */
#define MAX_TRIES 3u

/* A device that says something else of itself each time must not wear the flash. */
#define MAX_RECORDS_AT_A_TIME 32u

/* What each sector holds. */
static struct sector {
    uint32_t sequence; /* 0: nothing sound */
    struct known_pad pad;
    bool worn;
} sectors[FLASH_HISTORY_SECTORS];

/* Pads that wait to be written. Counters run on; who adds and who writes may be an interrupt apart. */
#define NEWCOMERS 2u
static struct newcomer {
    struct known_pad pad;
    uint8_t content[MAX_CONTENT_BYTES];
} newcomers[NEWCOMERS];
static volatile uint8_t come;
static volatile uint8_t written;

static uint8_t records; /* since power came on */
static uint8_t target;  /* sector that is being written, or made to count no more */
static uint32_t sequence; /* of what is being written */
static uint8_t tries;

static uint32_t sector_at(uint8_t sector)
{
    return FLASH_HISTORY_AT + sector * FLASH_SECTOR_BYTES;
}

void history_init(void)
{
    memset(sectors, 0, sizeof sectors);
    come = written = 0;
    records = 0;
    tries = 0;
    for (uint8_t k = 0; k < FLASH_HISTORY_SECTORS; k++) {
        const struct record_header header = record_look(sector_at(k), MAGIC_PAD, MAX_CONTENT_BYTES);
        if (header.sequence == 0 || header.length < PAD_RECORD_BYTES || !record_sound(sector_at(k), &header)) continue;
        uint8_t pad[PAD_RECORD_BYTES];
        flash_read(sector_at(k) + RECORD_HEADER_BYTES, pad, sizeof pad);
        sectors[k].sequence = header.sequence;
        sectors[k].pad = (struct known_pad){get_pad(pad), pad[1], (uint16_t)(header.length - PAD_RECORD_BYTES)};
    }
}

/* ---- Which record counts ---- */

/* The newest sector that is older than a sequence number. */
static uint8_t newest_before(uint32_t sequence)
{
    uint8_t newest = NOWHERE;
    for (uint8_t k = 0; k < FLASH_HISTORY_SECTORS; k++) {
        const uint32_t own = sectors[k].sequence;
        if (own == 0 || own >= sequence) continue;
        if (newest == NOWHERE || own > sectors[newest].sequence) newest = k;
    }
    return newest;
}

static uint8_t newest(void)
{
    return newest_before(UINT32_MAX);
}

/* A newer record tells of the same device. */
static bool superseded(uint8_t sector)
{
    for (uint8_t k = 0; k < FLASH_HISTORY_SECTORS; k++)
        if (sectors[k].sequence > sectors[sector].sequence && same_pad(&sectors[k].pad.identity, &sectors[sector].pad.identity))
            return true;
    return false;
}

/* The sector of a pad by its number, 0 for the newest; NOWHERE when there are not so many. */
static uint8_t sector_of(uint8_t which)
{
    if (which >= HISTORY_MAX_PADS) return NOWHERE;
    uint8_t k = newest();
    while (k != NOWHERE && (superseded(k) || which-- > 0)) k = newest_before(sectors[k].sequence);
    return k;
}

uint8_t pad_memory_count(void)
{
    uint8_t count = 0;
    while (count < HISTORY_MAX_PADS && sector_of(count) != NOWHERE) count++;
    return count;
}

struct known_pad pad_memory_pad(uint8_t which)
{
    return sectors[sector_of(which)].pad;
}

void pad_memory_descriptor(uint8_t which, uint16_t offset, uint8_t *into, uint16_t count)
{
    flash_read(sector_at(sector_of(which)) + RECORD_HEADER_BYTES + PAD_RECORD_BYTES + offset, into, count);
}

/* ---- Writing ---- */

/* What is known of a device: what waits to be written of it, else what is kept. */
static const struct known_pad *known(const struct pad_identity *pad)
{
    for (uint8_t k = come; k != written; k--) {
        const struct newcomer *waiting = &newcomers[(uint8_t)(k - 1u) % NEWCOMERS];
        if (same_pad(&waiting->pad.identity, pad)) return &waiting->pad;
    }
    for (uint8_t which = 0; which < HISTORY_MAX_PADS; which++) {
        const uint8_t k = sector_of(which);
        if (k == NOWHERE) break;
        if (same_pad(&sectors[k].pad.identity, pad)) return &sectors[k].pad;
    }
    return NULL;
}

void history_add(const struct pad_identity *identity, uint8_t outcome, const uint8_t *descriptor, uint16_t length)
{
    if (length > HISTORY_MAX_DESCRIPTOR_BYTES) length = HISTORY_MAX_DESCRIPTOR_BYTES;
    const struct known_pad *already = known(identity);
    if (already != NULL && already->outcome == outcome) return;
    if ((uint8_t)(come - written) == NEWCOMERS || records == MAX_RECORDS_AT_A_TIME) return;
    struct newcomer *newcomer = &newcomers[come % NEWCOMERS];
    newcomer->pad = (struct known_pad){*identity, outcome, length};
    put_pad(newcomer->content, identity, outcome);
    if (length > 0) memcpy(newcomer->content + PAD_RECORD_BYTES, descriptor, length);
    records++;
    come++;
}

/* The sector that can best be spared: one that holds nothing, then one that is superseded, then the oldest. */
static uint8_t sector_to_spare(void)
{
    uint8_t spare = NOWHERE;
    uint32_t least = UINT32_MAX;
    for (uint8_t k = 0; k < FLASH_HISTORY_SECTORS; k++) {
        if (sectors[k].worn) continue;
        const uint32_t worth = superseded(k) ? 0 : sectors[k].sequence;
        if (worth < least) {
            least = worth;
            spare = k;
        }
    }
    return spare;
}

static uint16_t newcomer_bytes(void)
{
    return (uint16_t)(PAD_RECORD_BYTES + newcomers[written % NEWCOMERS].pad.descriptor_bytes);
}

static void newcomer_part(uint16_t offset, uint8_t *into, uint16_t count)
{
    memcpy(into, newcomers[written % NEWCOMERS].content + offset, count);
}

bool history_has_job(void)
{
    return come != written;
}

bool history_next_job(struct record_job *job)
{
    if (come == written) return false;
    target = sector_to_spare();
    if (target == NOWHERE) {
        written = come;
        return false;
    }
    const uint8_t last = newest();
    sequence = last == NOWHERE ? 1u : sectors[last].sequence + 1u;
    *job = (struct record_job){
        .at = sector_at(target),
        .erase = true,
        .magic = MAGIC_PAD,
        .sequence = sequence,
        .length = newcomer_bytes,
        .part = newcomer_part,
    };
    sectors[target].sequence = 0;
    return true;
}

void history_job_done(bool right)
{
    if (!right && ++tries < MAX_TRIES) return;
    if (right) {
        sectors[target].pad = newcomers[written % NEWCOMERS].pad;
        sectors[target].sequence = sequence;
        written++;
    } else {
        sectors[target].worn = true;
    }
    tries = 0;
}

/* ---- Forgetting ---- */

static uint8_t oldest(void)
{
    uint8_t found = NOWHERE;
    for (uint8_t k = newest(); k != NOWHERE; k = newest_before(sectors[k].sequence)) found = k;
    return found;
}

bool history_next_to_forget(uint32_t *at)
{
    written = come;
    target = oldest();
    if (target == NOWHERE) return false;
    *at = sector_at(target);
    return true;
}

void history_forgotten(void)
{
    sectors[target].sequence = 0;
}
