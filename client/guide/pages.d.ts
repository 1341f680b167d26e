/** A page of the guide, as the build hands it over. */
declare module '*.md' {
  export const title: string
  export const html: string
}
