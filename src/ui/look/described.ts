/** What describes a control: its error first, then its hint. Undefined when it has neither. */
export const describedBy = (id: string, hint?: string, error?: string): string | undefined =>
  [error && `${id}-error`, hint && `${id}-hint`].filter(Boolean).join(' ') || undefined
