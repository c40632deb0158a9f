/** A thing of the plan as a sentence names it: "the tall window", whether or not its own name begins with an article. */
export const theThing = (name: string): string =>
  /^(the|a|an|my|our|his|her|their)\s/i.test(name)
    ? name.replace(/^(The|A|An)\s/, (word) => word.toLowerCase())
    : `the ${name}`;
