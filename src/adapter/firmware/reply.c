#include "reply.h"

#include "chip.h"
#include "idle-program.h"
#include "pins.h"
#include "reply-program.h"

enum { REPLY_MACHINE = 0 };               /* of PIO0 */
enum { IDLE_MACHINE = 0, RISES_MACHINE }; /* of PIO1 */

/* Each work of DMA has two channels: the one that has done its 2^32 transfers starts the other. */
enum { RESET_CHANNEL = 0, RESET_CHANNEL_TOO, RISES_CHANNEL, RISES_CHANNEL_TOO };

/* Instructions that are forced upon a machine. */
enum {
    SET_PINS = 0xE000,
    SET_PINDIRS = 0xE080,
    PULL_BLOCK = 0x80A0,
    MOV_Y_OSR = 0xA047,
    MOV_X_NOT_NULL = 0xA02B,
    JMP = 0x0000,
};

/* From a rise at the pin until both the reply machine and the rises in memory know of it, with DMA at its slowest. */
#define SETTLE_TURNS 16u

static struct chart chart;
static struct reply_table table;
static struct reply_places places;
static uint16_t inputs_shown;
static volatile uint32_t rises_ever; /* written by DMA; each rise since power came on counts */
static uint32_t rises_at_reset;

/* ---- Set-up ---- */

static void set_up_pads(void)
{
    for (uint32_t pin = PIN_DATA_FIRST; pin <= PIN_DATA_SIDE; pin++)
        PADS_BANK0_GPIO(pin) = PAD_INPUT_ENABLE | PAD_DRIVE_4MA | PAD_SCHMITT | PAD_SLEW_FAST;
    /* While nothing drives it, select rests high as on a pad of its own. */
    PADS_BANK0_GPIO(PIN_SELECT) = PAD_INPUT_ENABLE | PAD_DRIVE_4MA | PAD_SCHMITT | PAD_PULL_UP;
    PADS_BANK0_GPIO(PIN_BUFFERS_OFF) = PAD_INPUT_ENABLE | PAD_DRIVE_4MA | PAD_SCHMITT | PAD_PULL_UP;
}

static void hold_buffers_off(void)
{
    SIO_GPIO_OUT_SET = 1u << PIN_BUFFERS_OFF;
    SIO_GPIO_OE_SET = 1u << PIN_BUFFERS_OFF;
    IO_BANK0_GPIO_CTRL(PIN_BUFFERS_OFF) = FUNCTION_SIO;
}

static void force(struct pio_machine *machine, uint32_t instruction)
{
    machine->instr = instruction;
}

static void set_up_reply_machine(void)
{
    struct pio_machine *machine = &PIO0.sm[REPLY_MACHINE];
    PIO0.ctrl = PIO_CTRL_SM_RESTART(REPLY_MACHINE) | PIO_CTRL_CLKDIV_RESTART(REPLY_MACHINE);
    machine->clkdiv = PIO_CLKDIV_1;
    machine->shiftctrl = PIO_SHIFTCTRL_RESET;
    machine->execctrl = PIO_EXECCTRL_JMP_PIN(PIN_SELECT) | PIO_EXECCTRL_WRAP(31, 0);
    /* High, then driven: five pins by one instruction, the sixth by another. */
    machine->pinctrl = PIO_PINCTRL_SET(PIN_DATA_FIRST, PIN_DATA_ROW);
    force(machine, SET_PINS | 0x1F);
    force(machine, SET_PINDIRS | 0x1F);
    machine->pinctrl = PIO_PINCTRL_SET(PIN_DATA_SIDE, 1);
    force(machine, SET_PINS | 1);
    force(machine, SET_PINDIRS | 1);
    machine->execctrl |= PIO_EXECCTRL_SIDE_EN;
    machine->pinctrl = PIO_PINCTRL_SET(PIN_DATA_FIRST, PIN_DATA_ROW) | PIO_PINCTRL_SIDESET(PIN_DATA_SIDE, 2);
    for (uint32_t pin = PIN_DATA_FIRST; pin <= PIN_DATA_SIDE; pin++) IO_BANK0_GPIO_CTRL(pin) = FUNCTION_PIO0;
}

static void set_up_watcher(uint32_t number, uint32_t wrap_top, uint32_t wrap_bottom)
{
    struct pio_machine *machine = &PIO1.sm[number];
    PIO1.ctrl = PIO_CTRL_SM_RESTART(number) | PIO_CTRL_CLKDIV_RESTART(number);
    machine->clkdiv = PIO_CLKDIV_1;
    machine->execctrl = PIO_EXECCTRL_JMP_PIN(PIN_SELECT) | PIO_EXECCTRL_WRAP(wrap_top, wrap_bottom);
    machine->shiftctrl = PIO_SHIFTCTRL_RESET;
    machine->pinctrl = 0;
}

/* A register that a word of a queue goes to as soon as it is there, for ever. */
static void carry(uint32_t channel, uint32_t other, uint32_t machine, volatile uint32_t *to)
{
    DMA_CHANNEL[channel].read_addr = (uint32_t)(uintptr_t)&PIO1.rxf[machine];
    DMA_CHANNEL[channel].write_addr = (uint32_t)(uintptr_t)to;
    DMA_CHANNEL[channel].trans_count = 0xFFFFFFFFu;
    DMA_CHANNEL[channel].al1_ctrl = DMA_EN | DMA_SIZE_WORD | DMA_CHAIN_TO(other) | DMA_IRQ_QUIET |
                                    DMA_TREQ(DREQ_PIO1_RX(machine)) |
                                    (machine == IDLE_MACHINE ? DMA_HIGH_PRIORITY : 0);
}

static void set_up_dma(void)
{
    carry(RESET_CHANNEL_TOO, RESET_CHANNEL, IDLE_MACHINE, &PIO0.sm[REPLY_MACHINE].instr);
    carry(RESET_CHANNEL, RESET_CHANNEL_TOO, IDLE_MACHINE, &PIO0.sm[REPLY_MACHINE].instr);
    carry(RISES_CHANNEL_TOO, RISES_CHANNEL, RISES_MACHINE, &rises_ever);
    carry(RISES_CHANNEL, RISES_CHANNEL_TOO, RISES_MACHINE, &rises_ever);
    DMA_CHANNEL[RESET_CHANNEL].ctrl_trig = DMA_CHANNEL[RESET_CHANNEL].al1_ctrl;
    DMA_CHANNEL[RISES_CHANNEL].ctrl_trig = DMA_CHANNEL[RISES_CHANNEL].al1_ctrl;
}

void reply_init(void)
{
    set_up_pads();
    hold_buffers_off();
    IO_BANK0_GPIO_CTRL(PIN_SELECT) = FUNCTION_SIO; /* as an input it reaches both PIO blocks whatever its function */

    set_up_reply_machine();
    set_up_watcher(IDLE_MACHINE, IDLE_WRAP_TOP, IDLE_AT_REST);
    set_up_watcher(RISES_MACHINE, RISES_WRAP_TOP, RISES_WRAP_BOTTOM);
    uint16_t words[IDLE_WORDS];
    idle_program(0, words);
    for (uint32_t k = 0; k < IDLE_WORDS; k++) PIO1.instr_mem[k] = words[k];
    force(&PIO1.sm[RISES_MACHINE], MOV_X_NOT_NULL);
    force(&PIO1.sm[RISES_MACHINE], JMP | RISES_AT_HIGH);
    set_up_dma();
    PIO1.ctrl = PIO_CTRL_SM_ENABLE(RISES_MACHINE);
}

/* ---- The table ---- */

static void show(uint16_t inputs)
{
    uint32_t pins[REPLY_TABLE_WORDS];
    reply_table_pins(&table, inputs, pins);
    inputs_shown = inputs;
    for (uint8_t row = 0; row < chart.rows; row++) {
        const uint8_t phase = (uint8_t)(2u * row);
        PIO0.instr_mem[places.high[row]] = reply_set(reply_phase_pins(pins, phase));
        PIO0.instr_mem[places.low[row]] = reply_set(reply_phase_pins(pins, (uint8_t)(phase + 1u)));
    }
}

void reply_set_inputs(uint16_t inputs)
{
    show(inputs);
}

/* The machine takes both between two instructions of its own: how far it has counted stays as it is. */
void reply_set_late(uint16_t cycles)
{
    PIO0.txf[REPLY_MACHINE] = cycles - REPLY_LEAST_LATE;
    force(&PIO0.sm[REPLY_MACHINE], PULL_BLOCK);
    force(&PIO0.sm[REPLY_MACHINE], MOV_Y_OSR);
}

void reply_keep_first_cycle(void)
{
    chart_keep_first_cycle(&chart);
    reply_table_fill(&table, &chart);
    show(inputs_shown);
}

/* ---- Exchange of the whole program ---- */

static void stop_machines(void)
{
    PIO1.ctrl = PIO_CTRL_SM_ENABLE(RISES_MACHINE);
    PIO0.ctrl = 0;
}

static void empty_queues(struct pio_machine *machine)
{
    /* 3.7: a change of FJOIN empties both queues. */
    machine->shiftctrl = PIO_SHIFTCTRL_RESET | PIO_SHIFTCTRL_FJOIN_RX;
    machine->shiftctrl = PIO_SHIFTCTRL_RESET;
}

static void set_idle_machine(uint32_t idle_reset_ns, uint8_t delay_cycles)
{
    struct pio_machine *machine = &PIO1.sm[IDLE_MACHINE];
    uint16_t words[IDLE_WORDS];
    idle_program(delay_cycles, words);
    for (uint32_t k = 0; k < RISES_WRAP_BOTTOM; k++) PIO1.instr_mem[k] = words[k];
    PIO1.ctrl = PIO_CTRL_SM_ENABLE(RISES_MACHINE) | PIO_CTRL_SM_RESTART(IDLE_MACHINE);
    empty_queues(machine);
    PIO1.txf[IDLE_MACHINE] = idle_count(idle_reset_ns);
    force(machine, PULL_BLOCK);
    force(machine, JMP | IDLE_AT_REST);
    PIO1.irq = 1u << IDLE_MACHINE;
    NVIC_ICPR = 1u << PIO1_IRQ_0;
}

static void set_reply_program(uint16_t inputs)
{
    uint16_t words[REPLY_WORDS];
    reply_program(&chart, words, &places);
    for (uint32_t k = 0; k < REPLY_WORDS; k++) PIO0.instr_mem[k] = words[k];
    show(inputs);
    PIO0.ctrl = PIO_CTRL_SM_RESTART(REPLY_MACHINE);
    reply_set_late(REPLY_LEAST_LATE);
    force(&PIO0.sm[REPLY_MACHINE], JMP | REPLY_AT_RESET_HIGH);
}

static uint32_t settled_rises(uint8_t *row)
{
    uint32_t rises;
    do {
        *row = places.row_at[PIO0.sm[REPLY_MACHINE].addr % REPLY_WORDS];
        for (uint32_t turn = 0; turn < SETTLE_TURNS; turn++) rises = rises_ever;
    } while (*row != places.row_at[PIO0.sm[REPLY_MACHINE].addr % REPLY_WORDS]);
    return rises;
}

void reply_load(const struct chart *next, uint16_t inputs)
{
    chart = *next;
    reply_table_fill(&table, &chart);

    stop_machines();
    set_idle_machine(chart.idle_reset_ns, chart.delay_steps);
    set_reply_program(inputs);
    uint8_t row;
    rises_at_reset = settled_rises(&row);
    /* The one that resets first: a rise that only the reply machine saw would never be reset. */
    PIO1.ctrl = PIO_CTRL_SM_ENABLE(RISES_MACHINE) | PIO_CTRL_SM_ENABLE(IDLE_MACHINE);
    PIO0.ctrl = PIO_CTRL_SM_ENABLE(REPLY_MACHINE);
    PIO1.irq0_inte = PIO_INTR_SM(IDLE_MACHINE);
    SIO_GPIO_OUT_CLR = 1u << PIN_BUFFERS_OFF;
}

/* ---- State ---- */

bool reply_take_reset(void)
{
    if (!(PIO1.irq & 1u << IDLE_MACHINE)) return false;
    PIO1.irq = 1u << IDLE_MACHINE;
    uint8_t row;
    const uint32_t rises = settled_rises(&row);
    rises_at_reset = rises - row;
    return true;
}

struct reply_state reply_state(void)
{
    const uint32_t rises = rises_ever - rises_at_reset;
    return (struct reply_state){
        .rises = rises < 0xFFFFu ? (uint16_t)rises : 0xFFFFu,
        .high = (SIO_GPIO_IN >> PIN_SELECT & 1u) != 0,
    };
}

void reply_stop(void)
{
    SIO_GPIO_OUT_SET = 1u << PIN_BUFFERS_OFF;
}
