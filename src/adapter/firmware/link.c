#include "link.h"

#include <string.h>

#include "adapter.h"
#include "bytes.h"
#include "cobs.h"
#include "crc32.h"
#include "image.h"
#include "link-numbers.h"
#include "staging.h"

/* What a request comes to apart from the errors of LINK.md. */
enum {
    DONE = 0,
    LATER = 0x100, /* not on the line: the memory works on it, and the answer comes when it has done so */
};
/* DONE, LATER, or the code of an error. */
typedef uint16_t result_code;

/* Events may be held back for 8 ms at most; the clock counts whole milliseconds and is looked at once in each. */
#define EVENT_GAP_MS 6u

static const uint8_t product_mark[] = PRODUCT_MARK;

/* A message on its way to the host, zeros at both ends included. */
struct wire {
    uint8_t bytes[LINK_MAX_WIRE_BYTES];
    uint16_t length;
    uint16_t sent;
};

/* A request, or an answer that is being put together: its body without the CRC. */
struct frame {
    uint8_t type;
    uint8_t sequence;
    const uint8_t *payload;
    uint16_t count;
    uint32_t crc;
};

/* All that the link remembers. */
static struct {
    const struct link_identity *identity;

    struct {
        uint8_t bytes[LINK_MAX_ENCODED_BYTES];
        uint16_t length;
        bool overflown;
        bool waits; /* a whole request stands here that cannot be answered while the memory works */
        struct frame request;
    } in;

    uint8_t body[LINK_MAX_BODY_BYTES]; /* of the answer or event that is being put together */
    struct wire reply;             /* kept when it is sent, for a host that asks again */
    struct wire event;

    struct {
        bool known;
        uint8_t sequence;
        uint32_t crc;
    } last; /* request that was answered */

    struct {
        bool going_on;
        bool host_waits; /* false when the host that asked is gone: then nobody is answered */
        uint8_t type;
        uint8_t sequence;
        uint32_t crc;
    } task; /* that the memory works on */

    bool identified;
    bool monitoring;

    struct {
        bool once;
        uint8_t events;
        uint32_t at_ms;
        struct port_state state;
    } reported; /* by events */
} link;

/* ---- Frames ---- */

static uint8_t *payload_of_answer(void)
{
    return link.body + LINK_BODY_HEAD_BYTES;
}

/* Puts what stands in `link.body` on the wire. */
static void post(struct wire *wire, uint8_t type, uint8_t sequence, uint16_t payload_bytes)
{
    link.body[0] = type;
    link.body[1] = sequence;
    const uint16_t crc_at = (uint16_t)(LINK_BODY_HEAD_BYTES + payload_bytes);
    put_u32(link.body + crc_at, crc32(link.body, crc_at));
    wire->bytes[0] = 0;
    const uint16_t stuffed = cobs_encode(link.body, (uint16_t)(crc_at + CRC_BYTES), wire->bytes + 1);
    wire->bytes[1 + stuffed] = 0;
    wire->length = (uint16_t)(stuffed + 2u);
    wire->sent = 0;
}

/* What stands between two zeros, as a request; false when it is damaged. */
static bool open_frame(struct frame *frame)
{
    const int32_t count = link.in.overflown ? -1 : cobs_decode(link.in.bytes, link.in.length);
    if (count < (int32_t)LINK_FRAME_OVERHEAD_BYTES || count > (int32_t)LINK_MAX_BODY_BYTES) return false;
    const uint16_t crc_at = (uint16_t)(count - CRC_BYTES);
    frame->crc = get_u32(link.in.bytes + crc_at);
    if (frame->crc != crc32(link.in.bytes, crc_at)) return false;
    frame->type = link.in.bytes[0];
    frame->sequence = link.in.bytes[1];
    frame->payload = link.in.bytes + LINK_BODY_HEAD_BYTES;
    frame->count = (uint16_t)(crc_at - LINK_BODY_HEAD_BYTES);
    return true;
}

/* ---- Requests ---- */

static void forget_host(void)
{
    link.identified = false;
    link.monitoring = false;
    /* One that is half on its way is ended, so that it does not spoil the reply behind it. */
    if (link.event.sent == 0) link.event.length = 0;
    link.last.known = false;
    link.task.host_waits = false;
    staging_clear();
    adapter_host_releases();
}

static void put_name(uint8_t *at, const char *name)
{
    memset(at, 0, LINK_NAME_BYTES);
    for (uint8_t k = 0; k < LINK_NAME_BYTES && name[k] != 0; k++) at[k] = (uint8_t)name[k];
}

static uint16_t put_identity(uint8_t *at)
{
    memcpy(at + IDENTITY_AT_MARK, product_mark, sizeof product_mark);
    at[IDENTITY_AT_MAJOR] = PROTOCOL_MAJOR;
    at[IDENTITY_AT_MINOR] = PROTOCOL_MINOR;
    memcpy(at + IDENTITY_AT_FIRMWARE, link.identity->firmware, 3);
    at[IDENTITY_AT_BANKS] = LINK_BANKS;
    put_u16(at + IDENTITY_AT_LARGEST_IMAGE_BYTES, IMAGE_MAX_BYTES);
    put_u16(at + IDENTITY_AT_CHUNK_BYTES, LINK_CHUNK_BYTES);
    at[IDENTITY_AT_DELAY_STEP_NS] = link.identity->delay_step_ns;
    at[IDENTITY_AT_DELAY_STRETCH] = link.identity->delay_stretch;
    put_u32(at + IDENTITY_AT_REPLY_MIN_NS, link.identity->reply_min_ns);
    put_u32(at + IDENTITY_AT_REPLY_MAX_NS, link.identity->reply_max_ns);
    put_u32(at + IDENTITY_AT_IDLE_RESET_MIN_NS, (uint32_t)link.identity->idle_reset_min_ns);
    put_u32(at + IDENTITY_AT_IDLE_RESET_MAX_NS, (uint32_t)link.identity->idle_reset_max_ns);
    put_name(at + IDENTITY_AT_BOARD, link.identity->board);
    put_name(at + IDENTITY_AT_SERIAL, link.identity->serial);
    return IDENTITY_BYTES;
}

static uint16_t put_status(uint8_t *at)
{
    at[STATUS_AT_ACTIVE] = adapter_active_bank();
    at[STATUS_AT_BANKS] = ADAPTER_BANKS;
    at += STATUS_HEAD_BYTES;
    for (uint8_t bank = 0; bank < ADAPTER_BANKS; bank++, at += STATUS_BANK_BYTES) {
        const uint16_t length = adapter_bank_length(bank);
        put_u16(at + STATUS_BANK_AT_LENGTH, length);
        put_u32(at + STATUS_BANK_AT_CRC32, length == 0 ? 0 : adapter_bank_crc32(bank));
    }
    const uint16_t length = adapter_bank_length(ADAPTER_TRIAL_SLOT);
    put_u16(at + STATUS_TRIAL_AT_LENGTH, length);
    put_u32(at + STATUS_TRIAL_AT_CRC32, length == 0 ? 0 : adapter_bank_crc32(ADAPTER_TRIAL_SLOT));
    at[STATUS_TRIAL_AT_STATE] = (uint8_t)adapter_trial_state();
    return STATUS_HEAD_BYTES + ADAPTER_BANKS * STATUS_BANK_BYTES + STATUS_TRIAL_BYTES;
}

static result_code write_chunk(const uint8_t *payload, uint16_t count)
{
    const uint16_t total = get_u16(payload + WRITE_AT_TOTAL);
    const uint16_t offset = get_u16(payload + WRITE_AT_OFFSET);
    if (total > IMAGE_MAX_BYTES) return ERROR_IMAGE_TOO_LARGE;
    const uint16_t chunk = (uint16_t)(count - WRITE_HEAD_BYTES);
    return staging_put(payload[WRITE_AT_BANK], total, offset, payload + WRITE_HEAD_BYTES, chunk) ? DONE : ERROR_OUT_OF_RANGE;
}

static result_code commit(const uint8_t *payload)
{
    const uint8_t bank = payload[COMMIT_AT_BANK];
    const uint16_t length = get_u16(payload + COMMIT_AT_LENGTH);
    const uint32_t crc = get_u32(payload + COMMIT_AT_CRC32);
    const uint8_t *image = staging_whole(bank, length);
    if (image == NULL) {
        /* The same commit again, after its staging area was let go, finds its work done. */
        const bool there = length > 0 && adapter_bank_length(bank) == length && adapter_bank_crc32(bank) == crc;
        const bool stands = bank != ADAPTER_TRIAL_SLOT || adapter_trial_state() == TRIAL_ARMED;
        return there && stands ? DONE : ERROR_INCOMPLETE;
    }
    if (image_crc32(image, length) != crc) return ERROR_CHECKSUM_DIFFERS;
    if (!image_check(image, length)) return ERROR_NOT_AN_IMAGE;
    adapter_begin_commit(bank, image, length);
    return LATER;
}

/* What is read in pieces: its length, 0 where there is none, and what fetches a part of it. */
struct whole {
    uint16_t length;
    result_code when_none;
    void (*fetch)(uint8_t which, uint16_t offset, uint8_t *into, uint16_t count);
};

static result_code read_piece(const struct whole *whole, const uint8_t *payload, uint8_t *into, uint16_t *into_bytes)
{
    const uint16_t offset = get_u16(payload + READ_AT_OFFSET);
    const uint8_t wanted = payload[READ_AT_COUNT];
    const uint16_t length = whole->length;
    if (length == 0) return whole->when_none;
    if (offset >= length || wanted == 0 || wanted > LINK_CHUNK_BYTES) return ERROR_OUT_OF_RANGE;
    const uint16_t left = (uint16_t)(length - offset);
    const uint16_t count = wanted < left ? wanted : left;
    put_u16(into + PIECE_AT_TOTAL, length);
    into[PIECE_AT_COUNT] = (uint8_t)count;
    whole->fetch(payload[READ_AT_WHICH], offset, into + PIECE_HEAD_BYTES, count);
    *into_bytes = (uint16_t)(PIECE_HEAD_BYTES + count);
    return DONE;
}

static result_code read_bank(const uint8_t *payload, uint8_t *into, uint16_t *into_bytes)
{
    const struct whole image = {adapter_bank_length(payload[READ_AT_WHICH]), ERROR_BANK_EMPTY, adapter_bank_read};
    return read_piece(&image, payload, into, into_bytes);
}

static result_code read_stored(const uint8_t *payload, uint8_t *into, uint16_t *into_bytes)
{
    const struct whole stored = {adapter_memory_length(payload[READ_AT_WHICH]), ERROR_NOTHING_STORED, adapter_memory_read};
    return read_piece(&stored, payload, into, into_bytes);
}

static uint16_t put_pad_history(uint8_t *at)
{
    const uint8_t count = adapter_history_count();
    at[0] = count;
    for (uint8_t k = 0; k < count; k++) adapter_history_pad(k, at + 1 + LISTED_PAD_BYTES * k);
    return (uint16_t)(1u + LISTED_PAD_BYTES * count);
}

static result_code select_bank(uint8_t bank)
{
    if (adapter_bank_length(bank) == 0) return ERROR_BANK_EMPTY;
    adapter_begin_select(bank);
    return LATER;
}

static void monitor(bool on)
{
    if (on && !link.monitoring) link.reported.once = false;
    link.monitoring = on;
}

/* Whether a type is one of this version; and whether its payload may have so many bytes. */
static result_code check_shape(uint8_t type, uint16_t count)
{
    bool fits;
    switch (type) {
    case TYPE_IDENTIFY: fits = count == 2; break;
    case TYPE_STATUS: fits = count == 0; break;
    case TYPE_WRITE: fits = count > WRITE_HEAD_BYTES; break;
    case TYPE_COMMIT: fits = count == COMMIT_BYTES; break;
    case TYPE_READ: fits = count == READ_BYTES; break;
    case TYPE_SELECT_BANK: fits = count == 1; break;
    case TYPE_MONITOR: fits = count == 1; break;
    case TYPE_SET_CONTROLS: fits = count == 4; break;
    case TYPE_PAD_HISTORY: fits = count == 0; break;
    case TYPE_READ_STORED: fits = count == READ_BYTES; break;
    case TYPE_FORGET_PADS: fits = count == 0; break;
    case TYPE_FORGET_TRIAL: fits = count == 0; break;
    default: return ERROR_UNKNOWN_MESSAGE;
    }
    return fits ? DONE : ERROR_WRONG_LENGTH;
}

/* How many banks a request may name, the trial slot among them; 0 where it names none. */
static uint8_t banks_to_name(uint8_t type)
{
    switch (type) {
    case TYPE_WRITE:
    case TYPE_COMMIT:
    case TYPE_READ: return ADAPTER_TRIAL_SLOT + 1;
    case TYPE_SELECT_BANK: return ADAPTER_BANKS;
    default: return 0;
    }
}

/* Does what a request of sound shape asks for, and puts the payload of its reply together. */
static result_code perform(const struct frame *request, uint8_t *into, uint16_t *into_bytes)
{
    const uint8_t *payload = request->payload;
    if (request->type == TYPE_IDENTIFY) {
        forget_host();
        link.identified = true;
        *into_bytes = put_identity(into);
        return DONE;
    }
    if (!link.identified) return ERROR_IDENTIFY_FIRST;
    const uint8_t banks = banks_to_name(request->type);
    if (banks > 0 && payload[0] >= banks) return ERROR_NO_SUCH_BANK;
    switch (request->type) {
    case TYPE_STATUS: *into_bytes = put_status(into); return DONE;
    case TYPE_WRITE: return write_chunk(payload, request->count);
    case TYPE_COMMIT: return commit(payload);
    case TYPE_READ: return read_bank(payload, into, into_bytes);
    case TYPE_SELECT_BANK: return select_bank(payload[0]);
    case TYPE_MONITOR: monitor(payload[0] != 0); return DONE;
    case TYPE_PAD_HISTORY: *into_bytes = put_pad_history(into); return DONE;
    case TYPE_READ_STORED: return read_stored(payload, into, into_bytes);
    case TYPE_FORGET_PADS: adapter_begin_forget(); return LATER;
    case TYPE_FORGET_TRIAL: adapter_begin_forget_trial(); return LATER;
    default: adapter_host_holds(get_u32(payload)); return DONE;
    }
}

static void answer(uint8_t type, uint8_t sequence, uint32_t crc, result_code result, uint16_t payload_bytes)
{
    if (result == DONE) {
        post(&link.reply, type | REPLY_BIT, sequence, payload_bytes);
    } else {
        payload_of_answer()[ERROR_AT_CODE] = (uint8_t)result;
        payload_of_answer()[ERROR_AT_TYPE] = type;
        post(&link.reply, ERROR_TYPE, sequence, ERROR_BYTES);
    }
    link.last.known = true;
    link.last.sequence = sequence;
    link.last.crc = crc;
}

static void handle(const struct frame *request)
{
    if (link.last.known && link.last.sequence == request->sequence && link.last.crc == request->crc) {
        link.reply.sent = 0;
        return;
    }
    uint16_t payload_bytes = 0;
    result_code result = check_shape(request->type, request->count);
    if (result == DONE) result = perform(request, payload_of_answer(), &payload_bytes);
    if (result != LATER) {
        answer(request->type, request->sequence, request->crc, result, payload_bytes);
        return;
    }
    link.task.going_on = true;
    link.task.host_waits = true;
    link.task.type = request->type;
    link.task.sequence = request->sequence;
    link.task.crc = request->crc;
}

/* Identify asks nothing of the memory, and a host that comes back must not find a silent device. */
static bool must_wait(const struct frame *request)
{
    return request->type != TYPE_IDENTIFY && (link.task.going_on || adapter_at_work());
}

static void finish_task(void)
{
    if (!link.task.going_on) return;
    const enum adapter_outcome outcome = adapter_take_outcome();
    if (outcome == ADAPTER_NO_OUTCOME) return;
    link.task.going_on = false;
    if (!link.task.host_waits) return;
    const bool done = outcome == ADAPTER_DONE;
    if (done && link.task.type == TYPE_COMMIT) staging_clear();
    answer(link.task.type, link.task.sequence, link.task.crc, done ? DONE : ERROR_MEMORY_FAILED, 0);
}

/* ---- Surface ---- */

void link_init(const struct link_identity *own)
{
    link.identity = own;
    link_closed();
}

bool link_ready(void)
{
    return !link.in.waits && link.reply.sent == link.reply.length;
}

void link_receive(uint8_t byte)
{
    if (byte != 0) {
        if (link.in.length < LINK_MAX_ENCODED_BYTES) link.in.bytes[link.in.length++] = byte;
        else link.in.overflown = true;
        return;
    }
    const bool whole = open_frame(&link.in.request);
    link.in.length = 0;
    link.in.overflown = false;
    if (!whole) return;
    /* The request stays in `link.in.bytes` until it is handled: nothing is taken while it waits. */
    link.in.waits = must_wait(&link.in.request);
    if (!link.in.waits) handle(&link.in.request);
}

static bool same_state(const struct port_state *a, const struct port_state *b)
{
    return a->controls == b->controls && a->inputs == b->inputs && a->rises == b->rises && a->select == b->select;
}

static void report_input(uint32_t now_ms, const struct port_state *state)
{
    if (!link.monitoring || link.event.sent < link.event.length) return;
    if (link.reported.once && (same_state(state, &link.reported.state) || now_ms - link.reported.at_ms < EVENT_GAP_MS)) return;
    link.reported.once = true;
    link.reported.state = *state;
    link.reported.at_ms = now_ms;
    uint8_t *at = payload_of_answer();
    put_u32(at + EVENT_AT_CONTROLS, state->controls);
    put_u16(at + EVENT_AT_INPUTS, state->inputs);
    put_u16(at + EVENT_AT_RISES, state->rises);
    at[EVENT_AT_SELECT] = state->select;
    post(&link.event, INPUT_EVENT_TYPE, link.reported.events++, EVENT_BYTES);
}

void link_poll(uint32_t now_ms, const struct port_state *state)
{
    finish_task();
    if (link.in.waits && link.reply.sent == link.reply.length && !must_wait(&link.in.request)) {
        link.in.waits = false;
        handle(&link.in.request);
    }
    report_input(now_ms, state);
}

bool link_next(uint8_t *byte)
{
    /* A message that was begun is ended before another. */
    const bool amid_event = link.event.sent > 0 && link.event.sent < link.event.length;
    struct wire *wire = link.reply.sent < link.reply.length && !amid_event ? &link.reply : &link.event;
    if (wire->sent == wire->length) return false;
    *byte = wire->bytes[wire->sent++];
    return true;
}

bool link_monitoring(void)
{
    return link.monitoring;
}

void link_closed(void)
{
    link.in.length = 0;
    link.in.overflown = false;
    link.in.waits = false;
    link.reply.length = link.reply.sent = 0;
    link.event.length = link.event.sent = 0;
    forget_host();
}
