import type { CaptureRequest } from './capture-messages.ts'
import { readCapture } from './read-capture.ts'

self.onmessage = ({ data }: MessageEvent<CaptureRequest>) =>
  void readCapture(data, (message) => self.postMessage(message))
