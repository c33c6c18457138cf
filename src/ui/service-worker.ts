/** Where the service worker stands: beside the page. */
export const addressOfWorker = (): URL => new URL('sw.js', document.baseURI)
