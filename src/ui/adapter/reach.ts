/** What it takes to reach an adapter, in one chunk: a first visit does not wait for it. */
export { connect } from '../../adapter/session.ts'
export { chooseTransport } from '../../adapter/transports/choose.ts'
export { sentenceFor } from '../../adapter/troubles.ts'
export { decodeImage, imageSentence } from '../../profile/decode-image.ts'
export { bankDifferences } from './bank-differences.ts'
