/// <reference types="vite-plugin-pwa/client" />

declare const __NINEPIN_VERSION__: string
