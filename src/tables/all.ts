import { BOARD_TABLE } from '../adapter/board.table.ts'
import { FLASH_TABLE } from '../adapter/flash.table.ts'
import { LIGHTS_TABLE } from '../adapter/lights.table.ts'
import { LINK_TABLE } from '../adapter/link.table.ts'
import { STATED_TABLE } from '../adapter/stated.table.ts'
import { USB_REGISTERS_TABLE } from '../adapter/usb-registers.table.ts'
import { IMAGE_TABLE } from '../profile/image.table.ts'
import type { Table } from './table.ts'

/** Every table of numbers there is. */
export const TABLES: readonly Table[] = [
  IMAGE_TABLE,
  LINK_TABLE,
  FLASH_TABLE,
  BOARD_TABLE,
  LIGHTS_TABLE,
  STATED_TABLE,
  USB_REGISTERS_TABLE,
]
