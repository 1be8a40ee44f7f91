export interface KindChoice {
  id: string;
  words: string;
}

/**
 * What a find's kind may be set to: the kinds to look for on its coin, then all others. A kind that the
 * book hasn't got any more stays the find's own, under its id, until somebody picks another.
 */
export function kindChoices(
  first: readonly KindChoice[],
  all: readonly { id: string; name: string }[],
  own: string | undefined,
): KindChoice[] {
  const choices = [
    ...first,
    ...all.filter((k) => !first.some((f) => f.id === k.id)).map((k) => ({ id: k.id, words: k.name })),
  ];
  return own && !choices.some((c) => c.id === own) ? [...choices, { id: own, words: own }] : choices;
}
