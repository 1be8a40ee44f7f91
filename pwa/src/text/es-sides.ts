/** Lo que dice el ángulo entre los dos lados de una moneda, en español; una parte de los textos de es.ts. */
import type { Text } from "./en";
import { writing } from "./writing";

const { figure } = writing("es");

export const sidesTexts: Pick<Text, "sides"> = {
  sides: {
    hint: "Cuánto está girado el reverso contra el anverso. Hace falta una foto de cada lado, con la moneda volteada entre las dos y la cámara donde estaba.",
    ways: { "top-to-bottom": "De arriba abajo", "side-to-side": "De lado" },
    struck: {
      "top-to-bottom": "Estas monedas quedan derechas por los dos lados al voltearlas de arriba abajo.",
      "side-to-side": "Estas monedas quedan derechas por los dos lados al voltearlas de lado.",
    },
    struckBy: "Práctica común, según el libro de monedas.",
    which: "Estas monedas quedan derechas al voltearlas",
    notSure:
      "Las monedas de este país varían, y con lo que se sabe de esta el libro no puede decirlo. Voltea una común de su tipo para verlo.",
    notKnown: "No se sabe qué moneda es. Voltea una común de su tipo para ver cómo queda derecha.",
    turned: "Cómo volteaste esta",
    hand: "Qué la guio",
    hands: { ruler: "Un borde recto", free: "A pulso" },
    lead: {
      "top-to-bottom":
        "Pon una regla junto al borde de arriba de la moneda. Toma un lado, voltea la moneda de arriba abajo, por la regla, y toma el otro. No gires más ni la moneda ni la cámara.",
      "side-to-side":
        "Pon una regla junto al borde izquierdo de la moneda. Toma un lado, voltea la moneda de lado, como la hoja de un libro, y toma el otro. No gires más ni la moneda ni la cámara.",
    },
    pictures: "Los dos lados",
    faces: { obverse: "Anverso", reverse: "Reverso" },
    swap: "Cambiar los lados",
    missing: "sin foto todavía",
    unlaid: "falta poner la línea",
    laid: "línea puesta",
    byReference: "por tu referencia",
    other: { obverse: "Qué foto muestra el anverso", reverse: "Qué foto muestra el reverso" },
    noOther:
      "Este hallazgo no tiene otra foto. Agrega una del otro lado, o elige una aquí solo para mirarla.",
    along: "La línea sigue algo que está",
    alongs: { level: "Horizontal", upright: "Vertical" },
    alongHints: {
      level:
        "Lleva los dos extremos a algo que sea horizontal en la moneda derecha: el pie de la fecha, una fila de letras. La flecha apunta a la derecha de la moneda.",
      upright:
        "Lleva los dos extremos a algo vertical en la moneda: una columna, la letra I. La flecha apunta a lo alto de la moneda.",
    },
    ends: {
      level: ["extremo izquierdo", "extremo derecho"],
      upright: ["extremo de abajo", "extremo de arriba"],
    },
    end: (face, end) => `${face}, ${end} de la línea`,
    affirm: "Está bien como está",
    reference: "Ponerla por mi referencia",
    referenceUpright:
      "Tu referencia se toma por derecha, con unos grados de duda. Mira si la línea sigue algo horizontal; si no, muévela.",
    picture: (face) => `${face}, con la línea que dice cómo está girado.`,
    working: "Mirándola …",
    again: "Buscar otra vez su borde",
    told: (degrees, u) => `${figure(degrees)}° ±\u00a0${figure(u)}°`,
    between: "Entre los lados",
    waits: "El ángulo aparece cuando la línea está puesta en los dos lados.",
    senses: {
      counterclockwise: "El reverso está girado en contra de las agujas del reloj, visto de frente.",
      clockwise: "El reverso está girado como las agujas del reloj, visto de frente.",
    },
    calls: {
      ordinary: "Es común: las cecas dejan pasar hasta unos 15°, y casi toda moneda tiene unos pocos grados.",
      turned: "Es más que los 15° o así que dejan pasar las cecas.",
      unclear:
        "No se puede decir: está cerca de los 15° o así que dejan pasar las cecas. Usa un borde recto, líneas más largas, o mide otra vez.",
    },
    half: "Está cerca de 180°, lo que casi siempre quiere decir que la moneda se volteó del otro modo. Revisa eso primero.",
    about95: "± se cumple unas 95 veces de 100: foto, línea y cómo la volteaste.",
    keep: "Guardar con el hallazgo",
    kept: "Guardado con el hallazgo",
    keepNeeds: "Para guardar el ángulo, agrega la foto del otro lado al hallazgo y elígela ahí.",
    keptAs: (words) => `lados girados ${words}`,
    lookFor: "Qué buscar",
    note: (kind) => `Anotar el hallazgo como: ${kind}`,
    noted: (kind) => `Anotado como: ${kind}`,
  },
};
