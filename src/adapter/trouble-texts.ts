import { texts } from '../words/texts.ts'

/** What went wrong between a page and an adapter: what happened, what it means for the data, what to do. */
export const t = texts('troubles', {
  noDeviceApi:
    'This browser cannot reach serial or USB devices. Browsers built on Chromium can, on desktop and on Android: open this page there to connect. Everything else works here: the demo adapter, profiles, titles, and files in and out.',
  notSecure:
    'Browsers reach devices only from a secure page. Open this page with https, or from this machine itself (localhost), and connect there. Everything else works here: the demo adapter, profiles, titles, and files in and out.',
  refusedByPage:
    'The browser does not let this page ask for devices. Press Connect yourself; if the page stands inside another one, open it on its own; on a managed machine, ask who manages the browser.',
  nothingChosen:
    'Nothing was chosen in the browser’s list. Choose Connect again and pick the adapter; if it is not listed, check that the cable carries data and not only power, and plug it in again.',
  held: 'Another tab or program holds the adapter. Close the other tab or program that uses it (a serial console, another copy of this page), then choose Connect again.',
  noPermission: 'The system does not let this browser use the device.',
  heldOrNoPermission:
    'The browser could not open the device and does not say why. Another tab or program may hold it: close that first.',
  linuxRights:
    'On Linux, your account may not use serial devices: add yourself to the group that owns the device (dialout on Debian and its relatives: sudo usermod -aG dialout $USER), log out and in again, or have an administrator add a udev rule for the adapter; then choose Connect again.',
  noSerialInterface:
    'That device has no serial interface, so it is not a Ninepin adapter. Nothing was written to it. Choose Connect again and pick another.',
  unpluggedWhileOpening:
    'The device went away while it was being opened. Plug it in again, without a hub if you can, and choose Connect.',
  openFailed:
    'The browser could not open the device (it says: {detail}). Unplug it, plug it in again and choose Connect.',
  unplugged:
    'The adapter was unplugged, or lost its power. An unfinished bank keeps its old content. Plug it in again and choose Connect.',
  silent:
    'Nothing answered. Nothing was written. If this is your adapter, unplug it, plug it in again and choose Connect; otherwise pick another device in the list.',
  notNinepin:
    'Something answered, but not as a Ninepin adapter does. Nothing was written to it. Choose Connect again and pick another device; if this is your adapter, unplug it and plug it in again first.',
  protocolNewer:
    'The adapter speaks version {spoken} of the link, this page knows {known}. Nothing was written to it. Load the newest version of this page and choose Connect again.',
  protocolOlder:
    'The adapter speaks version {spoken} of the link, too old for this page ({known}). Nothing was written to it. Update the adapter’s firmware and choose Connect again.',
  stoppedAnswering:
    'The adapter stopped answering. A bank holds its old content or the whole new one, never a part. Unplug the adapter, plug it in again and choose Connect. Then read the bank back.',
  nonsense:
    'The adapter sent an invalid reply. Unplug the adapter, plug it in again and choose Connect. If it happens again, update its firmware.',
  unlisted:
    'The adapter refused, for a reason this page does not know (code {code}). Load the newest version of this page and try again.',
  imageEmpty: 'There is nothing in this image. Nothing was written. Build it again from the profile.',
  imageTooLarge:
    'The image has {bytes} bytes, the adapter takes {most}. Nothing was written. Take layers or rules out of the profile and try again.',
  verifyDiffers:
    'Bank {bank} reads back differently from what was written, first at byte {offset}. Do not rely on it: flash it again, and if it happens again use another bank.',
  readDiffers:
    'What was read from bank {bank} does not match its check value. Read it again; if it happens again, flash the bank again.',
  cancelled: 'Flashing was stopped. Bank {bank} keeps its old content. Flash again whenever you like.',
  trialDiffers:
    'The trial slot reads back differently from what was written. Do not rely on it: flash it again. The banks are as they were.',
  trialCancelled:
    'Flashing was stopped. The trial slot and the banks are as they were. Flash again whenever you like.',
  noTrialSlot:
    'This adapter’s firmware is older: it has no trial slot (that takes version {needed} of the link). Update its firmware, or put the image into a bank of your choice.',
  firmwareOlder:
    'This adapter’s firmware is older: it keeps no pad history (that takes version {needed} of the link). Update its firmware; everything else works as before.',
  keptDiffers:
    'The adapter’s pad history could not be read completely. Read it again; if it happens again, have it forget the history and plug the pad in again.',
  closed: 'The adapter is no longer connected. Choose Connect first.',
})

/** What an adapter answers when it refuses, by the name of its code. */
export const refusalTexts = texts('adapter-refusals', {
  'unknown message':
    'The adapter does not know this request. Update its firmware; everything it did before works as before.',
  'wrong length':
    'The adapter could not read the request. Update its firmware or reload this page, then try again.',
  'identify first':
    'The adapter restarted during the operation. An unfinished bank keeps its old content. Choose Connect and try again.',
  'no such bank': 'The adapter has no such bank. Choose one of its four banks.',
  'image too large':
    'The adapter has no room for this image. Take layers or rules out of the profile and try again.',
  'out of range':
    'The adapter refused a piece of the image. Update its firmware or reload this page, then try again.',
  incomplete:
    'A piece of the image did not arrive. An unfinished bank keeps its old content. Flash it again.',
  'checksum differs':
    'The image arrived damaged. An unfinished bank keeps its old content. Flash it again; if it happens again, try another cable.',
  'not an image':
    'The adapter does not take this for an image that it can run. An unfinished bank keeps its old content. Update its firmware, then flash again.',
  'bank empty': 'That bank is empty. Flash a profile into it first, or choose another bank.',
  'memory failed':
    'The adapter could not store it. An unfinished bank keeps its old content. Try again; if it happens again, use another bank.',
  busy: 'The adapter is busy. Wait a moment and try again.',
  'nothing stored':
    'The adapter keeps nothing of that kind. Plug the pad into it, with the console on, and come back.',
})
