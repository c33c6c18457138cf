/*
 * The trial slot on a model of serial NOR flash, for trial-slot.test.ts. A question is a list of commands, each a letter and three
 * numbers of 32 bits; the reply is a text with one line for each command that has an answer.
 *
 *   n                 blank flash, power comes on
 *   p                 power goes and comes on again
 *   x AFTER MODE SEED power goes at the operation AFTER (0: the next): MODE 0 before it, 1 amid it, 2 when it is done
 *   a SEED BYTES      arms an image made of SEED, which carries its own CRC; answers done, failed or cut
 *   u                 marks it as used; the same answers
 *   f                 empties the slot; the same answers
 *   r                 answers: LENGTH:CRC, then armed or not, then worn or sound
 *   o                 answers erases and programs since this was last asked
 *   k OFFSET          from now on the lowest bit of a byte is stuck at 0
 *   h OFFSET          from now on the lowest bit of a byte is stuck at 1
 *   e                 answers whether anything outside the slot is not blank
 */
#include <stdio.h>
#include <stdlib.h>

#include "bytes.h"
#include "crc32.h"
#include "flash-model.h"
#include "image.h"
#include "trial-slot.h"

static bool dead; /* until power comes on */

static uint8_t image[IMAGE_MAX_BYTES];
static struct parcel *answers;

static void say(const char *text)
{
    message_put(answers, (const uint8_t *)text, (uint32_t)strlen(text));
}

static void make_image(uint32_t seed, uint32_t count)
{
    chance = seed * 2654435761u + 1u;
    for (uint32_t k = 0; k < count; k++) image[k] = (uint8_t)draw();
    put_u32(image + count - 4, crc32(image, count - 4));
}

static void work(void)
{
    if (dead || setjmp(power_goes) != 0) {
        dead = true;
        say("cut\n");
        return;
    }
    for (;;) {
        const enum trial_slot_work state = trial_slot_poll();
        if (state == TRIAL_SLOT_IDLE) message_fail("work that never ended");
        if (state == TRIAL_SLOT_AT_WORK) continue;
        say(state == TRIAL_SLOT_DONE ? "done\n" : "failed\n");
        return;
    }
}

static void report(void)
{
    char text[64];
    while (flash_busy()) continue;
    const uint16_t length = trial_slot_length();
    uint8_t bytes[IMAGE_MAX_BYTES];
    if (length > 0) trial_slot_read(0, bytes, length);
    const uint32_t crc = length > 0 ? crc32(bytes, length - 4u) : 0;
    if (length > 0 && crc != trial_slot_crc32()) message_fail("the CRC is not that of the bytes");
    snprintf(text, sizeof text, "%u:%08" PRIx32 " %s %s\n", length, crc, trial_slot_armed() ? "armed" : "not",
             trial_slot_worn() ? "worn" : "sound");
    say(text);
}

static void power_on(void)
{
    flash_power_on();
    dead = false;
    trial_slot_init();
}

static void say_operations(void)
{
    char text[32];
    snprintf(text, sizeof text, "%" PRIu32 " %" PRIu32 "\n", erases, programs);
    say(text);
    erases = programs = 0;
}

static void say_elsewhere(void)
{
    for (uint32_t at = 0; at < FLASH_BYTES; at++) {
        const bool within = at >= FLASH_TRIAL_AT && at < FLASH_TRIAL_AT + FLASH_SECTOR_BYTES;
        if (!within && cells[at] != 0xFF) {
            say("touched\n");
            return;
        }
    }
    say("untouched\n");
}

static void obey(char command, uint32_t a, uint32_t b, uint32_t c)
{
    switch (command) {
    case 'n': flash_blank(); power_on(); break;
    case 'p': power_on(); break;
    case 'x': flash_cut(a, (int)b, c); break;
    case 'a':
        make_image(a, b);
        if (!dead) trial_slot_begin_arm(image, (uint16_t)b);
        work();
        break;
    case 'u':
        if (!dead) trial_slot_begin_use();
        work();
        break;
    case 'f':
        if (!dead) trial_slot_begin_forget();
        work();
        break;
    case 'r': report(); break;
    case 'o': say_operations(); break;
    case 'k': stuck_at[stuck++] = a; hold_stuck(); break;
    case 'h': stuck_high = a; hold_stuck(); break;
    case 'e': say_elsewhere(); break;
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
