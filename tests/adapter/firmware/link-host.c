/*
 * The link of the firmware on the machine of the tests: many devices beside one another, each with a box whose memory
 * takes as long as it is told and fails when it is told.
 */

/* The two parts that remember anything are taken in whole, so that what they remember can be exchanged. */
#include "link.c"
#include "staging.c"

#include "messages.h"
#include "usb-link.h"
#include "usb.h"

enum { MAX_DEVICES = 2048, MAX_IMAGES = 8192, NEVER = 0xFFFF };

/* What a box keeps of pads; most devices of the tests keep nothing. */
struct kept {
    uint8_t count;
    struct {
        uint8_t bytes[LISTED_PAD_BYTES];
        uint8_t descriptor[2048];
    } pads[8];
    uint8_t seen[2048];
    uint16_t seen_bytes;
};

struct box {
    uint8_t images[ADAPTER_BANKS + 1][IMAGE_MAX_BYTES]; /* the trial slot comes last */
    uint16_t lengths[ADAPTER_BANKS + 1];
    uint8_t active;
    uint32_t host_controls;
    uint32_t beginnings;

    uint16_t work_ms; /* that a piece of work takes */
    bool fails;
    struct kept *kept; /* NULL: nothing */
    enum { NO_WORK, COMMITTING, SELECTING, FORGETTING, FORGETTING_TRIAL } work;
    uint32_t done_at_ms;
    uint8_t bank;
    const uint8_t *image;
    uint16_t length;
    enum adapter_outcome outcome;
};

struct device {
    __typeof__(link) link;
    __typeof__(staged) staged;
    struct box box;
    struct link_identity identity;
    char board[LINK_NAME_BYTES + 1];
    char serial[LINK_NAME_BYTES + 1];
    struct port_state state;
    uint16_t first_images[ADAPTER_BANKS]; /* what the banks held when power came on */
    struct parcel from_host; /* what could not be taken yet */
};

static struct device *devices[MAX_DEVICES];

/* Images that devices start with; number 0 is none. */
static struct {
    uint8_t bytes[IMAGE_MAX_BYTES];
    uint16_t count;
} images[MAX_IMAGES];
static uint16_t image_count = 1;

static __typeof__(staged) nothing_staged;
static struct box *box;
static uint32_t now_ms;

/* ---- The box ---- */

uint16_t adapter_bank_length(uint8_t bank)
{
    return box->lengths[bank];
}

uint32_t adapter_bank_crc32(uint8_t bank)
{
    return image_crc32(box->images[bank], box->lengths[bank]);
}

void adapter_bank_read(uint8_t bank, uint16_t offset, uint8_t *into, uint16_t count)
{
    if (offset + count > box->lengths[bank]) message_fail("a read reaches past the image");
    memcpy(into, box->images[bank] + offset, count);
}

uint8_t adapter_active_bank(void)
{
    return box->active;
}

static void finish_work(void)
{
    box->outcome = box->fails ? ADAPTER_FAILED : ADAPTER_DONE;
    /* Only now is the image looked at: it has to be still there. */
    if (!box->fails && box->work == COMMITTING) {
        memcpy(box->images[box->bank], box->image, box->length);
        box->lengths[box->bank] = box->length;
    }
    if (!box->fails && box->work == SELECTING) box->active = box->bank;
    if (!box->fails && box->work == FORGETTING) {
        free(box->kept);
        box->kept = NULL;
    }
    if (!box->fails && box->work == FORGETTING_TRIAL) box->lengths[ADAPTER_TRIAL_SLOT] = 0;
    box->work = NO_WORK;
}

static void finish_work_when_due(void)
{
    if (box->work != NO_WORK && (int32_t)(now_ms - box->done_at_ms) >= 0) finish_work();
}

bool adapter_at_work(void)
{
    finish_work_when_due();
    return box->work != NO_WORK;
}

enum adapter_outcome adapter_take_outcome(void)
{
    finish_work_when_due();
    const enum adapter_outcome taken = box->work != NO_WORK ? ADAPTER_NO_OUTCOME : box->outcome;
    if (box->work == NO_WORK) box->outcome = ADAPTER_NO_OUTCOME;
    return taken;
}

static void begin(int work, uint8_t bank)
{
    if (box->work != NO_WORK) message_fail("work was begun while the box was at work");
    box->work = work;
    box->bank = bank;
    box->done_at_ms = now_ms + box->work_ms;
    box->beginnings++;
}

void adapter_begin_commit(uint8_t bank, const uint8_t *image, uint16_t length)
{
    begin(COMMITTING, bank);
    box->image = image;
    box->length = length;
}

void adapter_begin_select(uint8_t bank)
{
    if (box->lengths[bank] == 0) message_fail("an empty bank was selected");
    begin(SELECTING, bank);
}

uint8_t adapter_history_count(void)
{
    return box->kept == NULL ? 0 : box->kept->count;
}

void adapter_history_pad(uint8_t which, uint8_t *into)
{
    if (which >= adapter_history_count()) message_fail("a pad that is not kept");
    memcpy(into, box->kept->pads[which].bytes, LISTED_PAD_BYTES);
}

uint16_t adapter_memory_length(uint8_t which)
{
    if (box->kept == NULL) return 0;
    if (which == ADAPTER_LAST_ACTIVITY) return box->kept->seen_bytes;
    return which <= box->kept->count ? get_u16(box->kept->pads[which - 1].bytes + 12) : 0;
}

void adapter_memory_read(uint8_t which, uint16_t offset, uint8_t *into, uint16_t count)
{
    if (offset + count > adapter_memory_length(which)) message_fail("a read reaches past what is kept");
    const uint8_t *from = which == ADAPTER_LAST_ACTIVITY ? box->kept->seen : box->kept->pads[which - 1].descriptor;
    memcpy(into, from + offset, count);
}

void adapter_begin_forget(void)
{
    begin(FORGETTING, 0);
}

enum trial_state adapter_trial_state(void)
{
    return box->lengths[ADAPTER_TRIAL_SLOT] == 0 ? TRIAL_EMPTY : TRIAL_ARMED;
}

void adapter_begin_forget_trial(void)
{
    begin(FORGETTING_TRIAL, ADAPTER_TRIAL_SLOT);
}

void adapter_host_holds(uint32_t controls)
{
    box->host_controls = controls;
}

void adapter_host_releases(void)
{
    box->host_controls = 0;
}

/* ---- The port ---- */

static struct {
    struct device *device;
    struct parcel *to_host;
    bool closed;
} usb;

bool usb_take_closed(void)
{
    const bool taken = usb.closed;
    usb.closed = false;
    return taken;
}

bool usb_read(uint8_t *byte)
{
    if (!message_left(&usb.device->from_host)) return false;
    *byte = message_u8(&usb.device->from_host);
    return true;
}

uint16_t usb_room(void)
{
    return 1;
}

void usb_write(uint8_t byte)
{
    message_put_u8(usb.to_host, byte);
}

void usb_flush(void)
{
}

/* ---- Devices ---- */

static void bring_in(struct device *device)
{
    link = device->link;
    staged = device->staged;
    box = &device->box;
}

static void put_away(struct device *device)
{
    device->link = link;
    device->staged = staged;
}

static void read_identity(struct device *device, const uint8_t *at)
{
    memcpy(device->board, at + IDENTITY_AT_BOARD, LINK_NAME_BYTES);
    memcpy(device->serial, at + IDENTITY_AT_SERIAL, LINK_NAME_BYTES);
    device->identity = (struct link_identity){
        .firmware = {at[18], at[19], at[20]},
        .delay_step_ns = at[26],
        .delay_stretch = at[27],
        .reply_min_ns = get_u32(at + 28),
        .reply_max_ns = get_u32(at + 32),
        .idle_reset_min_ns = (int32_t)get_u32(at + 36),
        .idle_reset_max_ns = (int32_t)get_u32(at + 40),
        .board = device->board,
        .serial = device->serial,
    };
}

static struct device *new_device(uint16_t number, struct parcel *question)
{
    if (devices[number] == NULL) devices[number] = calloc(1, sizeof *devices[number]);
    struct device *device = devices[number];
    if (device == NULL) message_fail("no memory");
    free(device->from_host.bytes);
    free(device->box.kept);
    memset(device, 0, sizeof *device);
    read_identity(device, message_take(question, IDENTITY_BYTES));
    device->box.active = message_u8(question);
    for (uint8_t bank = 0; bank < ADAPTER_BANKS; bank++) {
        const uint16_t image = message_u16(question);
        if (image >= image_count) message_fail("no such image");
        device->first_images[bank] = image;
        device->box.lengths[bank] = images[image].count;
        memcpy(device->box.images[bank], images[image].bytes, images[image].count);
    }
    device->staged = nothing_staged;
    device->state.select = 2;
    return device;
}

static void drop_what_waits(struct device *device)
{
    device->from_host.count = 0;
    device->from_host.at = 0;
}

/* The reply: what leaves, and for how long the box goes on working. */
static void serve(struct device *device, struct parcel *reply)
{
    const uint32_t count_at = reply->count;
    message_put_u16(reply, 0);
    usb.device = device;
    usb.to_host = reply;
    /* The main loop comes round until there is nothing to carry. */
    while (usb_link_step(now_ms, &device->state)) continue;
    if (!message_left(&device->from_host)) drop_what_waits(device);
    put_u16(reply->bytes + count_at, (uint16_t)(reply->count - count_at - 2));
    message_put_u16(reply, box->work == NO_WORK ? NEVER : (uint16_t)(box->done_at_ms - now_ms));
}

static void keep(struct parcel *question)
{
    struct kept *kept = calloc(1, sizeof *kept);
    if (kept == NULL) message_fail("no memory");
    kept->count = message_u8(question);
    for (uint8_t k = 0; k < kept->count; k++) {
        memcpy(kept->pads[k].bytes, message_take(question, 12), 12);
        const uint16_t count = message_u16(question);
        put_u16(kept->pads[k].bytes + 12, count);
        memcpy(kept->pads[k].descriptor, message_take(question, count), count);
    }
    kept->seen_bytes = message_u16(question);
    memcpy(kept->seen, message_take(question, kept->seen_bytes), kept->seen_bytes);
    free(box->kept);
    box->kept = kept;
}

static void tell_box(struct parcel *reply)
{
    message_put_u8(reply, box->active);
    message_put_u32(reply, box->host_controls);
    message_put_u32(reply, box->beginnings);
    message_put_u8(reply, link_monitoring());
    message_put_u8(reply, adapter_history_count());
    message_put_u16(reply, adapter_memory_length(ADAPTER_LAST_ACTIVITY));
    for (uint8_t bank = 0; bank < ADAPTER_BANKS; bank++) {
        message_put_u16(reply, box->lengths[bank]);
        message_put(reply, box->images[bank], box->lengths[bank]);
    }
}

static void learn_image(struct parcel *question)
{
    const uint16_t count = message_u16(question);
    if (image_count == MAX_IMAGES || count > IMAGE_MAX_BYTES) message_fail("no room for an image");
    images[image_count].count = count;
    memcpy(images[image_count++].bytes, message_take(question, count), count);
}

/* One bit for each bank that holds something else than it did when power came on. */
static uint8_t changed_banks(const struct device *device)
{
    uint8_t changed = 0;
    for (uint8_t bank = 0; bank < ADAPTER_BANKS; bank++) {
        const uint16_t first = device->first_images[bank];
        const bool same = box->lengths[bank] == images[first].count &&
                          memcmp(box->images[bank], images[first].bytes, images[first].count) == 0;
        if (!same) changed |= (uint8_t)(1u << bank);
    }
    return changed;
}

static void answer_one(struct parcel *question, struct parcel *reply)
{
    const uint16_t number = message_u16(question);
    const uint8_t what = message_u8(question);
    if (what == 'i') {
        learn_image(question);
        return;
    }
    if (number >= MAX_DEVICES || (what != 'n' && devices[number] == NULL)) message_fail("no such device");
    if (what == 'n') {
        struct device *fresh = new_device(number, question);
        bring_in(fresh);
        link_init(&fresh->identity);
        put_away(fresh);
        return;
    }
    struct device *device = devices[number];
    bring_in(device);
    switch (what) {
    case 'b': {
        const uint16_t count = message_u16(question);
        message_put(&device->from_host, message_take(question, count), count);
        serve(device, reply);
        break;
    }
    case 'p': serve(device, reply); break;
    case 's':
        device->state.controls = message_u32(question);
        device->state.inputs = message_u16(question);
        device->state.rises = message_u16(question);
        device->state.select = message_u8(question);
        serve(device, reply);
        break;
    case 'c':
        drop_what_waits(device);
        usb.closed = true;
        serve(device, reply);
        break;
    case 'w':
        box->work_ms = message_u16(question);
        box->fails = message_u8(question);
        break;
    case 'k': keep(question); break;
    case 'q': tell_box(reply); break;
    case 'd': message_put_u8(reply, changed_banks(device)); break;
    default: message_fail("no such question");
    }
    put_away(device);
}

/* The time, then any number of questions, each with the number of its device before it. */
static void answer_all(struct parcel *question, struct parcel *reply)
{
    now_ms = message_u32(question);
    while (message_left(question)) answer_one(question, reply);
}

int main(void)
{
    nothing_staged = staged;
    const int code = message_serve(answer_all);
    for (uint16_t k = 0; k < MAX_DEVICES; k++) {
        if (devices[k] != NULL) free(devices[k]->from_host.bytes);
        if (devices[k] != NULL) free(devices[k]->box.kept);
        free(devices[k]);
    }
    return code;
}
