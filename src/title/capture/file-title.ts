import { foreign } from '../../words/foreign.ts'

/** A file's name without its ending, for a title's name. */
export const fileTitle = (fileName: string): string => foreign(fileName.replace(/(?<=.)\.[^.]*$/, ''))
