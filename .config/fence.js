import { dirname, relative, resolve, sep } from 'node:path'
import { fileURLToPath } from 'node:url'

/** @typedef {import('./rooms.js').Room} Room */

const ROOT = fileURLToPath(new URL('..', import.meta.url))

/** What the language itself brings and what gives the same for the same on every machine. `Math` has a rule of its own. */
const PURE = new Set(
  `Array ArrayBuffer BigInt BigInt64Array BigUint64Array Boolean DataView Error Float32Array Float64Array Infinity Int16Array
  Int32Array Int8Array Iterator JSON Map Math NaN Number Object Promise RangeError Reflect RegExp Set String Symbol
  SyntaxError TextDecoder TextEncoder TypeError URIError Uint16Array Uint32Array Uint8Array Uint8ClampedArray WeakMap WeakSet
  decodeURIComponent encodeURIComponent isFinite isNaN parseFloat parseInt structuredClone undefined`.split(
    /\s+/,
  ),
)

/** The path of a file from the root of the project, with `/` between its parts. */
const fromRoot = (/** @type {string} */ file) => relative(ROOT, file).split(sep).join('/')

/**
 * The room that a file stands in: the one with the longest name, as rooms may stand in rooms.
 *
 * @param {readonly Room[]} rooms
 * @param {string} path from the root
 */
const roomOf = (rooms, path) =>
  rooms
    .filter(({ name }) => path.startsWith(`src/${name}/`))
    .sort((one, other) => other.name.length - one.name.length)[0]

/** The text of a node that is one fixed text; nothing for any other. */
function fixedText(node) {
  if (node?.type === 'Literal' && typeof node.value === 'string') return node.value
  if (node?.type === 'TSLiteralType') return fixedText(node.literal)
  if (node?.type === 'TemplateLiteral' && node.expressions.length === 0) return node.quasis[0].value.cooked
  return undefined
}

const isMetaUrl = (node) =>
  node?.type === 'MemberExpression' && node.object.type === 'MetaProperty' && node.property.name === 'url'

/**
 * Refuses every way by which a file under `src` reaches a file or a package that its room may not: imports of any kind and
 * spelling, exports from elsewhere, `import()`, types, `require`, and `new URL(…, import.meta.url)`, by which workers are found.
 */
const oneWay = {
  meta: {
    type: 'problem',
    schema: [{ type: 'object' }],
    messages: {
      nowhere: 'This file stands in no room of the table in DEVELOPERS.md.',
      dynamic: 'Write the name of the module out: nobody can tell where this leads.',
      room: '{{room}} may not import {{target}}: imports go one way, up the table of rooms (DEVELOPERS.md).',
      package: '{{room}} may not use {{target}} (DEVELOPERS.md).',
    },
  },
  create(context) {
    const { rooms } = context.options[0]
    const room = roomOf(rooms, fromRoot(context.filename))
    if (room === undefined) return { Program: (node) => context.report({ node, messageId: 'nowhere' }) }

    const refuse = (node, messageId, target) =>
      context.report({ node, messageId, data: { room: room.name, target } })

    function checkFile(node, name) {
      const path = fromRoot(resolve(dirname(context.filename), name))
      const target = roomOf(rooms, path)
      const allowed =
        target === undefined
          ? room.imports.some((one) => path === one || path.startsWith(`${one}/`))
          : target === room || room.imports.includes(target.name)
      if (!allowed) refuse(node, 'room', target?.name ?? path)
    }

    function check(node, source) {
      const text = fixedText(source)
      // Escapes and other spellings that one tool reads as a path and another does not.
      if (text === undefined || /[%\\]/.test(text)) return refuse(node, 'dynamic', '')
      const name = text.replace(/[?#].*$/s, '')
      if (name === '.' || name === '..' || /^\.\.?\//.test(name)) return checkFile(node, name)
      const isAllowed = room.packages.some(
        (one) => name === one || name.startsWith(`${one}/`) || name.startsWith(`${one}:`),
      )
      if (!isAllowed) refuse(node, 'package', text)
    }

    const withSource = (node) => node.source && check(node, node.source)
    return {
      ImportDeclaration: withSource,
      ExportNamedDeclaration: withSource,
      ExportAllDeclaration: withSource,
      ImportExpression: withSource,
      TSImportType: (node) => check(node, node.source ?? node.argument),
      TSExternalModuleReference: (node) => check(node, node.expression),
      CallExpression(node) {
        const { callee } = node
        if (callee.type === 'Identifier' && callee.name === 'require') check(node, node.arguments[0])
        // A pattern of files takes in what nobody named.
        if (callee.type === 'MemberExpression' && callee.object.type === 'MetaProperty')
          refuse(node, 'dynamic', '')
      },
      NewExpression(node) {
        const [name, base] = node.arguments
        if (node.callee.name !== 'URL' || !isMetaUrl(base)) return
        const text = fixedText(name)
        if (text === undefined) refuse(node, 'dynamic', '')
        else checkFile(node, text)
      },
    }
  },
}

/**
 * Refuses all that reaches the outside world from a room that does not use the platform: every global but those of the
 * language that give the same on every machine, `import.meta`, and `Math.random` in any spelling.
 */
const pure = {
  meta: {
    type: 'problem',
    schema: [{ type: 'object' }],
    messages: {
      global:
        '{{room}} is pure: {{name}} gives another result elsewhere or reaches the outside (DEVELOPERS.md).',
      math: 'Write Math out with the name of what is used of it; Math.random is not pure.',
    },
  },
  create(context) {
    const { rooms } = context.options[0]
    const room = roomOf(rooms, fromRoot(context.filename))
    if (room === undefined || room.platform) return {}
    const refuse = (node, name) =>
      context.report({ node, messageId: 'global', data: { room: room.name, name } })

    function checkGlobal({ identifier, isTypeReference }) {
      if (isTypeReference) return
      const { name, parent } = identifier
      if (room.packages.includes(name)) return
      if (!PURE.has(name)) return refuse(identifier, name)
      const isMember = parent.type === 'MemberExpression' && parent.object === identifier && !parent.computed
      if (name === 'Math' && (!isMember || parent.property.name === 'random'))
        context.report({ node: identifier, messageId: 'math' })
    }

    return {
      MetaProperty(node) {
        if (node.meta.name === 'import') refuse(node, 'import.meta')
      },
      'Program:exit'(node) {
        const scope = context.sourceCode.getScope(node)
        const ofLanguage =
          scope.set === undefined ? [] : scope.variables.filter(({ defs }) => defs.length === 0)
        for (const reference of [...ofLanguage.flatMap(({ references }) => references), ...scope.through])
          checkGlobal(reference)
      },
    }
  },
}

export const fence = { meta: { name: 'fence' }, rules: { 'one-way': oneWay, pure } }
