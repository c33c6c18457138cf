#include "store.h"

#include <string.h>

#include "bytes.h"
#include "crc32.h"
#include "flash-map.h"
#include "flash.h"

enum { COPY_A, COPY_B, COPIES };

/* ---- Records; STORE.md specifies them ---- */

enum {
    MAX_RECORD_BYTES = RECORD_HEADER_BYTES + STORE_MAX_IMAGE_BYTES,
    ENTRIES = FLASH_SECTOR_BYTES / LOG_ENTRY_BYTES,
};

_Static_assert(MAX_RECORD_BYTES <= FLASH_BANK_BYTES / 2, "a copy fits its sector");

/* A copy or an entry that does not come out right is written again so often, all in all. */
#define MAX_TRIES 3u

struct copy {
    uint32_t sequence;
    uint32_t crc;
    uint16_t length; /* 0: this copy is not sound */
};

static struct copy copies[STORE_BANKS][COPIES];
static bool nothing_to_mend; /* every bank has two copies alike, or was mended as far as it goes */
static bool mended[STORE_BANKS][COPIES]; /* or tried in vain, since power came on */
static bool worn;

/* Which bank is active, as the log says. */
static struct {
    uint8_t bank; /* STORE_NO_BANK when the log is empty */
    uint32_t sequence;
    uint8_t sector; /* of the newest entry */
    uint16_t next;  /* entry of that sector that is still blank; ENTRIES when it is full */
} active;

static uint32_t copy_at(uint8_t bank, uint8_t copy)
{
    return FLASH_BANKS_AT + bank * FLASH_BANK_BYTES + copy * FLASH_SECTOR_BYTES;
}

static uint32_t entry_at(uint8_t sector, uint16_t entry)
{
    return FLASH_ACTIVE_LOG_AT + sector * FLASH_SECTOR_BYTES + entry * (uint32_t)LOG_ENTRY_BYTES;
}

/* ---- Work ---- */

enum step {
    NOTHING,
    ERASE_COPY,
    PROGRAM_COPY,
    CHECK_COPY,
    SPOIL_COPY,
    ERASE_LOG,
    PROGRAM_ENTRY,
    CHECK_ENTRY,
    SUCCEED,
    FAIL,
};

/* All that goes on. One work is begun at a time; what it writes is a copy of a bank, or an entry of the log. */
static struct {
    enum step step;
    bool asked_for; /* else it is mending */
    uint8_t tries;

    struct {
        bool wanted;
        uint8_t bank;
        const uint8_t *image;
        struct copy content;
        uint8_t copy;  /* that is being written */
        bool one_done; /* the other copy holds the content already */
        uint16_t programmed;
    } commit;

    struct {
        uint8_t bank;
        uint16_t entry;
        uint8_t sector;
    } select;
} work;

static uint8_t scratch[FLASH_PAGE_BYTES];
static uint8_t mending_image[STORE_MAX_IMAGE_BYTES];

/* ---- Reading ---- */

static uint32_t crc32_in_flash(uint32_t at, uint16_t count)
{
    uint32_t crc = 0;
    while (count > 0) {
        const uint16_t part = count < sizeof scratch ? count : (uint16_t)sizeof scratch;
        flash_read(at, scratch, part);
        crc = crc32_more(crc, scratch, part);
        at += part;
        count = (uint16_t)(count - part);
    }
    return crc;
}

/* As image_crc32; a copy whose last four bytes are not that number is none. */
static uint32_t image_crc32_in_flash(uint32_t at, uint16_t count)
{
    uint8_t carried[4];
    const uint16_t covered = count < sizeof carried ? 0 : (uint16_t)(count - sizeof carried);
    const uint32_t crc = crc32_in_flash(at, covered);
    flash_read(at + covered, carried, sizeof carried);
    return get_u32(carried) == crc ? crc : ~crc;
}

static struct copy look_at_copy(uint32_t at)
{
    const struct copy none = {0, 0, 0};
    uint8_t header[RECORD_HEADER_BYTES];
    flash_read(at, header, sizeof header);
    const struct copy copy = {get_u32(header + RECORD_AT_SEQUENCE), get_u32(header + RECORD_AT_CONTENT_CRC), get_u16(header + RECORD_AT_LENGTH)};
    const bool sound = get_u32(header) == MAGIC_BANK && get_u16(header + RECORD_AT_ZERO) == 0 &&
                       get_u32(header + RECORD_AT_HEADER_CRC) == crc32(header, RECORD_AT_HEADER_CRC) && copy.length > 0 &&
                       copy.length <= STORE_MAX_IMAGE_BYTES &&
                       image_crc32_in_flash(at + RECORD_HEADER_BYTES, copy.length) == copy.crc;
    return sound ? copy : none;
}

/* The copy that counts, of a bank: the newer sound one. Of two alike it is B, so that A is written first. */
static uint8_t chosen(uint8_t bank)
{
    const struct copy *a = &copies[bank][COPY_A];
    const struct copy *b = &copies[bank][COPY_B];
    if (b->length == 0) return COPY_A;
    return a->length != 0 && a->sequence > b->sequence ? COPY_A : COPY_B;
}

static const struct copy *content_of(uint8_t bank)
{
    return &copies[bank][chosen(bank)];
}

static bool is_blank(const uint8_t *bytes, uint32_t count)
{
    while (count > 0)
        if (bytes[--count] != 0xFF) return false;
    return true;
}

static bool is_entry(const uint8_t *bytes)
{
    return get_u32(bytes) == MAGIC_LOG && get_u32(bytes + LOG_ENTRY_AT_CRC) == crc32(bytes, LOG_ENTRY_AT_CRC) &&
           bytes[LOG_ENTRY_AT_BANK] < STORE_BANKS;
}

/* Looks through one sector of the log; an entry that is newer than what is known becomes what is known. */
static void look_at_log(uint8_t sector)
{
    uint16_t next = 0;
    bool newest_here = false;
    for (uint16_t entry = 0; entry < ENTRIES; entry++) {
        uint8_t bytes[LOG_ENTRY_BYTES];
        flash_read(entry_at(sector, entry), bytes, sizeof bytes);
        if (!is_blank(bytes, sizeof bytes)) next = (uint16_t)(entry + 1u);
        if (!is_entry(bytes)) continue;
        const uint32_t sequence = get_u32(bytes + LOG_ENTRY_AT_SEQUENCE);
        if (active.bank != STORE_NO_BANK && sequence <= active.sequence) continue;
        active.bank = bytes[LOG_ENTRY_AT_BANK];
        active.sequence = sequence;
        newest_here = true;
    }
    if (newest_here || (sector == 0 && active.bank == STORE_NO_BANK)) {
        active.sector = sector;
        active.next = next;
    }
}

void store_init(void)
{
    memset(&work, 0, sizeof work);
    memset(mended, 0, sizeof mended);
    worn = false;
    nothing_to_mend = false;
    for (uint8_t bank = 0; bank < STORE_BANKS; bank++)
        for (uint8_t copy = 0; copy < COPIES; copy++) copies[bank][copy] = look_at_copy(copy_at(bank, copy));
    active.bank = STORE_NO_BANK;
    active.sequence = 0;
    for (uint8_t sector = 0; sector < FLASH_ACTIVE_LOG_SECTORS; sector++) look_at_log(sector);
}

uint16_t store_length(uint8_t bank)
{
    return content_of(bank)->length;
}

uint32_t store_crc32(uint8_t bank)
{
    return content_of(bank)->crc;
}

void store_read(uint8_t bank, uint16_t offset, uint8_t *into, uint16_t count)
{
    flash_read(copy_at(bank, chosen(bank)) + RECORD_HEADER_BYTES + offset, into, count);
}

static bool log_names_a_bank(void)
{
    return active.bank != STORE_NO_BANK && store_length(active.bank) != 0;
}

uint8_t store_active(void)
{
    if (log_names_a_bank()) return active.bank;
    for (uint8_t bank = 0; bank < STORE_BANKS; bank++)
        if (store_length(bank) != 0) return bank;
    return STORE_NO_BANK;
}

bool store_worn(void)
{
    return worn;
}

/* ---- Writing a copy ---- */

/* A part of the record that is being written. */
static void put_record(uint16_t offset, uint8_t *into, uint16_t count)
{
    uint8_t header[RECORD_HEADER_BYTES];
    put_u32(header, MAGIC_BANK);
    put_u32(header + RECORD_AT_SEQUENCE, work.commit.content.sequence);
    put_u16(header + RECORD_AT_LENGTH, work.commit.content.length);
    put_u16(header + RECORD_AT_ZERO, 0);
    put_u32(header + RECORD_AT_CONTENT_CRC, work.commit.content.crc);
    put_u32(header + RECORD_AT_HEADER_CRC, crc32(header, RECORD_AT_HEADER_CRC));
    for (uint16_t k = 0; k < count; k++) {
        const uint16_t at = (uint16_t)(offset + k);
        into[k] = at < RECORD_HEADER_BYTES ? header[at] : work.commit.image[at - RECORD_HEADER_BYTES];
    }
}

static uint16_t part_of_record(uint16_t offset)
{
    const uint16_t left = (uint16_t)(RECORD_HEADER_BYTES + work.commit.content.length - offset);
    return left < FLASH_PAGE_BYTES ? left : (uint16_t)FLASH_PAGE_BYTES;
}

static bool record_came_out_right(void)
{
    static uint8_t read_back[FLASH_PAGE_BYTES];
    const uint32_t at = copy_at(work.commit.bank, work.commit.copy);
    const uint16_t end = (uint16_t)(RECORD_HEADER_BYTES + work.commit.content.length);
    for (uint16_t offset = 0; offset < end; offset = (uint16_t)(offset + FLASH_PAGE_BYTES)) {
        const uint16_t part = part_of_record(offset);
        put_record(offset, scratch, part);
        flash_read(at + offset, read_back, part);
        if (memcmp(scratch, read_back, part) != 0) return false;
    }
    return true;
}

static struct copy *copy_at_work(void)
{
    return &copies[work.commit.bank][work.commit.copy];
}

static enum step erase_copy(void)
{
    copy_at_work()->length = 0;
    flash_begin_erase(copy_at(work.commit.bank, work.commit.copy));
    work.commit.programmed = 0;
    return PROGRAM_COPY;
}

static enum step program_copy(void)
{
    const uint16_t offset = work.commit.programmed;
    const uint16_t part = part_of_record(offset);
    put_record(offset, scratch, part);
    flash_begin_program(copy_at(work.commit.bank, work.commit.copy) + offset, scratch, part);
    work.commit.programmed = (uint16_t)(offset + part);
    return work.commit.programmed < RECORD_HEADER_BYTES + work.commit.content.length ? PROGRAM_COPY : CHECK_COPY;
}

static enum step check_copy(void)
{
    if (!record_came_out_right()) {
        if (++work.tries < MAX_TRIES) return ERASE_COPY;
        if (!work.asked_for || work.commit.one_done) worn = true;
        return SPOIL_COPY;
    }
    *copy_at_work() = work.commit.content;
    if (!work.asked_for || work.commit.one_done) return SUCCEED;
    work.commit.one_done = true;
    work.commit.copy ^= 1u;
    work.tries = 0;
    return ERASE_COPY;
}

/* What was refused must not come to life later, by a bit that reads right another time: its header is cleared. */
static enum step spoil_copy(void)
{
    memset(scratch, 0, RECORD_HEADER_BYTES);
    flash_begin_program(copy_at(work.commit.bank, work.commit.copy), scratch, RECORD_HEADER_BYTES);
    return work.commit.one_done ? SUCCEED : FAIL;
}

/* ---- Writing an entry ---- */

static void put_entry(uint8_t *into)
{
    memset(into, 0, LOG_ENTRY_BYTES);
    put_u32(into, MAGIC_LOG);
    put_u32(into + LOG_ENTRY_AT_SEQUENCE, active.sequence + 1u);
    into[LOG_ENTRY_AT_BANK] = work.select.bank;
    put_u32(into + LOG_ENTRY_AT_CRC, crc32(into, LOG_ENTRY_AT_CRC));
}

static enum step begin_entry(void)
{
    work.select.sector = active.sector;
    work.select.entry = active.next;
    return active.next < ENTRIES ? PROGRAM_ENTRY : ERASE_LOG;
}

static enum step erase_log(void)
{
    work.select.sector ^= 1u;
    work.select.entry = 0;
    flash_begin_erase(entry_at(work.select.sector, 0));
    return PROGRAM_ENTRY;
}

static enum step program_entry(void)
{
    put_entry(scratch);
    flash_begin_program(entry_at(work.select.sector, work.select.entry), scratch, LOG_ENTRY_BYTES);
    return CHECK_ENTRY;
}

static enum step check_entry(void)
{
    uint8_t read_back[LOG_ENTRY_BYTES];
    put_entry(scratch);
    flash_read(entry_at(work.select.sector, work.select.entry), read_back, sizeof read_back);
    work.select.entry++;
    const bool right = memcmp(scratch, read_back, sizeof read_back) == 0;
    if (right) {
        active.bank = work.select.bank;
        active.sequence++;
        active.sector = work.select.sector;
        active.next = work.select.entry;
        work.tries = 0;
        return work.commit.wanted ? ERASE_COPY : SUCCEED;
    }
    /* The place is spent in any case; the next one may be better. */
    if (work.select.sector == active.sector) active.next = work.select.entry;
    if (++work.tries == MAX_TRIES) return FAIL;
    return work.select.entry < ENTRIES ? PROGRAM_ENTRY : ERASE_LOG;
}

/* ---- Beginning ---- */

static uint32_t next_sequence(uint8_t bank)
{
    const struct copy *content = content_of(bank);
    return content->length == 0 ? 1u : content->sequence + 1u;
}

void store_begin_commit(uint8_t bank, const uint8_t *image, uint16_t length)
{
    memset(&work, 0, sizeof work);
    work.asked_for = true;
    work.commit.wanted = true;
    work.commit.bank = bank;
    work.commit.image = image;
    work.commit.content = (struct copy){next_sequence(bank), image_crc32(image, length), length};
    work.commit.copy = chosen(bank) ^ 1u;
    /* Which bank is active must not depend on what the other banks come to hold. */
    work.select.bank = store_active();
    const bool to_be_named = work.select.bank != STORE_NO_BANK && !log_names_a_bank();
    work.step = to_be_named ? begin_entry() : ERASE_COPY;
}

void store_begin_select(uint8_t bank)
{
    memset(&work, 0, sizeof work);
    work.asked_for = true;
    work.select.bank = bank;
    work.step = active.bank == bank ? SUCCEED : begin_entry();
}

/* The copy of a bank that is not what it should be; COPIES for none. */
static uint8_t copy_to_mend(uint8_t bank)
{
    const uint8_t good = chosen(bank);
    const uint8_t other = good ^ 1u;
    const struct copy *a = &copies[bank][good];
    const struct copy *b = &copies[bank][other];
    const bool alike = a->sequence == b->sequence && a->crc == b->crc && a->length == b->length;
    return a->length == 0 || alike || mended[bank][other] ? COPIES : other;
}

static void begin_mending(void)
{
    for (uint8_t bank = 0; bank < STORE_BANKS; bank++) {
        const uint8_t copy = copy_to_mend(bank);
        if (copy == COPIES) continue;
        mended[bank][copy] = true;
        memset(&work, 0, sizeof work);
        work.commit.bank = bank;
        work.commit.image = mending_image;
        work.commit.content = *content_of(bank);
        work.commit.copy = copy;
        store_read(bank, 0, mending_image, work.commit.content.length);
        const bool sound = image_crc32(mending_image, work.commit.content.length) == work.commit.content.crc;
        work.step = sound ? ERASE_COPY : NOTHING;
        return;
    }
}

/* Looked for once after each step: the main loop asks every time that it comes round. */
static bool anything_to_mend(void)
{
    if (nothing_to_mend) return false;
    for (uint8_t bank = 0; bank < STORE_BANKS; bank++)
        if (copy_to_mend(bank) != COPIES) return true;
    nothing_to_mend = true;
    return false;
}

bool store_at_work(void)
{
    return work.step != NOTHING || anything_to_mend();
}

/* ---- Going on ---- */

static enum step take(enum step step)
{
    switch (step) {
    case ERASE_COPY: return erase_copy();
    case PROGRAM_COPY: return program_copy();
    case CHECK_COPY: return check_copy();
    case SPOIL_COPY: return spoil_copy();
    case ERASE_LOG: return erase_log();
    case PROGRAM_ENTRY: return program_entry();
    case CHECK_ENTRY: return check_entry();
    default: return NOTHING;
    }
}

enum store_work store_poll(void)
{
    if (!store_at_work()) return STORE_IDLE;
    /* With this work's last step, or with what others have begun. */
    if (flash_busy()) return STORE_AT_WORK;
    if (work.step == NOTHING) begin_mending();
    if (work.step == NOTHING) return STORE_IDLE;
    const enum step step = work.step;
    nothing_to_mend = false;
    work.step = take(step);
    if (step != SUCCEED && step != FAIL) return STORE_AT_WORK;
    if (!work.asked_for) return STORE_IDLE;
    return step == SUCCEED ? STORE_DONE : STORE_FAILED;
}
