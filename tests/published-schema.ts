import { toJsonSchema } from '@valibot/to-json-schema'
import { Ajv } from 'ajv'
import type { GenericSchema } from 'valibot'

/**
 * The JSON Schema (draft-07) of a document, from the valibot schema that reads it. Conditions across fields and on letters
 * are not in it: what it refuses the reader refuses, not the other way round.
 */
export function publishedSchema(
  schema: GenericSchema,
  about: { $id: string; title: string; description: string },
) {
  // Checks and transforms have no form there; of what is transformed, the input is described.
  const { $schema, ...body } = toJsonSchema(schema, { typeMode: 'input', errorMode: 'ignore' })
  return { $schema, ...about, ...body }
}

/** As it stands in its file. */
export const schemaText = (schema: object): string => `${JSON.stringify(schema, null, 2)}\n`

/** Whether a document is valid by a schema; the judge is the npm package ajv, strict but for types told apart by an enum. */
export function validator(schema: object): (document: unknown) => boolean {
  const validate = new Ajv({ strict: true, allowUnionTypes: true }).compile(schema)
  return (document) => validate(document)
}
