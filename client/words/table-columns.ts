/** Columns of a table: words, or figures with so many decimals. */
export const words = (heading: string) => ({ heading, decimals: null })
export const figures = (heading: string, decimals: number) => ({ heading, decimals })
