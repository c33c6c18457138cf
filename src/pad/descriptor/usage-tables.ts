/* eslint-disable texts/in-script -- names of a standard, the same in every language */
/**
 * Names of usages, after the HID Usage Tables (HUT) of the USB Implementers' Forum. Written from memory; `tests/outside/hid-usages.test.ts` holds a
 * part of them against what is published. Each row gives the number of its first name; the names that follow have the numbers that follow.
 */
export type UsageRow = readonly [first: number, ...names: string[]]

export interface UsagePage {
  readonly name: string
  readonly rows: readonly UsageRow[]
}

const LETTERS = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ']
const upTo = (count: number, from = 1): number[] => Array.from({ length: count }, (_, k) => k + from)

const GENERIC_DESKTOP: UsagePage = {
  name: 'Generic Desktop',
  rows: [
    [0x01, 'Pointer', 'Mouse'],
    [0x04, 'Joystick', 'Gamepad', 'Keyboard', 'Keypad', 'Multi-axis Controller', 'Tablet PC System Controls'],
    [0x30, 'X', 'Y', 'Z', 'Rx', 'Ry', 'Rz', 'Slider', 'Dial', 'Wheel', 'Hat Switch', 'Counted Buffer'],
    [0x3b, 'Byte Count', 'Motion Wakeup', 'Start', 'Select'],
    [0x40, 'Vx', 'Vy', 'Vz', 'Vbrx', 'Vbry', 'Vbrz', 'Vno', 'Feature Notification', 'Resolution Multiplier'],
    [0x49, 'Qx', 'Qy', 'Qz', 'Qw'],
    [0x80, 'System Control', 'System Power Down', 'System Sleep', 'System Wake Up', 'System Context Menu'],
    [0x85, 'System Main Menu', 'System App Menu', 'System Menu Help', 'System Menu Exit'],
    [
      0x89,
      'System Menu Select',
      'System Menu Right',
      'System Menu Left',
      'System Menu Up',
      'System Menu Down',
    ],
    [
      0x8e,
      'System Cold Restart',
      'System Warm Restart',
      'D-pad Up',
      'D-pad Down',
      'D-pad Right',
      'D-pad Left',
    ],
  ],
}

const SIMULATION: UsagePage = {
  name: 'Simulation Controls',
  rows: [
    [0x01, 'Flight Simulation Device', 'Automobile Simulation Device', 'Tank Simulation Device'],
    [0x04, 'Spaceship Simulation Device', 'Submarine Simulation Device', 'Sailing Simulation Device'],
    [0x07, 'Motorcycle Simulation Device', 'Sports Simulation Device', 'Airplane Simulation Device'],
    [0x0a, 'Helicopter Simulation Device', 'Magic Carpet Simulation Device', 'Bicycle Simulation Device'],
    [
      0x20,
      'Flight Control Stick',
      'Flight Stick',
      'Cyclic Control',
      'Cyclic Trim',
      'Flight Yoke',
      'Track Control',
    ],
    [0xb0, 'Aileron', 'Aileron Trim', 'Anti-Torque Control', 'Autopilot Enable', 'Chaff Release'],
    [0xb5, 'Collective Control', 'Dive Brake', 'Electronic Countermeasures', 'Elevator', 'Elevator Trim'],
    [0xba, 'Rudder', 'Throttle', 'Flight Communications', 'Flare Release', 'Landing Gear', 'Toe Brake'],
    [
      0xc0,
      'Trigger',
      'Weapons Arm',
      'Weapons Select',
      'Wing Flaps',
      'Accelerator',
      'Brake',
      'Clutch',
      'Shifter',
    ],
    [0xc8, 'Steering', 'Turret Direction', 'Barrel Elevation', 'Dive Plane', 'Ballast', 'Bicycle Crank'],
    [0xce, 'Handle Bars', 'Front Brake', 'Rear Brake'],
  ],
}

const GAME: UsagePage = {
  name: 'Game Controls',
  rows: [
    [0x01, '3D Game Controller', 'Pinball Device', 'Gun Device'],
    [
      0x20,
      'Point of View',
      'Turn Right/Left',
      'Pitch Forward/Backward',
      'Roll Right/Left',
      'Move Right/Left',
    ],
    [
      0x25,
      'Move Forward/Backward',
      'Move Up/Down',
      'Lean Right/Left',
      'Lean Forward/Backward',
      'Height of POV',
    ],
    [
      0x2a,
      'Flipper',
      'Secondary Flipper',
      'Bump',
      'New Game',
      'Shoot Ball',
      'Player',
      'Gun Bolt',
      'Gun Clip',
    ],
    [
      0x32,
      'Gun Selector',
      'Gun Single Shot',
      'Gun Burst',
      'Gun Automatic',
      'Gun Safety',
      'Gamepad Fire/Jump',
    ],
    [0x39, 'Gamepad Trigger', 'Form-fitting Gamepad'],
  ],
}

const GENERIC_DEVICE: UsagePage = {
  name: 'Generic Device Controls',
  rows: [[0x20, 'Battery Strength', 'Wireless Channel', 'Wireless ID', 'Discover Wireless Control']],
}

const KEYBOARD: UsagePage = {
  name: 'Keyboard/Keypad',
  rows: [
    [0x01, 'Keyboard ErrorRollOver', 'Keyboard POSTFail', 'Keyboard ErrorUndefined'],
    [0x04, ...LETTERS.map((letter) => `Keyboard ${letter}`)],
    [0x1e, ...[...upTo(9), 0].map((digit) => `Keyboard ${digit}`)],
    [0x28, 'Keyboard Return', 'Keyboard Escape', 'Keyboard Delete', 'Keyboard Tab', 'Keyboard Spacebar'],
    [0x2d, 'Keyboard -', 'Keyboard =', 'Keyboard [', 'Keyboard ]', 'Keyboard \\', 'Keyboard Non-US #'],
    [0x33, 'Keyboard ;', "Keyboard '", 'Keyboard `', 'Keyboard ,', 'Keyboard .', 'Keyboard /'],
    [0x39, 'Keyboard Caps Lock', ...upTo(12).map((number) => `Keyboard F${number}`)],
    [
      0x46,
      'Keyboard PrintScreen',
      'Keyboard Scroll Lock',
      'Keyboard Pause',
      'Keyboard Insert',
      'Keyboard Home',
    ],
    [0x4b, 'Keyboard PageUp', 'Keyboard Delete Forward', 'Keyboard End', 'Keyboard PageDown'],
    [0x4f, 'Keyboard RightArrow', 'Keyboard LeftArrow', 'Keyboard DownArrow', 'Keyboard UpArrow'],
    [0x53, 'Keypad Num Lock', 'Keypad /', 'Keypad *', 'Keypad -', 'Keypad +', 'Keypad Enter'],
    [0x59, ...[...upTo(9), 0].map((digit) => `Keypad ${digit}`), 'Keypad .', 'Keyboard Non-US \\'],
    [0x65, 'Keyboard Application', 'Keyboard Power', 'Keypad ='],
    [0x68, ...upTo(12, 13).map((number) => `Keyboard F${number}`)],
    [0xe0, 'Keyboard LeftControl', 'Keyboard LeftShift', 'Keyboard LeftAlt', 'Keyboard Left GUI'],
    [0xe4, 'Keyboard RightControl', 'Keyboard RightShift', 'Keyboard RightAlt', 'Keyboard Right GUI'],
  ],
}

const LED: UsagePage = {
  name: 'LED',
  rows: [
    [
      0x01,
      'Num Lock',
      'Caps Lock',
      'Scroll Lock',
      'Compose',
      'Kana',
      'Power',
      'Shift',
      'Do Not Disturb',
      'Mute',
    ],
    [0x48, 'Indicator Red', 'Indicator Green', 'Indicator Amber', 'Generic Indicator'],
  ],
}

const CONSUMER: UsagePage = {
  name: 'Consumer',
  rows: [
    [0x01, 'Consumer Control'],
    [0x30, 'Power', 'Reset', 'Sleep'],
    [0x40, 'Menu', 'Menu Pick', 'Menu Up', 'Menu Down', 'Menu Left', 'Menu Right', 'Menu Escape'],
    [
      0xb0,
      'Play',
      'Pause',
      'Record',
      'Fast Forward',
      'Rewind',
      'Scan Next Track',
      'Scan Previous Track',
      'Stop',
    ],
    [0xcd, 'Play/Pause'],
    [0xe0, 'Volume'],
    [0xe2, 'Mute'],
    [0xe9, 'Volume Increment', 'Volume Decrement'],
    [0x221, 'AC Search', 'AC Go To', 'AC Home', 'AC Back', 'AC Forward', 'AC Stop', 'AC Refresh'],
  ],
}

const named = (name: string): UsagePage => ({ name, rows: [] })

export const USAGE_PAGES: ReadonlyMap<number, UsagePage> = new Map([
  [0x01, GENERIC_DESKTOP],
  [0x02, SIMULATION],
  [0x03, named('VR Controls')],
  [0x04, named('Sport Controls')],
  [0x05, GAME],
  [0x06, GENERIC_DEVICE],
  [0x07, KEYBOARD],
  [0x08, LED],
  [0x09, named('Button')],
  [0x0a, named('Ordinal')],
  [0x0b, named('Telephony Device')],
  [0x0c, CONSUMER],
  [0x0d, named('Digitizers')],
  [0x0f, named('Physical Input Device')],
  [0x20, named('Sensors')],
])
