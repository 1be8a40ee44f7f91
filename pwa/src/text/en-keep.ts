/** What is said of a question and of what a hunter keeps, in English; a part of the texts in en.ts. */
export const keepTexts = {
  question: {
    answered: (choice: string) => `You said: ${choice}.`,
    undo: "Undo",
  },

  keepList: {
    title: "Keepers",
    intro: "Regular coins you want to set aside. Their verdict says Keeper.",
    isOn: (names: string) => `On your list: ${names}`,
    mayBe: (names: string) => `May be on your list: ${names}`,
    always: "Always keep",
    added: (names: string) => `On your list now: ${names}.`,
    removed: (names: string) => `Off your list: ${names}.`,
    dates: "Dates and mints",
    datesHint: "1955, 1909-S, cent 1909-1958, or only a mint mark: S.",
    date: "Date or mint",
    add: "Add",
    badDate: "Write a year, such as 1909-S or cent 1955, or a mint mark.",
    remove: (name: string) => `Take off: ${name}`,
    noDates: "No dates yet.",
    loading: "The list comes with the coin book.",
    nothing: "Nothing is on your list, so no coin is a keeper.",
  },
};
