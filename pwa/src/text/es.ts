import type { Text } from "./en";
import { benchTexts } from "./es-bench";
import { cameraTexts } from "./es-camera";
import { closeUpTexts } from "./es-close-up";
import { dialTexts } from "./es-dial";
import { drawingTitles } from "./es-drawings";
import { findTexts } from "./es-finds";
import { handsTexts } from "./es-hands";
import { hintTexts } from "./es-hints";
import { keepTexts } from "./es-keep";
import { ringTexts } from "./es-ring";
import { scaleTexts } from "./es-scale";
import { sheetTexts } from "./es-sheets";
import { sidesTexts } from "./es-sides";
import { toolTexts } from "./es-tools";
import { trustTexts } from "./es-trust";
import { wantedTexts } from "./es-wanted";
import { writing } from "./writing";

/** Every word the app itself says, in Spanish as coin hunters in the Americas speak it. Not read by a native speaker yet. */

const { number, counted, figure, percent, plural } = writing("es");

/** Like “unas 40”: one or two leading digits, since more would claim too much. */
function rough(n: number): string {
  if (n >= 1_000_000) return "más de un millón de";
  const digits = n >= 10 ? 1 : 2;
  return number(Number(n.toPrecision(digits)));
}

export const es: Text = {
  language: "es",
  appName: "Panside",
  percent: (p) =>
    p > 0.995
      ? `más del ${percent(99)}`
      : p < 0.005
        ? `menos del ${percent(1)}`
        : percent(Math.round(p * 100)),

  nav: {
    label: "Lugares",
    weigh: "Pesar",
    desk: "Teléfonos",
    finds: "Hallazgos",
    keepList: "Para guardar",
    settings: "Ajustes",
    keyboard: "Atajos de teclado",
    practice: "Platillo de práctica",
    tools: "Herramientas",
    toTop: "Volver al veredicto",
    close: "Cerrar",
    skip: "Ir al veredicto",
  },

  weight: {
    title: "Peso",
    none: "Sin peso",
    noNumber: "—",
    now: "en vivo",
    old: (seconds) => `de hace ${seconds}\u00a0s`,
    stale: "No es reciente",
    staleHint: "La báscula no manda lecturas nuevas. Esperando.",
    readsTo: (grams) => `pasos de ${figure(grams)}\u00a0g`,
    within: (grams) => `± ${figure(grams)}\u00a0g`,
    get withinTitle() {
      return `incertidumbre expandida, cerca del ${percent(95)}`;
    },
    assumed: "supuesta",
    assumedHint: "Se supone por el paso más pequeño de la báscula. Compruébala con pesas para medirla.",
    asGrams: (grams) => `${figure(grams)}\u00a0g`,
    onScale: (shown, unit) =>
      unit === "g" ? `báscula: ${figure(shown)}` : `(báscula: ${figure(shown)}\u00a0${unit})`,
  },

  typed: {
    title: "Peso tecleado",
    open: "Teclear un peso",
    openShort: "Teclear",
    back: "A la báscula",
    next: "Otra moneda",
    pad: "Teclado numérico",
    point: "Signo decimal",
    undo: "Borrar la última cifra",
    undoShort: "Borrar",
    step: "Paso",
    stepTitle: "El paso más pequeño que muestra tu báscula. Tecleado: la última cifra que das.",
    asTyped: "tecleado",
    grams: (g) => `${figure(g)}\u00a0g`,
    none: "Teclea todas las cifras.",
    more: (n) =>
      `${plural(n, "Falta", "Faltan")} ${counted(n, "cifra", "cifras")}: los ceros también cuentan.`,
    between: (step) => `No es un paso de ${figure(step)}\u00a0g. Revisa la última cifra.`,
    zero: "Eso es cero. Teclea el peso.",
    twoWays: (typed, decimal, whole) =>
      `“${typed}” puede ser ${decimal} o ${whole}. Escríbelo de una de estas dos formas.`,
    noVerdict: "El veredicto llega cuando el peso está completo.",
    pick: "Toca abajo una denominación y teclea el peso.",
  },

  phase: {
    none: "Esperando a la báscula",
    empty: "Vacío",
    moving: "Pesando",
    settled: "Estable",
    over: "Sobrecarga",
    under: "Bajo cero",
    withheld: "Ponla otra vez",
  },

  phaseHint: {
    withheld: "El peso no está claro. Levanta la moneda y ponla otra vez.",
    over: "Pesa demasiado para esta báscula. Quítalo.",
    under: "Por debajo de cero. Vuelve a poner el platillo o tara la báscula.",
  },

  line: {
    off: "Sin conexión",
    connecting: "Conectando …",
    open: "Conectado",
    waiting: "Sin línea con la laptop",
    lost: "No se llega a la laptop. No se pierde nada; se sigue intentando.",
    lostHere:
      "El servidor de esta computadora no responde; quizá se detuvo. No se pierde nada; vuelve a iniciar Panside y esta página se conecta sola.",
    back: "Otra vez conectado.",
  },

  judge: {
    laptop: "Lo juzga la laptop porque este teléfono no pudo cargar el motor. Las respuestas son las mismas.",
    laptopShort: "lo juzga la laptop",
    nobody: "Este peso aún no se puede juzgar: el motor no está cargado y no se llega a la laptop.",
    failed: "Este peso no se pudo juzgar. No se pierde nada; levanta la moneda y vuelve a ponerla.",
  },

  keys: {
    label: "Denominación",
    loading: "Cargando el libro de monedas …",
    others: "otras",
    countries: "Teclas bajo la báscula",
    all: "Todas las monedas del libro",
  },

  date: {
    label: "Año y ceca, si los puedes leer",
    clear: "Borrar",
    search: "Fijar fecha",
    searching: "Fija",
  },

  verdict: {
    title: "Veredicto",
    lastCoin: "Moneda anterior",
    before: "antes de moverse",
    provisional: "aún se estabiliza",
    weighing: "Pesando …",
    putCoin: "Pon una moneda en el platillo.",
    pick: "Toca abajo una denominación y pon una moneda en el platillo.",
    withheld: "No hay veredicto con un peso que no es reciente.",
    withheldProblem: "Sin peso no hay veredicto.",
    withheldLoad: "No hay veredicto sin un peso claro.",
    retare: "No hay veredicto con sobrecarga o con un peso negativo.",
  },

  call: {
    ordinary: "Común",
    keeper: "Para guardar",
    either: "Una de dos",
    look: "Mira mejor",
    "cannot-tell": "No se puede saber",
  },

  tolerance: {
    title: "Tolerancia",
    within: "Dentro de la tolerancia de la ceca",
    below: "Por debajo de la tolerancia de la ceca",
    above: "Por encima de la tolerancia de la ceca",
    inconclusive: "Demasiado justo para decirlo",
    unpublished: "Sin tolerancia publicada",
    belowWorn: "Por debajo de la tolerancia de una moneda nueva; el desgaste lo explica",
    conformity: (share) => `Probabilidad de que esté dentro de la tolerancia: ${share}`,
    nominal: "peso legal",
    limit: (low, high) => `${figure(low)} a ${figure(high)}\u00a0g`,
    offLow: "muy por debajo",
    offHigh: "muy por encima",
    nominalFrom: "Peso legal",
    limitFrom: "Límite",
    grade: "Certeza",
    piece: "Este límite es para una sola moneda nueva. No cuenta el desgaste.",
    batch:
      "Este límite es para el promedio de un lote, no para una sola moneda. Una moneda fuera de él no incumple ninguna regla.",
    noLimit:
      "No hay límite publicado para esta moneda, y no se inventa ninguno. La banda solo muestra el peso legal.",
    picture: (p) =>
      `Peso ${figure(p.weight)} g, más o menos ${figure(p.u)} g. Peso legal ${figure(p.nominal)} g. Límites de ${figure(p.low)} a ${figure(p.high)} g.`,
    pictureNoLimit: (p) =>
      `Peso ${figure(p.weight)} g, más o menos ${figure(p.u)} g. Peso legal ${figure(p.nominal)} g. Sin límites publicados.`,
  },

  grades: {
    P: "texto primario: ley, reglamento o ceca",
    S: "reimpresión o reseña del texto primario",
    C: "calculado con esas cifras",
    "common practice": "costumbre del oficio, sin fuente publicada",
    "from memory": "de memoria, sin cotejar con el texto",
  },

  alloys: {
    title: "Aleaciones",
    of: (coin) => `Aleaciones de: ${coin}`,
    years: "años",
    best: (name, share) => `${name}: ${share}`,
  },

  explanations: {
    title: "Qué podría explicarlo",
    expected: (grams) => `pesaría cerca de ${figure(grams)}\u00a0g`,
    confirm: "Para confirmarlo",
    expert: "merece que la vea un experto",
    likelier: (ratio) => `${rough(ratio)} veces más probable que desgaste o daño común`,
    equal: "casi tan probable como desgaste o daño común",
    lessLikely: (ratio) => `${rough(1 / ratio)} veces menos probable que desgaste o daño común`,
    support: {
      weak: "apoyo débil",
      moderate: "apoyo moderado",
      "moderately-strong": "apoyo bastante fuerte",
      strong: "apoyo fuerte",
      "very-strong": "apoyo muy fuerte",
    },
  },

  next: { title: "Siguiente prueba" },

  inspect: {
    title: "Qué revisar",
    first: "Mira primero",
    searched: (year) => (year ? `En cada ${year}` : "En cada moneda"),
    none: "Toca una denominación para ver qué revisar.",
    loading: "Buscando …",
    empty: "No hay nada en particular para esta moneda.",
    offline: "La lista no se puede cargar en este momento.",
    count: (n) => counted(n, "punto", "puntos"),
    date: "de esta fecha",
    showMore: (n) => `Mostrar ${n} más`,
    showFewer: "Mostrar menos",
    see: "Ves",
    light: "Luz",
    mimics: "No lo confundas con",
    takenFor: "Se confunde con",
    decides: "Qué lo decide",
    weight: "Peso",
    rarity: "Rareza",
    sure: "Fuente",
    explains: "Explicaría el peso",
    besides: "Además",
    lookAlike: "no es un hallazgo",
    cautions: "Ten cuidado",
    sides: {
      obverse: "anverso",
      reverse: "reverso",
      edge: "canto",
      "whole coin": "toda la moneda",
      "both sides": "los dos lados",
      "either side": "cualquier lado",
    },
    rarities: {
      normal: "normal",
      common: "común",
      uncommon: "poco común",
      scarce: "escaso",
      rare: "raro",
      "very rare": "muy raro",
    },
    untranslated: "Lo que aún no está traducido va en inglés.",
  },

  tools: {
    eye: "A simple vista",
    loupe: "Lupa",
    microscope: "Microscopio",
    magnet: "Imán débil",
    scale: "Báscula",
    calipers: "Calibrador",
  },

  firstUse: {
    title: "Primera moneda",
    steps: [
      "Toca la denominación que estás buscando.",
      "Pon una moneda en el platillo. El veredicto llega antes de que la báscula se estabilice.",
      "Levántala y pon la siguiente. La denominación se queda.",
    ],
    done: "Entendido",
  },

  join: {
    joining: "Uniéndose a la laptop …",
    title: "Este dispositivo aún no está unido",
    phoneTitle: "En un teléfono",
    phoneSteps: [
      "Abre la página de Panside en la laptop, o mira su terminal: ahí hay un código cuadrado.",
      "Apunta la cámara del teléfono al código y abre la dirección que encuentra.",
      // The buttons' names are common practice, not checked on each device.
      "La primera vez sale una advertencia de seguridad: el certificado lo hizo tu laptop. Toca “Avanzado” o “Mostrar detalles” y continúa.",
    ],
    laptopTitle: "En la laptop",
    laptopSteps: ["Abre la dirección que Panside escribe en su terminal. Lleva el código de esta laptop."],
    once: "Cada código sirve una vez y solo unos minutos. Si venció, pide otro.",
    expired: "Este código ya se usó o venció. No se pierde nada: pide uno nuevo en la laptop y escanéalo.",
    slow: "De este dispositivo llegaron varios códigos equivocados. No se pierde nada: espera un minuto y prueba otra vez.",
    left: "Este dispositivo dejó la laptop. Tus registros siguen aquí; escanea un código nuevo para volver.",
    tooMany:
      "Se probaron demasiados códigos equivocados, así que la entrada está cerrada. Ábrela otra vez en la laptop y escanea el código nuevo.",
    unreachable:
      "No se llega a la laptop. Revisa que este dispositivo esté en la misma red y que Panside esté funcionando.",
    ended:
      "Este dispositivo se quitó en la laptop. Tus registros siguen aquí; escanea un código nuevo para volver.",
    wrongServer:
      "Este código es de otra laptop o de una clave anterior. Pide uno nuevo en la laptop y escanéalo.",
    failed: "No se pudo unir. Pide un código nuevo en la laptop y prueba otra vez.",
    again: "Probar otra vez",
  },

  deviceNames: {
    iphone: "iPhone",
    ipad: "iPad",
    android: "Teléfono Android",
    windows: "Laptop Windows",
    mac: "Mac",
    linux: "Laptop Linux",
    other: "Teléfono",
  },

  desk: {
    title: "Teléfonos",
    offerTitle: "Unir un teléfono",
    offerHow: "Apunta la cámara del teléfono a este código. Sirve una vez.",
    qrAlt: "Código cuadrado con la dirección de esta laptop y un secreto de un solo uso",
    warns: (address) =>
      `¿El teléfono muestra una advertencia de seguridad? Es normal: el certificado lo hizo tu laptop. Toca “Avanzado” o “Mostrar detalles” y continúa. Para que no vuelva a salir, abre ${address} en el teléfono.`,
    address: "Dirección para el teléfono",
    left: (clock) => `Código nuevo en ${clock}`,
    renew: "Mostrar un código nuevo",
    fetching: "Haciendo un código …",
    offerFailed: "No se pudo hacer un código. Se intenta otra vez.",
    paused: "El código se oculta mientras esta página no está a la vista.",
    closed:
      "Alguien probó demasiados códigos equivocados, así que la entrada está cerrada. Ninguno dejó entrar a nadie, y los teléfonos unidos siguen funcionando.",
    closedHow:
      "¿Fue uno tuyo con un código viejo? Ábrela otra vez. Si no sabes quién fue, quizá alguien en tu red está adivinando: espera hasta que vayas a unir un teléfono.",
    openAgain: "Abrir la entrada otra vez",
    openFailed: "No se pudo abrir. Prueba otra vez.",
    compare:
      "¿La página de un teléfono te pide comparar cuatro líneas? Estas son las de la laptop. Cada letra y cada cifra deben ser iguales.",
    phonesTitle: "Teléfonos y navegadores unidos",
    noPhones: "Aún no hay ningún teléfono.",
    lastSeen: "visto por última vez",
    never: "aún no se ha visto",
    justNow: "hace un momento",
    minutes: (n) => `hace ${counted(n, "minuto", "minutos")}`,
    hours: (n) => `hace ${counted(n, "hora", "horas")}`,
    days: (n) => `hace ${counted(n, "día", "días")}`,
    thisOne: "este dispositivo",
    end: "Quitar",
    endLabel: (name) => `Quitar ${name}`,
    endAsk: (name) =>
      `¿Quitar “${name}”? Conserva sus registros, pero tendrá que escanear un código nuevo para volver.`,
    endYes: "Quitarlo",
    endNo: "Dejarlo",
    endFailed: "No se pudo quitar. Prueba otra vez.",
    listFailed: "La lista no se puede cargar. Se intenta otra vez.",
  },

  practice: {
    title: "Platillo de práctica",
    intro: "No hay una báscula de verdad conectada. Estas monedas van a una virtual.",
    pan: "En el platillo",
    emptyPan: "Nada",
    tray: "Bandeja",
    lift: "Levantar",
    liftLabel: (name) => `Levantar ${name}`,
    clear: "Vaciar el platillo",
    handle: "Mover la báscula",
    bump: "Golpear la mesa",
    tare: "Tarar",
    trouble: "Causar problemas",
    unplug: "Desconectar el cable",
    plug: "Conectarlo",
    garbage: "Mandar basura",
    failed: "Eso no llegó a la báscula virtual. Prueba otra vez.",
    grams: (g) => `${figure(g)}\u00a0g`,
  },

  offline: {
    change: {
      none: "Hay una versión nueva lista.",
      changing: "Actualizando …",
      stuck:
        "La versión nueva aún no pudo entrar. Cierra las demás ventanas y pestañas de Panside y prueba otra vez.",
    },
    take: "Actualizar ahora",
    title: "Sin la laptop",
    states: {
      waiting: "Guardando la app en este dispositivo …",
      ready:
        "La app está guardada en este dispositivo: se abre y juzga pesos tecleados con la laptop cerrada.",
      unsafe:
        "No se abre con la laptop cerrada: esta dirección no está cifrada. Abre la que empieza con https.",
      untrusted:
        "No se abre con la laptop cerrada: este dispositivo aún no confía en el certificado de la laptop. Los pasos para eso:",
      unable:
        "No se abre con la laptop cerrada: este navegador, o este tipo de ventana, no puede guardar apps. Prueba una ventana normal (no privada).",
    },
    steps: "Confiar en esta laptop",
  },

  settings: {
    title: "Ajustes",
    language: "Idioma / Language",
    sameLanguage: "Como el dispositivo",
    notRead: "Español: sin revisar por un hablante nativo.",
    languageFailed:
      "Ese idioma no se pudo cargar, así que sigue el de antes. La próxima vez se intenta de nuevo.",
    theme: "Claro u oscuro",
    themes: { auto: "Como el dispositivo", light: "Claro", dark: "Oscuro" },
    shortcuts: "Atajos de teclado",
    shortcutsHint: "Una sola tecla elige una denominación y más. Apágalos si estorban al dictado por voz.",
    on: "Sí",
    off: "No",
    device: "Este dispositivo",
    name: "Nombre de este dispositivo",
    save: "Guardar",
    saved: "Guardado.",
    saveFailed: "El nombre no se pudo guardar. Prueba otra vez.",
    laptop: "Laptop",
    key: "Su clave",
    hints: "Mostrar otra vez los primeros pasos",
    care: "Cuidado",
    cares: [
      "Mantén los imanes lejos de marcapasos y de los niños. Nunca limpies un hallazgo; nada de ácidos ni disolventes cerca.",
      "Fundir o exportar centavos y monedas de cinco centavos de EE.\u00a0UU. está restringido (31 CFR Part 82); también rigen las leyes de tu país.",
      "No gastes ni vendas una moneda que puede ser falsa. Lo que vale una moneda, y si es auténtica, déjalo a personas con licencia o a expertos.",
    ],
  },

  shortcuts: {
    title: "Teclado",
    intro: "Con un teclado o un teclado numérico:",
    rows: {
      denominations: "Elegir una denominación, en su orden",
      year: "Ir al año",
      clear: "Borrar año y ceca",
      hands: "Empezar manos libres",
      keep: "Guardar la moneda como hallazgo",
      type: "Teclear un peso: cifras, Intro para otra moneda, Esc para la báscula",
      details: "Abrir o cerrar las aleaciones",
      inspect: "Ir a qué revisar",
      help: "Esta lista",
      close: "Cerrar una hoja",
    },
    off: "Están apagados en los ajustes.",
  },

  drawings: drawingTitles,

  ...benchTexts,
  ...cameraTexts,
  ...closeUpTexts,
  ...dialTexts,
  ...handsTexts,
  ...hintTexts,
  ...keepTexts,
  ...ringTexts,
  ...scaleTexts,
  ...sheetTexts,
  ...sidesTexts,
  ...toolTexts,
  ...findTexts,
  ...trustTexts,
  ...wantedTexts,
};
