/**
 * Refuses texts that stand in code: letters in markup, in attributes that people see or hear, and sentences in scripts. They
 * belong in a `*-texts.ts` (DEVELOPERS.md, "Where texts stand and how one is changed").
 */

/** Attributes, and properties of our own components, that people see or hear. */
const SEEN = new Set(
  'title alt placeholder label aria-label aria-description aria-roledescription aria-valuetext hint error word text message lead heading caption summary note'.split(
    ' ',
  ),
)
/** Is called the same in every language. */
const NAME = 'Ninepin'
const LETTERS = /\p{L}{2}/u
/** Two words of small letters: no id, class, selector or key reads like that. */
const SENTENCE = /\p{L}{2,}[,;:.]? \p{Ll}{2,}/u
const MESSAGE = 'A text stands in a *-texts.ts, not in code (DEVELOPERS.md, "Where texts stand").'

/** The strings that an expression may come to. */
function* outcomes(node) {
  switch (node?.type) {
    case 'Literal':
      if (typeof node.value === 'string') yield [node, node.value]
      return
    case 'TemplateLiteral':
      for (const quasi of node.quasis) yield [quasi, quasi.value.cooked ?? '']
      return
    case 'ConditionalExpression':
      yield* outcomes(node.consequent)
      yield* outcomes(node.alternate)
      return
    case 'LogicalExpression':
    case 'BinaryExpression':
      if (node.type === 'BinaryExpression' && node.operator !== '+') return
      yield* outcomes(node.left)
      yield* outcomes(node.right)
  }
}

const inMarkup = {
  meta: { type: 'problem', schema: [], messages: { literal: MESSAGE } },
  create(context) {
    const refuse = (node, text, letters = LETTERS) => {
      if (letters.test(text.replaceAll(NAME, ''))) context.report({ node, messageId: 'literal' })
    }
    const isSeen = (node) => SEEN.has(node?.key?.name)
    const isProse = (node) => !['SvelteScriptElement', 'SvelteStyleElement'].includes(node.parent?.type)
    return {
      SvelteText: (node) => isProse(node) && refuse(node, node.value),
      SvelteLiteral: (node) => isSeen(node.parent) && refuse(node, node.value),
      SvelteMustacheTag(node) {
        const parent = node.parent
        if (parent?.type === 'SvelteStyleDirective') return
        if (parent?.type === 'SvelteAttribute' && !isSeen(parent)) return
        if (!['SvelteAttribute', 'SvelteElement', 'SvelteIfBlock'].includes(parent?.type) && !isProse(node))
          return
        for (const [at, text] of outcomes(node.expression)) refuse(at, text)
      },
    }
  },
}

/** Of a type, or compared with something: a code, and not what anybody sees. */
const isCode = ({ parent }) =>
  parent.type === 'TSLiteralType' ||
  parent.type === 'SwitchCase' ||
  (parent.type === 'BinaryExpression' && /^[!=]==?$/.test(parent.operator))

const inScript = {
  meta: { type: 'problem', schema: [], messages: { literal: MESSAGE } },
  create(context) {
    const refuse = (node, text) => {
      if (!SENTENCE.test(text)) return
      const above = context.sourceCode.getAncestors(node)
      // A fault of the program's own is for those who write it.
      const isOwn = above.some(({ type }) => type === 'ThrowStatement' || type === 'SvelteAttribute')
      if (!isOwn && !isCode(node)) context.report({ node, messageId: 'literal' })
    }
    const named = (key, value) => {
      if (!SEEN.has(key?.name)) return
      for (const [node, text] of outcomes(value))
        if (LETTERS.test(text) && !SENTENCE.test(text)) context.report({ node, messageId: 'literal' })
    }
    return {
      Property: ({ key, value }) => named(key, value),
      AssignmentPattern: ({ left, right }) => named(left, right),
      Literal: (node) => typeof node.value === 'string' && refuse(node, node.value),
      TemplateElement: (node) => refuse(node, node.value.cooked ?? ''),
    }
  },
}

export const literalText = { rules: { 'in-markup': inMarkup, 'in-script': inScript } }

/** The rules for folders whose texts are in catalogues. */
export const textsInCatalogues = (folders) => [
  {
    files: folders.map((folder) => `${folder}/*.{ts,svelte}`),
    ignores: ['**/*-texts.ts'],
    plugins: { texts: literalText },
    rules: { 'texts/in-script': 'error' },
  },
  {
    files: folders.map((folder) => `${folder}/*.svelte`),
    plugins: { texts: literalText },
    rules: { 'texts/in-markup': 'error' },
  },
]
