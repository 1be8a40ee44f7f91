/** What is said of a question and of what a hunter keeps, in Spanish. */
import type { keepTexts as English } from "./en-keep";

export const keepTexts: typeof English = {
  question: {
    answered: (choice) => `Dijiste: ${choice}.`,
    undo: "Deshacer",
  },

  keepList: {
    title: "Para guardar",
    intro: "Monedas comunes que quieres apartar. Su veredicto dice “Para guardar”.",
    isOn: (names) => `En tu lista: ${names}`,
    mayBe: (names) => `Puede estar en tu lista: ${names}`,
    always: "Guardar siempre",
    added: (names) => `Ya está en tu lista: ${names}.`,
    removed: (names) => `Fuera de tu lista: ${names}.`,
    dates: "Fechas y cecas",
    datesHint: "1955, 1909-S, cent 1909-1958, o solo una marca de ceca: S.",
    date: "Fecha o ceca",
    add: "Agregar",
    badDate: "Escribe un año, como 1909-S o cent 1955, o una marca de ceca.",
    remove: (name) => `Quitar: ${name}`,
    noDates: "Aún no hay fechas.",
    loading: "La lista viene con el libro de monedas.",
    nothing: "Tu lista está vacía, así que ninguna moneda es para guardar.",
  },
};
