/**
 * A message: one whole text with `{name}` where a value comes in, or one text for each case of a value.
 *
 * - `'{name} matches the open profile.'`
 * - plural: `{ n: { one: '{n} byte', other: '{n} bytes' } }`, cases as CLDR names them, or a figure itself (`0`); `other` is what
 *   makes it a plural. `'n:ordinal'` counts as in "2nd".
 * - choice: `{ kind: { clean: 'clean', misread: 'misread' } }`, for booleans `true` and `false`.
 *
 * Cases are messages themselves, so that a text can hang on two values. `<tag>words</tag>` marks what `Text.svelte` draws.
 */
export type Message = string | Cases
export interface Cases {
  readonly [selector: string]: { readonly [when: string]: Message }
}
export interface Messages {
  readonly [key: string]: Message
}

/** What a message takes for a `{name}`: a figure is written as the language writes figures. */
export type Value = string | number

type Named<S extends string> = S extends `${string}{${infer Name}}${infer Rest}` ? Name | Named<Rest> : never

type Placeholder<M> = M extends string ? Named<M> : { [S in keyof M]: Placeholder<M[S][keyof M[S]]> }[keyof M]

type BareName<S> = S extends `${infer Name}:${string}` ? Name : S
type SelectedBy<Keys> = 'other' extends Keys ? number : [Keys] extends ['true' | 'false'] ? boolean : Keys

type Selector<M> = M extends string
  ? never
  : {
      [S in keyof M]: { name: BareName<S>; value: SelectedBy<keyof M[S]> } | Selector<M[S][keyof M[S]]>
    }[keyof M]

type NameOf<S> = S extends { name: infer Name } ? Name : never
type ValueOf<S, Name> = S extends { name: Name; value: infer V } ? V : never

/** What a message has to be given, by name. */
export type ValuesOf<M> = {
  readonly [Name in Extract<NameOf<Selector<M>> | Placeholder<M>, string>]: Name extends NameOf<Selector<M>>
    ? ValueOf<Selector<M>, Name>
    : Value
}

/** A message as code uses it: a string, or a function of its values. */
export type Text<M> = keyof ValuesOf<M> extends never ? string : (values: ValuesOf<M>) => string

/** Stands on every set of texts: its name and its English, for languages and tests. */
export const ENGLISH = Symbol()

export interface English<M extends Messages = Messages> {
  readonly [ENGLISH]: { readonly id: string; readonly messages: M }
}

export type Texts<M extends Messages> = { readonly [Key in keyof M]: Text<M[Key]> } & English<M>

/** Messages of another language for a set of texts: every key, each with the same values. */
export type Translation<T extends English, Given> = {
  readonly [Key in keyof MessagesOf<T> | keyof Given]: Key extends keyof Given & keyof MessagesOf<T>
    ? Same<ValuesOf<MessagesOf<T>[Key]>, ValuesOf<Given[Key]>> extends true
      ? Given[Key]
      : never
    : never
}

type MessagesOf<T extends English> = T[typeof ENGLISH]['messages']
type Same<A, B> = [A, B] extends [B, A] ? true : false
