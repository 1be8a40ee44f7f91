/** What hands-free weighing, the pan's holder and the ways onto the home screen say, in Spanish. */
import type { handsTexts as English } from "./en-hands";
import { writing } from "./writing";

const { counted, plural } = writing("es");
const minutes = (n: number) => counted(n, "minuto", "minutos");
const keepers = (n: number) => `${counted(n, "moneda", "monedas")} para guardar`;
const coins = (n: number) => counted(n, "moneda", "monedas");

export const handsTexts: typeof English = {
  hands: {
    title: "Manos libres",
    open: "Manos libres",
    pick: "Para empezar, toca la denominación que estás buscando.",
    begin: (name) => `Empezar con: ${name}`,
    beginHint:
      "Cada moneda se juzga, se anuncia y se cuenta al caer. Las que hay que mirar van a una lista. No hay que tocar nada.",
    began: (name) => `Manos libres: ${name}. Pon una moneda en el platillo.`,
    went: "Manos libres terminó.",
    end: "Terminar",
    mute: "Silencio",
    unmute: "Con sonido",
    again: "Decir otra vez",
    takeBack: "Descontar",
    aside: "Apartar",
    change: (name) => `Denominación: ${name}`,
    options: "Voz, tonos, pedal",
    waiting: "Pon una moneda en el platillo.",
    lying: "La moneda del platillo no se cuenta. Levántala y empieza.",
    paused: (name) => `${name} está en la báscula. Aquí no se cuenta nada.`,
    caption: "Lo último que se dijo",
    tally: "Hasta ahora",
    summaryTitle: "Esta sesión",
    keepersTotal: keepers,
    toLookAt: (numbers) => `${numbers.length} por mirar: ${numbers.map((n) => `n.º\u00a0${n}`).join(", ")}`,
    summaryFinds: "A los hallazgos",
    countTitle: "Contadas",
    total: coins,
    none: "Aún no se cuenta nada.",
    missed: (n) => `${coins(n)} ${plural(n, "levantada", "levantadas")} demasiado pronto`,
    unseen: (n) => `${coins(n)} sin contar: se perdió la conexión`,
    noted: "fecha sin leer",
    keepKind: (label) => `Apartar cada una: ${label}`,
    reset: "Volver a cero",
    resetDone: "La cuenta está otra vez en cero.",
    undo: "Deshacer",
    asideTitle: "Apartadas",
    asideNone: "No hay nada apartado. Las monedas que hay que mirar salen aquí.",
    asideNumber: (n) => `N.º\u00a0${n}`,
    remove: "Quitar de la lista",
    removeLabel: (n, words) => `Quitar la n.º\u00a0${n}: ${words}`,
    early: "levantada demasiado pronto",
    byHand: "apartada a mano",
    isFind: "Ya es un hallazgo.",
    full: "La lista está llena. Quita las monedas que ya viste.",
    silent: {
      missing: "Este dispositivo no tiene una voz en español: léelo aquí.",
      muted: "En silencio: léelo aquí.",
      off: "La voz está apagada: léelo aquí.",
    },
    dark: "Este navegador no puede dejar la pantalla encendida. Pon un tiempo de espera largo en los ajustes del dispositivo.",
    noTones: "Este navegador no puede tocar tonos.",
    said: {
      missed: "Levantada demasiado pronto. Pésala otra vez.",
      unseen: (n) => `${coins(n)} sin contar. ${plural(n, "Pésala", "Pésalas")} otra vez.`,
      weighsAgain: "La báscula vuelve a pesar.",
      scaleBack: "La báscula está de vuelta. Aún no muestra un peso.",
      summary: (s) =>
        [
          `${coins(s.coins)} en ${minutes(s.minutes)}`,
          s.keepers > 0 ? keepers(s.keepers) : "",
          s.aside.length > 0 ? `${s.aside.length} por mirar` : "",
        ]
          .filter(Boolean)
          .join(", ")
          .concat("."),
      onlyCounted: "Desde ahora estas solo se cuentan.",
      amended: (words) => `Ahora: ${words}`,
      takenBack: (words) => `Descontada: ${words}`,
      nothingToTakeBack: "No hay nada que descontar.",
      asideByHand: (n) => `Apartada con el número ${n}.`,
      nothingToSetAside: "No hay ninguna moneda que apartar.",
    },
    aloud: { grams: "gramos", percent: "por ciento", range: "a" },
    asideAs: (n) => `Número ${n}.`,
    keys: {
      title: "Teclas de manos libres",
      rows: {
        aside: "Apartar la última moneda",
        again: "Decirlo otra vez",
        takeBack: "Descontar la última",
        mute: "Sonido sí o no",
        end: "Terminar manos libres",
      },
      pedalRow: "El pedal, que se elige en “Voz, tonos, pedal”",
      space: "Espacio",
    },
  },

  handsOptions: {
    title: "Voz, tonos, pedal",
    voice: "Voz",
    voiceAuto: "Como el dispositivo",
    voiceNone: "Este dispositivo no tiene una voz en español. Los subtítulos y los tonos sí funcionan.",
    rate: "Ritmo",
    rates: { "0.8": "lento", "1": "normal", "1.3": "ágil", "1.6": "rápido", "2": "lo más rápido" },
    say: "Decir",
    says: { every: "Cada moneda", aside: "Lo que se aparta", nothing: "Nada" },
    tones: "Tonos",
    toneNames: {
      older: "Aleación antigua: una nota grave",
      newer: "Aleación de hoy: dos notas agudas",
      keeper: "Para guardar: una nota larga y aguda",
      look: "Mira esta: tres que suben, dos veces",
      unsure: "No se puede saber: una grave que baja",
    },
    play: (name) => `Tocar: ${name}`,
    tryVoice: "Oír la voz",
    trial: "Centavo de bronce.",
    shake: "Vibración",
    captions: "Subtítulos grandes",
    pedal: "Pedal",
    pedalHint: "Un pedal es un teclado de una tecla. Elige qué hace y písalo aquí una vez.",
    pedalSet: "Elegir la tecla del pedal",
    pedalWait: "Pisa el pedal …",
    pedalNone: "ninguna",
    pedalKey: (key) => `Tecla: ${key}`,
    pedalClear: "Olvidar la tecla",
    on: "Sí",
    off: "No",
  },

  pan: {
    label: "El platillo",
    holds: "en la báscula",
    other: (name) => `${name} está en la báscula.`,
    follows: (name) => (name ? `Allá se pregunta por: ${name}.` : "Este dispositivo mira."),
    takeOver: "Tomar el turno",
    news: {
      mine: (from) => `Ahora estás en la báscula; ${from} mira.`,
      lost: (to) => `${to} tomó la báscula.`,
      held: (by) => `${by} está en la báscula, así que ese toque no contó.`,
      free: "La báscula está libre otra vez.",
    },
  },

  layout: {
    hand: "Teclas para el pulgar de",
    hands: { right: "Mano derecha", left: "Mano izquierda" },
  },

  install: {
    title: "En la pantalla de inicio",
    done: "Panside está abierto como app.",
    offer: "Instálala en este dispositivo: se abre al instante, a pantalla completa, también sin la laptop.",
    act: "Instalar",
    taken: "Instalando …",
    // The browsers' menus in words of their own; common practice, not checked on each device.
    steps: {
      ios: [
        "Abre esta página en el navegador que venía con el teléfono.",
        "Toca el signo de compartir: un cuadrado del que sale una flecha.",
        "Elige agregarla a la pantalla de inicio.",
      ],
      android: [
        "Abre el menú del navegador: los puntos en la orilla.",
        "Elige instalar la app o agregarla a la pantalla de inicio.",
      ],
      desktop: [
        "Busca el signo de una pantalla con una flecha al final de la barra de direcciones.",
        "O abre el menú del navegador y elige instalar la página como app.",
      ],
    },
    trustFirst: "Se puede instalar cuando este dispositivo confíe en el certificado de la laptop.",
  },

  shared: {
    label: "Fotos compartidas",
    waiting: (n) => `${counted(n, "foto compartida espera", "fotos compartidas esperan")} un hallazgo.`,
    drop: "Desechar",
    thrown: (n) =>
      `${counted(n, "foto compartida se desechó", "fotos compartidas se desecharon")}. Las de tu galería siguen ahí.`,
  },
};
