import type { Contact, View } from './contacts.ts'
import { neighbour } from './connector-geometry.ts'

interface ConnectorProps {
  readonly view: View
  hover: Contact | null
}

/** One tab stop for nine contacts: arrow keys move as the eye sees them, and what is pointed at links with its lane. */
export class ConnectorState {
  readonly #props: ConnectorProps
  #root: Element | null = null
  at: Contact = $state(1)

  constructor(props: ConnectorProps) {
    this.#props = props
  }

  readonly attach = (root: Element) => {
    this.#root = root
    return () => {
      this.#root = null
    }
  }

  point(contact: Contact | null): void {
    this.#props.hover = contact
  }

  focused(contact: Contact): void {
    this.at = contact
    this.point(contact)
  }

  readonly onkeydown = (event: KeyboardEvent): void => {
    const to = neighbour(this.at, event.key, this.#props.view)
    if (to === undefined) return
    event.preventDefault()
    this.at = to
    this.#root?.querySelector<SVGElement>(`[data-contact="${to}"]`)?.focus()
  }
}
