/** Opening tags, and the text up to the next tag. */
const tags = /<([a-zA-Z]+)([^>]*)>([^<]*)/g;
const values = /([\w-]+)="([^"]*)"/g;
/** What is left of markup without its figures and words: two that share it differ in those alone. */
const bones = (markup: string): string => markup.replace(/"[^"]*"/g, '""').replace(/>[^<]+</g, "><");

/**
 * Makes an element's content into other markup of the same kind, by those attributes and words alone that differ: nothing
 * is parsed, and what stays is not matched with the styles again.
 *
 * @param root - Holds what `before` says.
 * @param before - Markup in which elements hold either elements or text, every value in double quotes.
 * @returns False, and nothing is done, where the two differ in more, or hold signs written as numbers.
 */
export function patchMarkup(root: Element, before: string, after: string): boolean {
  if (after.includes("&") || before.includes("&") || bones(before) !== bones(after)) return false;
  const elements = root.querySelectorAll("*");
  const old = [...before.matchAll(tags)];
  let i = 0;
  for (const [, , attributes, text] of after.matchAll(tags)) {
    const element = elements[i]!;
    const [, , oldAttributes, oldText] = old[i]!;
    i++;
    if (attributes !== oldAttributes) {
      const was = oldAttributes!.matchAll(values);
      for (const [, name, value] of attributes!.matchAll(values))
        if (value !== was.next().value?.[2]) element.setAttribute(name!, value!);
    }
    if (text !== oldText) element.textContent = text!;
  }
  return true;
}
