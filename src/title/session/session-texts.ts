import { texts } from '../../words/texts.ts'

/** Why a session file was refused. */
export const t = texts('session', {
  tooLarge: 'The file is too large: a session may have {mib} MiB.',
  mostMib: 'a session may have {mib} MiB. Save a shorter capture, or a VCD.',
  otherVersion: 'Sessions of version {versions} are read, and this is another. Save the capture as VCD.',
  lastSample: 'The last sample is cut off: it has no {bytes} bytes. Copy the file again.',
  noEntry: 'The zip has no "{name}": it is no session file. Give a VCD or a session.',
  entryTooLarge: 'This has {bytes} bytes; {most} at most are read.',
  pieceMissing: 'The piece "{name}" of the samples is missing. Copy the file again.',
  samplesMissing: 'The samples "{name}" are missing from the zip. Save the capture again.',
  tooManySamples: 'The samples unpack to {bytes} bytes; {most} at most are read. Save a shorter capture.',
  channelMissing: 'the channel is missing. Choose another.',
  channel: '{name} (channel {number})',

  analogOnly: 'The session has analog channels only. Capture the select line on a logic channel.',
  noSamples: 'The metadata of the session names no logic samples. Save the capture again.',
  noSamplerate:
    'The metadata of the session gives no samplerate, so its times mean nothing. Save the capture again.',
  unitsize: 'The unitsize in the metadata of the session is a number of bytes from 1 to {most}.',
  noBit: 'A sample of the session has no bit for its channel {number}.',
  noChannel: 'The session has no logic channel. Capture the select line on one.',

  zipCutOff: 'The file is cut off, or is no zip: its directory is missing. Copy it again.',
  zipDamaged: 'The directory of the zip is damaged. Copy the file again.',
  zipOverlaps:
    'Entries of the zip overlap, so it was made to mislead or is damaged. Nothing of it was read. Copy the file again.',
  zip64: 'The zip is of the 64-bit kind, which is not read. Save a shorter capture.',
  zipEncrypted: 'The zip is encrypted. Save the capture without a password.',
  entryDamaged: '"{name}" in the zip is damaged or cut off. Copy the file again.',
  entryMethod: '"{name}" in the zip is packed in a way ({method}) that is not read.',
})
