/*
 * The bank store on a model of serial NOR flash, for store.test.ts. A question is a list of commands, each a letter and three
 * numbers of 32 bits; the reply is a text with one line for each command that has an answer.
 *
 *   n                 blank flash, power comes on
 *   p                 power goes and comes on again
 *   x AFTER MODE SEED power goes at the operation AFTER (0: the next): MODE 0 before it, 1 amid it, 2 when it is done
 *   c BANK SEED BYTES commits an image made of SEED, which carries its own CRC; answers done, failed or cut
 *   s BANK            selects a bank; the same answers
 *   m                 works until nothing is left to do; answers idle or cut
 *   r                 answers: active bank, then for each bank LENGTH:CRC, then worn or sound
 *   i SEED BYTES      answers LENGTH:CRC of such an image
 *   o                 answers erases and programs since this was last asked
 *   b OFFSET          flips every bit of a byte
 *   k OFFSET          from now on the lowest bit of a byte is stuck at 0
 *   w OFFSET WORD     writes four bytes, as a boot loader might
 */
#include <stdio.h>
#include <stdlib.h>

#include "bytes.h"
#include "crc32.h"
#include "flash-model.h"
#include "store.h"

static bool dead; /* until power comes on */

static uint8_t image[STORE_MAX_IMAGE_BYTES];
static struct parcel *answers;

static void say(const char *text)
{
    message_put(answers, (const uint8_t *)text, (uint32_t)strlen(text));
}

static void make_image(uint32_t seed, uint32_t count)
{
    chance = seed * 2654435761u + 1u;
    for (uint32_t k = 0; k < count; k++) image[k] = (uint8_t)draw();
    put_u32(image + count - 4, image_crc32(image, count));
}

static void work(bool asked_for)
{
    if (dead || setjmp(power_goes) != 0) {
        dead = true;
        say("cut\n");
        return;
    }
    for (;;) {
        const enum store_work state = store_poll();
        if (asked_for && state == STORE_DONE) break;
        if (asked_for && state == STORE_FAILED) {
            say("failed\n");
            return;
        }
        if (!asked_for && !store_at_work()) break;
    }
    say(asked_for ? "done\n" : "idle\n");
}

static void say_content(uint16_t count, uint32_t crc)
{
    char text[24];
    snprintf(text, sizeof text, "%u:%08" PRIx32, count, crc);
    say(text);
}

static void report(void)
{
    char text[16];
    while (flash_busy()) continue;
    snprintf(text, sizeof text, "%d", store_active() == STORE_NO_BANK ? -1 : store_active());
    say(text);
    for (uint8_t bank = 0; bank < STORE_BANKS; bank++) {
        const uint16_t length = store_length(bank);
        uint8_t bytes[STORE_MAX_IMAGE_BYTES];
        if (length > 0) store_read(bank, 0, bytes, length);
        const uint32_t crc = length > 0 ? image_crc32(bytes, length) : 0;
        if (length > 0 && crc != store_crc32(bank)) message_fail("the CRC of a bank is not that of its bytes");
        say(" ");
        say_content(length, crc);
    }
    say(store_worn() ? " worn\n" : " sound\n");
}

static void power_on(void)
{
    flash_power_on();
    dead = false;
    store_init();
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
    case 'c':
        make_image(b, c);
        if (!dead) store_begin_commit((uint8_t)a, image, (uint16_t)c);
        work(true);
        break;
    case 's':
        if (!dead) store_begin_select((uint8_t)a);
        work(true);
        break;
    case 'm': work(false); break;
    case 'r': report(); break;
    case 'i':
        make_image(a, b);
        say_content((uint16_t)b, image_crc32(image, b));
        say("\n");
        break;
    case 'o': say_operations(); break;
    case 'b': cells[a] ^= 0xFF; break;
    case 'k': stuck_at[stuck++] = a; hold_stuck(); break;
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
