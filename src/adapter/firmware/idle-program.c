#include "idle-program.h"

#include "reply-program.h"

enum { CYCLE_NS = 8, CYCLES_A_COUNT = 2 };

enum {
    JMP = 0x0000,
    JMP_X_DEC = 0x0040,
    JMP_PIN = 0x00C0,
    PUSH_NOBLOCK = 0x8000,
    MOV_X_OSR = 0xA027,
    MOV_ISR_X = 0xA0C1,
    MOV_ISR_NOT_X = 0xA0C9,
    IRQ_SET_0 = 0xC000,
    SET_X = 0xE020,
    DELAY_ONE = 0x0100,
};

/* Addresses of the idle program. */
enum {
    REST_HIGH = IDLE_AT_REST,
    REST_LOW = 1,
    ROSE = 3,
    HIGH = 4,
    LOW = 7,
    EXPIRED_LOW = 9,
    STILL_HIGH = 14,
};

/* Addresses of the program that counts rises. */
enum { WATCH_LOW = RISES_WRAP_BOTTOM, COUNT = 21, TELL = 22, WATCH_HIGH = RISES_AT_HIGH };

/*
 * One turn of either loop is two cycles, whichever way select goes, so that time does not depend on it. The word that is
 * told says the level by the path that was taken: a fresh look at the pin could already see the next edge.
 */
void idle_program(uint8_t delay_cycles, uint16_t words[IDLE_WORDS])
{
    const uint16_t delay = (uint16_t)(DELAY_ONE * delay_cycles);

    words[REST_HIGH] = JMP_PIN | REST_HIGH;
    words[REST_LOW] = JMP_PIN | ROSE;
    words[2] = JMP | REST_LOW;
    words[ROSE] = MOV_X_OSR;
    words[HIGH] = JMP_PIN | STILL_HIGH;
    words[5] = JMP_X_DEC | LOW;
    words[6] = JMP | EXPIRED_LOW;
    words[LOW] = JMP_PIN | ROSE;
    words[8] = JMP_X_DEC | LOW;
    words[EXPIRED_LOW] = (uint16_t)(SET_X | REPLY_AT_RESET_LOW | delay);
    words[10] = MOV_ISR_X;
    words[11] = PUSH_NOBLOCK;
    words[12] = IRQ_SET_0;
    words[13] = JMP | REST_LOW;
    words[STILL_HIGH] = JMP_X_DEC | HIGH;
    words[15] = (uint16_t)(SET_X | REPLY_AT_RESET_HIGH | delay);
    words[16] = MOV_ISR_X;
    words[17] = PUSH_NOBLOCK;
    words[18] = IRQ_SET_0; /* and on to REST_HIGH */

    words[WATCH_LOW] = JMP_PIN | COUNT;
    words[20] = JMP | WATCH_LOW;
    words[COUNT] = JMP_X_DEC | TELL;
    words[TELL] = MOV_ISR_NOT_X;
    words[23] = PUSH_NOBLOCK;
    words[WATCH_HIGH] = JMP_PIN | WATCH_HIGH; /* and on to WATCH_LOW */
}

uint32_t idle_count(uint32_t idle_reset_ns)
{
    /* The turn that finds zero is one more; so the decision is never early, and at most two counts late. */
    const uint32_t count_ns = CYCLE_NS * CYCLES_A_COUNT;
    return (idle_reset_ns + count_ns - 1u) / count_ns - 1u;
}
