/** What the page may load and run, said to the browser: in the page itself, and in headers by whoever serves it. */

/** Names of the trusted types policies: ours for addresses of scripts (`script-address.ts`), and Svelte's for its own templates. */
const TRUSTED_TYPES = ['ninepin', 'svelte-trusted-html']

/** The content security policy (W3C, CSP Level 3), by directive. */
const DIRECTIVES: Readonly<Record<string, readonly string[]>> = {
  'default-src': ["'none'"],
  'script-src': ["'self'"],
  'style-src': ["'self'"],
  'img-src': ["'self'"],
  'font-src': ["'self'"],
  'connect-src': ["'self'"],
  'manifest-src': ["'self'"],
  'worker-src': ["'self'"],
  'base-uri': ["'none'"],
  'form-action': ["'none'"],
  'require-trusted-types-for': ["'script'"],
  'trusted-types': TRUSTED_TYPES,
}

const written = (directives: Readonly<Record<string, readonly string[]>>): string =>
  Object.entries(directives)
    .map(([name, values]) => [name, ...values].join(' '))
    .join('; ')

/** As the page itself says it. */
export const PAGE_POLICY = written(DIRECTIVES)

/** What only a header can say, and the same once more: a worker has no page to say it. */
export const HEADERS: Readonly<Record<string, string>> = {
  'Content-Security-Policy': written({ ...DIRECTIVES, 'frame-ancestors': ["'none'"] }),
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Resource-Policy': 'same-origin',
  'Permissions-Policy': 'camera=(), geolocation=(), microphone=(), payment=()',
  'Referrer-Policy': 'no-referrer',
  'X-Content-Type-Options': 'nosniff',
}
