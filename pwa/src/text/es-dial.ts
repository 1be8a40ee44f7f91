/** Lo que dice el disco de papel, en pantalla y en papel, en español; una parte de los textos de es.ts. */
import type { Text } from "./en";
import { writing } from "./writing";

const { figure, percent } = writing("es");

export const dialTexts: Pick<Text, "dial"> = {
  dial: {
    how: "Qué cambia la luz",
    ways: { lamp: "Mover la lámpara", dial: "Girar la moneda" },
    many: "Fotos",
    counts: { 4: "4, rápido", 8: "8, más fino" },
    hint: "La lámpara no se mueve y la moneda gira con un disco de papel. Sirve para una lámpara de pie, y la mantiene a la misma altura en cada foto.",
    print: "Imprimir el disco",
    mark: (n) => `Marca ${n}`,
    lead: {
      first:
        "La lámpara baja junto a la flecha, la moneda en el centro, la flecha en lo alto de la imagen. Pon el 1 en la flecha y toma la foto. Desde aquí no muevas ni la lámpara ni la cámara.",
      next: (n) => `Gira el disco hasta que el ${n} quede en la flecha. No toques la moneda.`,
    },
    choose: (left) => `O elige fotos: faltan ${left}, en este orden`,
    againMark: (n) => `Tomar otra vez la marca ${n}`,
    astray: (n, off) =>
      `La foto de la marca ${n} no está girada como dice el disco: la moneda está unos ${figure(off)}° fuera. Las demás están bien; pon el ${n} en la flecha y toma esta otra vez.`,
    noRim: (n) =>
      `No se encontró el contorno de la moneda en la foto de la marca ${n}. Las demás siguen ahí; toma esta otra vez, con toda la moneda en la imagen.`,
    slipped:
      "Las fotos no se pueden poner una sobre otra con la precisión que hace falta: la moneda se corrió en el disco, o se movió la lámpara o la cámara. Fija las tres y toma las fotos otra vez.",

    title: "Disco de papel",
    intro: "Para luz de lado con una lámpara fija: imprímelo, recorta el disco y gira la moneda sobre él.",
    paper: "Papel",
    papers: { a4: "Hoja A4", letter: "Hoja carta" },
    printNow: "Imprimir",
    printHint: `Imprímelo al ${percent(100)}, sin «ajustar a la página». ¿No hay impresora en este dispositivo? Abre esta página en la laptop: Herramientas, Segunda mirada, Disco de papel.`,
    preview:
      "El disco como se imprime: ocho marcas alrededor de un lugar para la moneda, y una línea para comprobar el tamaño.",
    link: "Disco de papel para luz de lado",
    sheet: {
      title: "Disco para luz de lado",
      lamp: "La lámpara de este lado",
      cut: "recorta por este círculo",
      check: "Esta línea mide 100 mm si la página se imprimió a tamaño completo.",
      scaled: "En una página impresa más chica, el disco gira igual por los ángulos correctos.",
      steps: [
        "1. Recorta el disco. Pega el resto de la hoja a la mesa y pon el disco otra vez en su hueco.",
        "2. Pon la moneda en la cruz, con su centro en el del disco. Tómala por el canto y no le pegues nada.",
        "3. Pon la lámpara baja detrás de la flecha. Ten la cámara justo encima, con la flecha arriba.",
        "4. Gira el disco marca por marca hasta la flecha, como dice la pantalla. Las líneas del disco y de la hoja coinciden todas.",
      ],
    },
  },
};
