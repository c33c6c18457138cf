/** What is said of a file without the file's own words, which stand in quotation marks as JSON has them: a file may say NaN. */
export const withoutFileWords = (said: string): string => said.replace(/"(?:[^"\\]|\\.)*"/g, '""')
