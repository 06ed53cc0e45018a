/** The first letter upper-cased, as a sentence or a heading begins. In and out: text. */
export function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
