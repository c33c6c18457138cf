/** One station of the cable. */
export interface Station {
  /** Also the address: `#id`. */
  readonly id: string
  readonly label: string
  /** One line of state, shown beneath. */
  readonly state: string
  /** The state is a misread: it takes the signal colour and its mark. Say *misread* in the words. */
  readonly tone?: 'misread'
}
