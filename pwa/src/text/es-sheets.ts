/** What date entry and evidence say, in Spanish. */

import type { sheetTexts as English } from "./en-sheets";
import { ringTest } from "./es-ring";
import { writing } from "./writing";

const { figure } = writing("es");

export const sheetTexts: typeof English = {
  dateEntry: {
    title: "Año y ceca",
    open: "Fecha",
    any: "cualquiera",
    anyMint: "ceca sin leer",
    again: "La misma otra vez",
    stages: { run: "¿Qué años?", date: "¿Qué fecha y marca de ceca?", mint: "¿Qué marca de ceca?" },
    run: (first, last) => `${first}–${last.slice(2)}`,
    anyDate: "Cualquier fecha",
    noRead: "¿ceca?",
    noReadLong: (year) => `${year}, marca de ceca sin leer`,
    noMark: "sin marca",
    back: "Atrás",
    close: "Cerrar",
    typed: "También sirven las cifras y letras de un teclado.",
    unknownYear: (name, year) =>
      `En el libro de monedas no hay ${name} de ${year}. Lee otra vez las cifras; una fecha rara puede estar alterada.`,
    date: (year, mint) => `${year}, ${mint}`,
  },

  evidence: {
    title: "Lo que observaste",
    next: "Siguiente prueba",
    how: "Muéstrame cómo",
    caution: "Ten cuidado",
    more: "Agregar otra observación",
    given: "Dijiste",
    saidThere: (what) => `De ese teléfono: ${what}.`,
    toldThere: (name) => `${name} está en la báscula. Di allá lo que encuentres, o toma el turno aquí.`,
    remove: (what) => `Quitar: ${what}`,
    undo: "Deshacer",
    sameCoin: "La misma moneda de antes",
    set: "Usar",
    millimetres: "en mm",
    toDensity: "Pesarla en agua",
    toDate: "Poner año y ceca",
    get badNumber() {
      return `Ninguna moneda mide eso. Escribe milímetros, como ${figure("19.05")}.`;
    },
    densityUse: "Usar esto para el veredicto",
    densityUsed:
      "Guardado para el veredicto: vuelve a poner la moneda en el platillo y toca “La misma moneda de antes”.",
    tests: {
      magnet: {
        name: "Imán",
        steps: [
          "Toma un imán pequeño y débil. Cuélgalo de un hilo o ponlo junto a la moneda.",
          "Acerca la moneda despacio. ¿Se pega, jala un poco o no se mueve?",
          "Un imán fuerte jala un poco hasta las monedas que no se pegan.",
        ],
        caution:
          "Mantén los imanes lejos de marcapasos y otros implantes, de tarjetas y de relojes. Los fuertes pellizcan. Que no los alcancen los niños: un imán tragado es una emergencia.",
      },
      edge: {
        name: "Canto",
        steps: [
          "Sujeta la moneda por las caras y gírala bajo la lámpara.",
          "¿El canto es liso, estriado o con letras?",
        ],
        caution: "Trabaja sobre algo blando: una moneda que cae se abolla el canto.",
      },
      stripe: {
        name: "Línea en el canto",
        steps: [
          "Mira a lo largo del canto con luz de día y la lupa.",
          "Las monedas chapadas muestran una línea de cobre entre dos blancas; la suciedad puede taparla o fingirla.",
        ],
        caution: "No limes ni rayes el canto para verla.",
      },
      colour: {
        name: "Color del metal",
        steps: [
          "Mira con luz de día los puntos más altos, donde se ve el metal.",
          "La pátina puede ser de cualquier color: cuenta el metal que está debajo.",
        ],
        caution: "No la limpies ni la rayes para verlo.",
      },
      ring: ringTest,
      diameter: {
        name: "Diámetro",
        steps: [
          "Pon el calibrador en cero, cerrado.",
          "Mide la moneda dos veces, la segunda con un cuarto de vuelta, y toma la mayor.",
        ],
        caution: "Cierra las puntas sin apretar: las de metal rayan. Las de plástico son más suaves.",
      },
      thickness: {
        name: "Grosor",
        steps: [
          "Mide en el listel, en tres lugares, y toma el valor de en medio.",
          "No sobre el diseño: ahí es más alto.",
        ],
        caution: "Cierra las puntas sin apretar: las de metal rayan. Las de plástico son más suaves.",
      },
      density: {
        name: "Densidad",
        steps: [
          "Pésala seca y en agua con la herramienta de densidad, y usa el resultado para el veredicto.",
        ],
        caution:
          "La moneda se moja: solo agua limpia, sécala sin frotar, y no lo hagas con una moneda cuya superficie importe.",
      },
      design: {
        name: "Qué moneda es",
        steps: ["Lee la denominación en la moneda.", "Una moneda extranjera lleva otra leyenda."],
        caution: "Aparta una moneda que no puedas nombrar; no la devuelvas.",
      },
      date: {
        name: "Fecha",
        steps: ["Lee la fecha con la lupa, con la lámpara baja y de lado."],
        caution: "Nunca uses ácido para recuperar una fecha.",
      },
      mint: {
        name: "Marca de ceca",
        steps: ["Busca la letra y su lugar; la lista de abajo dice dónde va."],
        caution: "No escarbes en la letra.",
      },
    },
    answers: {
      magnetic: { no: "No se pega", weak: "Jala un poco", yes: "Se pega" },
      edge: { plain: "Liso", reeded: "Estriado", lettered: "Con letras", other: "Otro" },
      stripe: { yes: "Una línea", no: "Ninguna" },
      colour: {
        red: "Rojo cobre",
        yellow: "Dorado",
        white: "Plateado",
        grey: "Gris",
        "two-hue": "Dos colores",
      },
      design: { yes: "Es esa moneda", no: "Es otra" },
    },
    told: {
      magnetic: { no: "imán: no se pega", weak: "imán: jala un poco", yes: "imán: se pega" },
      edge: {
        plain: "canto: liso",
        reeded: "canto: estriado",
        lettered: "canto: con letras",
        other: "canto: otro",
      },
      stripe: { yes: "línea del canto: sí", no: "línea del canto: ninguna" },
      colour: {
        red: "color: rojo cobre",
        yellow: "color: dorado",
        white: "color: plateado",
        grey: "color: gris",
        "two-hue": "color: dos colores",
      },
      design: { yes: "diseño: es esa moneda", no: "diseño: es otra" },
      diameter_mm: (n) => `diámetro: ${figure(n)}\u00a0mm`,
      thickness_mm: (n) => `grosor: ${figure(n)}\u00a0mm`,
      density: (n) => `densidad: ${figure(n)}\u00a0g/cm³`,
    },
  },
};
