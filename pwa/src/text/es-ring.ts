/** What ringing a coin says, in Spanish. */
import type { ringTexts as English, ringTest as EnglishTest } from "./en-ring";
import { writing } from "./writing";

const { either, figure } = writing("es");

export const ringTest: typeof EnglishTest = {
  name: "Sonido",
  short: "sonido",
  steps: [
    "Equilibra la moneda en la yema de un dedo y golpea el borde con un palito de madera, cerca del teléfono.",
    "Abre “Hazla sonar”: el teléfono escucha, y tres toques entran en el veredicto.",
  ],
  caution: "Sobre algo blando: si se cae, el canto se abolla. No la golpees con otra moneda.",
};

const kilohertz = (hz: number) => `${figure((hz / 1000).toFixed(hz < 9950 ? 2 : 1))}\u00a0kHz`;

export const ringTexts: typeof English = {
  ring: {
    loading: "Cargando …",
    intro:
      "La plata suena más grave y por más tiempo que la chapada. Equilibra la moneda en la yema de un dedo, a un palmo del teléfono, y golpea el borde con algo de madera, como un lápiz. Tres toques, uno por segundo.",
    coin: "Moneda",
    country: "País",
    choose: "Elige …",
    listen: "Escuchar",
    listenAgain: "Hacer sonar otra moneda",
    stop: "Dejar de escuchar",
    starting: "Encendiendo el micrófono …",
    on: "El micrófono está encendido. El sonido se analiza en este teléfono y nunca se guarda.",
    off: "El micrófono está apagado.",
    count: (n: number, of: number) => `${n} de ${of} toques`,
    tapNow: "Golpea la moneda ahora.",
    tapMore: (left: number) => (left === 1 ? "Una vez más." : `Bien. Faltan ${left}.`),
    takeBack: "Quitar el último toque",
    refusals: {
      click:
        "Fue un golpe seco; nada siguió sonando. Deja la moneda libre sobre la yema del dedo y golpea el borde.",
      voice: "Fue una voz. Espera a que haya silencio y golpea otra vez.",
      music: "Fue un tono sostenido, como de música. Apágala, o hazla sonar donde haya silencio.",
      "two-coins":
        "Sonaron dos cosas a la vez. Haz sonar una sola moneda, y golpéala con madera, no con otra moneda.",
      bounce:
        "Los toques llegaron demasiado juntos, como de una moneda que rebota. Equilíbrala en la yema de un dedo y da un toque por segundo.",
      clipped: "Demasiado fuerte para el micrófono. Aleja la moneda o golpea más suave.",
      glass:
        "Eso suena demasiado grave o por demasiado tiempo para una moneda, como un vaso. Haz sonar solo la moneda.",
      faint:
        "Algo sonó, pero el ruido de alrededor es más fuerte. Acerca la moneda o ve a un lugar tranquilo.",
      "too-few": "Todavía faltan toques. Golpea la moneda otra vez.",
      differ:
        "Estos toques no son de una misma moneda. Se descartaron; empieza otra vez con una sola moneda.",
    },
    troubles: {
      "not-encrypted":
        "Esta página no tiene una dirección cifrada, así que el navegador no le da el micrófono. Abre la app por la dirección segura de la laptop; mientras tanto usa el imán, el canto o la báscula.",
      none: "Este dispositivo no tiene micrófono. Usa otro teléfono, o el imán, el canto y la báscula.",
      refused:
        "Se negó el micrófono. Permítelo para esta página en los ajustes del navegador y toca “Escuchar” otra vez.",
      held: "Otro programa tiene el micrófono. Termina la llamada o la grabación y toca “Escuchar” otra vez.",
      processed:
        "Este navegador filtra el micrófono para la voz y no deja quitarlo, y eso cambia el sonido. Usa otro navegador, o el imán, el canto y la báscula.",
      silent:
        "El micrófono está encendido, pero no llega sonido. ¿Está apagado o tapado? Después toca “Escuchar” otra vez.",
      failed: "No se pudo escuchar. No se pierde nada; toca “Escuchar” otra vez.",
    },
    answers: {
      told: (metal: string) => `Suena como ${metal}.`,
      "not-rung": "Aún no ha sonado.",
      "one-metal":
        "Las monedas de esta denominación son aquí todas de un mismo metal; no hay nada que distinguir de oído.",
      scale: "Estas no se distinguen de oído: eso lo dice la báscula.",
      "several-fit": (metals: string[]) =>
        `No se puede saber: ${either(metals)}. Pésala, o haz sonar antes una moneda de metal conocido.`,
      "none-fits": "No suena como ninguna de estas. ¿Es otra moneda, está rajada o la sujetas demasiado?",
    },
    chances: "Solo de oído",
    chance: (metal: string, percent: string) => `${metal}: ${percent}`,
    axis: "kHz",
    bandHint:
      "Cada barra es donde caen los tonos de un metal, de dos desviaciones típicas de ancho; las líneas son lo que se oyó.",
    lies: (metal: string, hz: number[]) => `${metal}: cerca de ${hz.map(kilohertz).join("; ")}`,
    nowhere: (metal: string) => `${metal}: no se puede predecir`,
    heard: (hz: number[]) => `Se oyó: ${hz.map(kilohertz).join("; ")}.`,
    known: "Una moneda de metal conocido",
    knownHint:
      "Haz sonar primero una moneda cuyo metal conozcas, y la respuesta para las demás será más segura; con dos o tres más de su clase, aún más. Valen por esta noche.",
    knownIs: (metal: string, coins: number) =>
      coins > 1 ? `Monedas conocidas: ${coins}, ${metal}.` : `Moneda conocida: ${metal}.`,
    knownForget: "Olvidar la moneda conocida",
    knownTake: (metal: string) => `Sé que esta es de ${metal}`,
    use: "Usarlo para el veredicto",
    used: "En el veredicto de la moneda que pesaste por último.",
    usedLater: "Guardado para el veredicto: pon la moneda en el platillo y toca “La misma moneda de antes”.",
    takeOut: "Quitarlo del veredicto",
    toRing: "Hazla sonar",
    told: (hz: number | null) => (hz === null ? "sonido" : `sonido: ${kilohertz(hz)}`),
    kilohertz,
  },
};
