/** What is said of photos that should be on the laptop and aren't, in Spanish. */
import type { wantedTexts as English } from "./en-wanted";
import { writing } from "./writing";

const { counted, listed, plural } = writing("es");

type Whys = Parameters<(typeof English)["wanted"]["sentence"]["asked"]>[1];

/** “2 fotos están dañadas en la laptop” */
function state(n: number, whys: Whys): string {
  const [why] = whys;
  const photos = counted(n, "foto", "fotos");
  if (why === undefined || whys.size !== 1) return `${photos} están dañadas o ya no están en la laptop`;
  switch (why) {
    case "damaged":
      return `${photos} ${plural(n, "está dañada", "están dañadas")} en la laptop`;
    case "gone":
      return `${photos} ya no ${plural(n, "está", "están")} en la laptop`;
    case "absent":
      return `${photos} no ${plural(n, "está", "están")} en la laptop`;
  }
}

export const wantedTexts: typeof English = {
  wanted: {
    label: "Fotos que la laptop perdió",
    sentence: {
      here: (n, whys, onDesk) =>
        `${state(n, whys)}; este ${onDesk ? "navegador" : "teléfono"} ${plural(n, "la tiene y la manda", "las tiene y las manda")} otra vez.`,
      asked: (n, whys) =>
        `${state(n, whys)}; un teléfono que aún ${plural(n, "la tenga la mandará", "las tenga las mandará")} otra vez.`,
      nobody: (n, whys) =>
        `${state(n, whys)}, y ningún teléfono ${plural(n, "la tiene", "tiene ninguna de ellas")} ya.`,
    },
    whys: { damaged: "dañada", gone: "desapareció", absent: "nunca llegó" },
    here: "se manda otra vez desde aquí",
    nobody: "nadie la tiene",
    waitingFor: (names) => `aún sin noticias de: ${listed(names)}`,
    noFind: "Una foto sin hallazgo",
    letGo:
      "Un archivo dañado se conserva en la carpeta de datos de la laptop. Una foto que nadie tiene se puede quitar de su hallazgo; quizá siga en una copia de seguridad.",
    page: "La laptop perdió esta foto y la pide a los teléfonos. Se vuelve a mostrar cuando uno la mande.",
  },
};
