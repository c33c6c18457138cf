import { expect, it } from 'vitest'
import { usageName } from '../../src/pad/descriptor/usage-names.ts'

// Source: the HID Usage Tables as the tables of the Linux hid-tools have them, hidtools/data/0001_generic_desktop.hut and 000c_consumer_devices.hut; the
// simulation controls as several public tables have them. Names differ in small things ("Game Pad", "Gamepad") from edition to edition of the standard: those are left out.
const PUBLISHED: readonly (readonly [page: number, rows: string])[] = [
  [
    0x01,
    `01 Pointer|02 Mouse|04 Joystick|06 Keyboard|07 Keypad|30 X|31 Y|32 Z|33 Rx|34 Ry|35 Rz|36 Slider|37 Dial|38 Wheel|3A Counted Buffer|3B Byte Count|
     3D Start|3E Select|40 Vx|41 Vy|42 Vz|43 Vbrx|44 Vbry|45 Vbrz|46 Vno|48 Resolution Multiplier|49 Qx|4A Qy|4B Qz|4C Qw|80 System Control|
     81 System Power Down|82 System Sleep|83 System Wake Up|84 System Context Menu|85 System Main Menu|86 System App Menu|88 System Menu Exit|
     89 System Menu Select|8A System Menu Right|8B System Menu Left|8C System Menu Up|8D System Menu Down|8E System Cold Restart|8F System Warm Restart`,
  ],
  [
    0x02,
    `01 Flight Simulation Device|0C Bicycle Simulation Device|20 Flight Control Stick|21 Flight Stick|22 Cyclic Control|23 Cyclic Trim|24 Flight Yoke|
     25 Track Control|B0 Aileron|B1 Aileron Trim|B2 Anti-Torque Control|B3 Autopilot Enable|B4 Chaff Release|B5 Collective Control|B6 Dive Brake|
     B7 Electronic Countermeasures|B8 Elevator|B9 Elevator Trim|BA Rudder|BB Throttle|BC Flight Communications|BD Flare Release|BE Landing Gear|
     BF Toe Brake|C0 Trigger|C1 Weapons Arm|C2 Weapons Select|C3 Wing Flaps|C4 Accelerator|C5 Brake|C6 Clutch|C7 Shifter|C8 Steering|
     C9 Turret Direction|CA Barrel Elevation|CB Dive Plane|CC Ballast|CD Bicycle Crank|CE Handle Bars|CF Front Brake|D0 Rear Brake`,
  ],
  [
    0x0c,
    `01 Consumer Control|30 Power|31 Reset|32 Sleep|40 Menu|41 Menu Pick|42 Menu Up|43 Menu Down|44 Menu Left|45 Menu Right|46 Menu Escape|B0 Play|B1 Pause|
     B2 Record|B3 Fast Forward|B4 Rewind|B5 Scan Next Track|B6 Scan Previous Track|B7 Stop|CD Play/Pause|E0 Volume|E2 Mute|221 AC Search|222 AC Go To|
     223 AC Home|224 AC Back|225 AC Forward|226 AC Stop|227 AC Refresh`,
  ],
]

it.each(PUBLISHED)('usages of page %i have the published names', (page, rows) => {
  for (const row of rows.split('|')) {
    const [id = '', ...words] = row.trim().split(' ')
    expect(usageName(page, parseInt(id, 16)), id).toBe(words.join(' '))
  }
})

it('buttons go by their numbers, and what has no name by its page and number', () => {
  expect(usageName(9, 1)).toBe('Button 1')
  expect(usageName(9, 0)).toBe('No Button')
  expect(usageName(7, 0x1d)).toBe('Keyboard Z')
  expect(usageName(7, 0x27)).toBe('Keyboard 0')
  expect(usageName(7, 0x52)).toBe('Keyboard UpArrow')
  expect(usageName(1, 0x3f)).toBe('Generic Desktop 003F')
  expect(usageName(0x99, 1)).toBe('Page 0099 0001')
  expect(usageName(0xff12, 0x21)).toBe('Vendor FF12 0021')
})
