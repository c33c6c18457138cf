/** The name that the content security policy lists, see `build/content-policy.ts`. */
export const POLICY_NAME = 'ninepin'

/** Where the page stands, and so everything that it runs. */
const isOwn = (address: URL): boolean => address.origin === location.origin

function checked(address: string): string {
  const url = new URL(address, document.baseURI)
  if (!isOwn(url)) throw new TypeError(`${url.origin} is not where this page comes from`)
  return url.href
}

/** What is used here of the Trusted Types API (W3C, Trusted Types), which the browser's own types do not have yet. */
interface TrustedTypes {
  createPolicy(
    name: string,
    rules: { createScriptURL: (address: string) => string },
  ): { createScriptURL: (address: string) => unknown }
}

const policy = (globalThis as { trustedTypes?: TrustedTypes }).trustedTypes?.createPolicy(POLICY_NAME, {
  createScriptURL: checked,
})

/**
 * The address of a script that a worker or the service worker is started from. The browser takes no other kind of address for it, so
 * all of them come by here.
 *
 * @throws where it is not the page's own
 */
export const scriptAddress = (address: string): string =>
  // A trusted address is taken wherever a text is.
  policy === undefined ? checked(address) : (policy.createScriptURL(address) as string)
