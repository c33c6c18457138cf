/*
 * What the firmware keeps of pads, beside the bank store and on the same model of flash, for pad-memory.test.ts. A question is a list of
 * commands, each a letter and three numbers of 32 bits; the reply is a text with one line for each command that has an answer.
 *
 *   n                  blank flash, power comes on
 *   p                  power goes and comes on again
 *   x AFTER MODE SEED  power goes at the operation AFTER (0: the next): MODE 0 before it, 1 amid it, 2 when it is done
 *   g PAD OUTCOME BYTES  a pad of that number is met, with a descriptor of so many bytes that are made of the number
 *   z                  it has gone
 *   e SEED BYTES       it reports BYTES bytes, made of SEED
 *   d RISES            the console's read ends
 *   t MS CONTROLS INPUTS  so much time passes; then these are held and pressed
 *   c BANK SEED BYTES  begins to commit an image made of SEED
 *   y ROUNDS           the main loop comes round so often
 *   m                  until nothing is left to do; answers idle or cut
 *   f                  forgets; answers forgotten, kept (it could not) or cut
 *   l                  answers the pads: OUTCOME:VENDOR:PRODUCT:BYTES:CRC, CRC being that of what is read of the descriptor
 *   s                  answers what was seen last, in hexadecimal
 *   b                  answers the CRC of each bank's image; 0 where it is empty
 *   o                  answers erases and programs since this was last asked
 *   k OFFSET           from now on the lowest bit of a byte is stuck at 0
 *   u OFFSET           the same at 1
 *   w OFFSET WORD      writes four bytes
 */
#include <stdio.h>
#include <stdlib.h>

#include "bytes.h"
#include "crc32.h"
#include "flash-model.h"
#include "pad-memory.h"
#include "store.h"

static bool dead; /* until power comes on */
static uint32_t now_ms;
static uint8_t image[STORE_MAX_IMAGE_BYTES];
static struct parcel *answers;

static void say(const char *text)
{
    message_put(answers, (const uint8_t *)text, (uint32_t)strlen(text));
}

static void make(uint8_t *bytes, uint32_t seed, uint32_t count)
{
    chance = seed * 2654435761u + 1u;
    for (uint32_t k = 0; k < count; k++) bytes[k] = (uint8_t)draw();
}

/* How forgetting has ended since it was last told. */
static const char *end;

/* As main.c has it, until nothing is left to do or enough rounds have passed. */
static void come_round(uint32_t rounds)
{
    while (rounds-- > 0) {
        store_poll();
        const enum pad_memory_work state = store_at_work() ? PAD_MEMORY_AT_WORK : pad_memory_step();
        if (state == PAD_MEMORY_FORGOTTEN) end = "forgotten\n";
        if (state == PAD_MEMORY_NOT_FORGOTTEN) end = "kept\n";
        if (!store_at_work() && !pad_memory_at_work()) return;
    }
}

static void work(uint32_t rounds)
{
    end = "idle\n";
    if (!dead && setjmp(power_goes) == 0) {
        come_round(rounds);
    } else {
        dead = true;
        end = "cut\n";
    }
}

static void meet(uint32_t number, uint32_t outcome, uint32_t bytes)
{
    /* At its own address, so that a read beyond the end is found. */
    uint8_t *descriptor = malloc(bytes > 0 ? bytes : 1);
    if (descriptor == NULL) message_fail("no memory");
    make(descriptor, number, bytes);
    const struct pad_identity identity = {
        .via = (uint8_t)(number & 1u),
        .vendor = (uint16_t)(number * 257u),
        .product = (uint16_t)number,
        .release = 0x100,
        .descriptor_crc32 = crc32(descriptor, bytes),
    };
    pad_memory_add(&identity, (uint8_t)outcome, descriptor, (uint16_t)bytes);
    free(descriptor);
}

static void report(uint32_t seed, uint32_t bytes)
{
    uint8_t *report = malloc(bytes > 0 ? bytes : 1);
    if (report == NULL) message_fail("no memory");
    make(report, seed, bytes);
    pad_memory_report(report, (uint16_t)bytes, now_ms);
    free(report);
}

static void wait_for_flash(void)
{
    while (flash_busy()) continue;
}

static void list(void)
{
    wait_for_flash();
    const uint8_t count = pad_memory_count();
    for (uint8_t k = 0; k < count; k++) {
        const struct known_pad pad = pad_memory_pad(k);
        uint8_t bytes[HISTORY_MAX_DESCRIPTOR_BYTES];
        if (pad.descriptor_bytes > sizeof bytes) message_fail("a descriptor is too long");
        pad_memory_descriptor(k, 0, bytes, pad.descriptor_bytes);
        char text[64];
        snprintf(text, sizeof text, "%s%u:%u:%u:%u:%08" PRIx32, k > 0 ? " " : "", pad.outcome, pad.identity.vendor,
                 pad.identity.product, pad.descriptor_bytes, crc32(bytes, pad.descriptor_bytes));
        say(text);
    }
    say("\n");
}

/* Read in pieces, as a host does. */
static void tell_seen(void)
{
    wait_for_flash();
    const uint16_t count = pad_memory_activity_bytes();
    for (uint16_t at = 0; at < count;) {
        uint8_t bytes[97];
        const uint16_t left = (uint16_t)(count - at);
        const uint16_t part = left < sizeof bytes ? left : (uint16_t)sizeof bytes;
        pad_memory_activity(at, bytes, part);
        for (uint16_t k = 0; k < part; k++) {
            char text[4];
            snprintf(text, sizeof text, "%02x", bytes[k]);
            say(text);
        }
        at = (uint16_t)(at + part);
    }
    say("\n");
}

static void tell_banks(void)
{
    wait_for_flash();
    for (uint8_t bank = 0; bank < STORE_BANKS; bank++) {
        char text[16];
        snprintf(text, sizeof text, "%s%08" PRIx32, bank > 0 ? " " : "", store_length(bank) > 0 ? store_crc32(bank) : 0);
        say(text);
    }
    say("\n");
}

static void power_on(void)
{
    flash_power_on();
    dead = false;
    now_ms = 0;
    store_init();
    pad_memory_init();
}

static void say_operations(void)
{
    char text[32];
    snprintf(text, sizeof text, "%" PRIu32 " %" PRIu32 "\n", erases, programs);
    say(text);
    erases = programs = 0;
}

static void obey(char command, uint32_t a, uint32_t b, uint32_t c)
{
    switch (command) {
    case 'n': flash_blank(); power_on(); break;
    case 'p': power_on(); break;
    case 'x': flash_cut(a, (int)b, c); break;
    case 'g': if (!dead) meet(a, b, c); break;
    case 'z': if (!dead) pad_memory_gone(now_ms); break;
    case 'e': if (!dead) report(a, b); break;
    case 'd': if (!dead) pad_memory_read((uint16_t)a, now_ms); break;
    case 't': now_ms += a; if (!dead) pad_memory_tick(now_ms, b, (uint16_t)c); break;
    case 'c':
        make(image, b, c);
        put_u32(image + c - 4, image_crc32(image, c));
        if (!dead) store_begin_commit((uint8_t)a, image, (uint16_t)c);
        break;
    case 'y': work(a); break;
    case 'm':
        work(UINT32_MAX);
        say(end);
        break;
    case 'f':
        if (!dead) pad_memory_begin_forget();
        work(UINT32_MAX);
        say(end);
        break;
    case 'l': list(); break;
    case 's': tell_seen(); break;
    case 'b': tell_banks(); break;
    case 'o': say_operations(); break;
    case 'k': stuck_at[stuck++] = a; hold_stuck(); break;
    case 'u': stuck_high = a; hold_stuck(); break;
    case 'w': for (uint32_t k = 0; k < 4; k++) cells[a + k] = (uint8_t)(b >> 8 * k); break;
    default: message_fail("no such command");
    }
}

static void answer(struct parcel *question, struct parcel *reply)
{
    answers = reply;
    while (message_left(question)) {
        const char command = (char)message_u8(question);
        const uint32_t a = message_u32(question);
        const uint32_t b = message_u32(question);
        const uint32_t c = message_u32(question);
        obey(command, a, b, c);
    }
}

int main(void)
{
    flash_blank();
    power_on();
    return message_serve(answer);
}
