import type { Plugin } from 'vite'
import { PAGE_POLICY } from './content-policy.ts'

/** A Vite plugin that writes the content security policy into the built page, before anything that it is about. */
export function contentPolicy(): Plugin {
  return {
    name: 'ninepin:content-policy',
    apply: 'build',
    transformIndexHtml: {
      order: 'post',
      handler: (html) => ({
        html,
        tags: [
          {
            tag: 'meta',
            attrs: { 'http-equiv': 'Content-Security-Policy', content: PAGE_POLICY },
            injectTo: 'head-prepend',
          },
        ],
      }),
    },
  }
}
