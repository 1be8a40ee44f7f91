/** What finds, hunts and their way to the laptop say, in Spanish. */
import type { findTexts as English } from "./en-finds";
import { writing } from "./writing";

const { number, counted, figure, listed, plural } = writing("es");

const coins = (n: number) => counted(n, "moneda", "monedas");
const keepers = (n: number) => `${number(n)} para guardar`;
const finds = (n: number) => counted(n, "hallazgo", "hallazgos");
const photos = (n: number) => counted(n, "foto", "fotos");
const record = { find: ["hallazgo", "hallazgos"], hunt: ["búsqueda", "búsquedas"] } as const;

export const findTexts: typeof English = {
  finds: {
    title: "Hallazgos",
    hunts: "Búsquedas",
    back: "Volver a pesar",
    backToList: "Todos los hallazgos",
    loading: "Abriendo los hallazgos …",
    opening:
      "Los hallazgos se abren en cuanto este dispositivo cargue su motor. Mientras tanto se puede pesar.",
    pages: "Hallazgos y búsquedas",

    keep: (label) => `Guardar ${figure(label)}`,
    keepNone: "Nada que guardar",
    keepFor: (hunt) => `Búsqueda: ${hunt}`,
    keepPaused: (hunt) => `En pausa: ${hunt}`,
    keeping: "Guardando …",
    kept: (label) => `${figure(label)}: guardado`,
    details: "Agregar detalles",

    onlyHereLabel: "Lo que solo está aquí",
    onlyHere: (n, onDesk) => {
      const parts = [
        n.finds > 0 ? finds(n.finds) : "",
        n.hunts > 0 ? counted(n.hunts, "búsqueda", "búsquedas") : "",
        n.others > 0 ? counted(n.others, "registro más", "registros más") : "",
        n.photos > 0 ? photos(n.photos) : "",
      ].filter(Boolean);
      return `${listed(parts)} solo en este ${onDesk ? "navegador" : "teléfono"}`;
    },
    allThere: "Todo está también en la laptop.",
    sendingEntries: "Mandando a la laptop …",
    sendingPhotos: (done, of) => `Mandando fotos: ${done} de ${of}`,
    soon: "Se manda en un momento.",
    unread: (n) => `La laptop tiene ${photos(n)} y ${plural(n, "la", "las")} lee una vez más de su disco.`,
    waiting: "Se sincroniza cuando la laptop esté al alcance.",
    syncFailed: "La sincronización se detuvo de forma inesperada. No se pierde nada; recarga la página.",
    laptopSays: (sentence) => `La laptop dice: ${sentence}`,
    endedStore: "Las novedades de la laptop no se pudieron guardar en este teléfono.",
    leftOver: "La laptop no lo tomó todo:",
    sendNow: "Mandar ahora",
    unreadable: (n) =>
      `${counted(n, "entrada", "entradas")} de este teléfono no se ${plural(n, "puede", "pueden")} leer. Lo que tiene la laptop no se toca por eso.`,
    unreadableThere: (n) =>
      `La laptop tiene ${counted(n, "entrada", "entradas")} que esta app no puede leer, así que a un hallazgo o a una búsqueda le puede faltar algo aquí. No se pierde nada: la laptop ${plural(n, "la", "las")} conserva.`,
    unreadableThereWhy:
      "Quizá las escribió una versión más nueva de la app. Cierra esta app en todas las pestañas, ábrela otra vez al alcance de la laptop y toma la versión nueva que ofrece.",

    storing: "Cómo se guardan los hallazgos aquí",
    askAgain: "Pedirlo otra vez al navegador",
    persisted: "El navegador prometió conservar los hallazgos aunque falte espacio.",
    notPersisted:
      "El navegador no prometió conservar los hallazgos si falta espacio. Llévalos pronto a la laptop; una app puesta en la pantalla de inicio recibe la promesa con más facilidad.",
    originals: "Conservar también los originales de las fotos",
    originalsHint:
      "Cada foto se guarda más pequeña y sin el lugar donde se tomó. Los originales ocupan varias veces más.",

    store: {
      full: "El espacio de este teléfono está lleno. Esto no se guardó. Libera espacio, o deja que las fotos vayan a la laptop, y prueba otra vez.",
      lost: "El navegador cerró el almacén del teléfono y no lo volvió a abrir. Esto no se guardó. Recarga la página y prueba otra vez.",
      newer: "Otra ventana usa una versión más nueva de esta app. Esto no se guardó. Recarga esta página.",
      forbidden:
        "Este navegador no le da almacén a la app, quizá porque la ventana es privada. Aquí no se puede guardar nada; abre la app en una ventana normal.",
      failed: "El almacén del teléfono falló. Esto no se guardó. Recarga la página y prueba otra vez.",
    },
    photoTrouble: {
      "too-big": "Este archivo pasa de 25 MB, así que no se guardó. Toma una foto más pequeña.",
      "not-a-photo": "Esto no es una foto JPEG, PNG o WebP, así que no se guardó.",
      "too-many-pixels": "Esta foto pasa de 64 megapíxeles, así que no se guardó.",
      unreadable: "Esta foto no se puede leer, así que no se guardó. Tómala otra vez.",
      insecure:
        "Las fotos necesitan la dirección cifrada de la laptop, así que no se guardó nada. Abre la app con el código de la laptop.",
    },
    noCore:
      "Este dispositivo no puede usar el motor de la app, así que no puede guardar hallazgos. No se guardó nada. Prueba otro navegador, o la página de la laptop.",
    failed: "Esto no se pudo guardar. Prueba otra vez.",
    retry: "Probar otra vez",
    dismiss: "Descartar",

    acts: {
      kept: "Guardado.",
      saved: "Guardado.",
      deleted: "Borrado.",
      restored: "Recuperado.",
      photo: "Foto guardada.",
      undone: "Deshecho.",
      redone: "Hecho de nuevo.",
      hunt: "Guardado.",
    },
    undo: "Deshacer",
    redo: "Rehacer",

    search: "Buscar",
    searchHint: "moneda, año, etiqueta, nota …",
    filter: "Filtrar y ordenar",
    any: "todos",
    sort: "Ordenar",
    sorts: {
      newest: "primero los nuevos",
      oldest: "primero los viejos",
      coin: "por moneda",
      weight: "por peso",
    },
    showDeleted: "Los borrados",
    total: finds,
    more: "Mostrar más",
    empty: "Aún no hay hallazgos.",
    emptyHint:
      "Pesa una moneda y toca “Guardar”. Queda guardada al instante en este teléfono y se sincroniza con la laptop.",
    nothing: "Ningún hallazgo coincide. Prueba con menos palabras o con otro filtro.",
    choose: "Elige un hallazgo para verlo completo.",
    conflictsHere: (n, kind) =>
      `${counted(n, `${record[kind][0]} se escribió`, `${record[kind][1]} se escribieron`)} también en otro teléfono. Elige lo que cuenta.`,
    overlookedHere: (n, kind) => {
      const [one, many] =
        kind === "find"
          ? ["hallazgo borrado fue cambiado", "hallazgos borrados fueron cambiados"]
          : ["búsqueda borrada fue cambiada", "búsquedas borradas fueron cambiadas"];
      return `${counted(n, one, many)} por alguien que no lo había visto. ¿${kind === "find" ? plural(n, "Lo", "Los") : plural(n, "La", "Las")} conservas o no?`;
    },
    tagOnlyHere: "solo aquí",
    tagConflict: "escrito dos veces",
    tagDeleted: "borrado",

    unnamed: "Moneda",
    coin: "Moneda",
    country: "País",
    denomination: "Denominación",
    year: "Año",
    mint: "Marca de ceca",
    noMint: "sin marca",
    unknown: "no se sabe",
    issue: "Emisión",
    bookPage: "En el libro de monedas",

    weight: "Peso",
    asShown: "como lo mostró la báscula",
    meant: (mean, u) => `se toma como ${figure(mean)} ± ${figure(u)}\u00a0g`,
    scale: "Báscula",
    scaleAssumed: "exactitud supuesta, sin medir",
    scaleChecked: (when) => `comprobada con pesas, ${when}`,
    byCamera: "leído por cámara y confirmado con un toque",
    typedWeight: "tecleado a mano",
    trace: (n, seconds) => `${counted(n, "lectura", "lecturas")} en ${figure(seconds)}\u00a0s`,
    tracePicture: (from, to) => `Las lecturas de la báscula, entre ${figure(from)} y ${figure(to)}.`,
    weighing: "Cómo se pesó",
    noWeight: "sin pesar",
    edit: "Editar",
    editDone: "Listo",
    found: "Encontrado",

    what: "Qué es",
    kind: "Tipo",
    certainty: "Qué tan seguro",
    certainties: { certain: "seguro", likely: "probable", guess: "una idea" },
    note: "Nota",

    photos: "Fotos",
    noPhoto: "Aún no hay foto.",
    camera: "Cámara",
    file: "De un archivo",
    photoBusy: "Leyendo la foto …",
    sides: { obverse: "anverso", reverse: "reverso", edge: "canto", detail: "detalle" },
    side: "Muestra",
    photoOf: (side) => `Foto: ${side}`,
    photoPlain: "Foto",
    photoGone: "Esta foto solo está en la laptop, que está fuera de alcance.",
    place: "Lugar en la moneda",
    placeHint: "Toca el punto que muestra la foto.",
    placeWords: (clock, ring) =>
      ring === "centre" ? "centro" : `a las ${clock}, ${ring === "rim" ? "junto al listel" : "en el campo"}`,
    placeClear: "Sin lugar",
    removePhoto: "Quitar la foto",
    original: "Abrir el original",
    photoBack: "Volver al hallazgo",
    aside: (n) =>
      `${counted(n, "moneda apartada", "monedas apartadas")}, aún sin guardar como ${plural(n, "hallazgo", "hallazgos")}.`,
    asideKeep: (n) => plural(n, "Hacerla hallazgo", "Hacerlas hallazgos"),
    shared: (n) => `${counted(n, "foto compartida espera", "fotos compartidas esperan")} un hallazgo.`,
    sharedTake: "Ponerla aquí",

    lies: "Guardado en",
    lyingIn: "En",
    lyings: {
      flip: "funda",
      tube: "tubo",
      album: "álbum",
      box: "caja",
      envelope: "sobre",
      other: "otra cosa",
    },
    label: "Etiqueta",
    where: "Dónde se guarda",

    fate: "Qué sigue con él",
    fates: {
      keep: "conservar",
      "second-opinion": "segunda opinión",
      trade: "cambiar",
      spend: "gastar",
      bank: "de vuelta al banco",
    },
    fateCautions: {
      keep: "Consérvalo seco, en plástico inerte. Nunca lo limpies.",
      "second-opinion": "Solo un experto puede decir si es auténtico y cuánto vale.",
      trade:
        "Lo que vale, y si es auténtico, déjalo a personas con licencia o a expertos. No vendas una moneda que puede ser falsa.",
      spend:
        "No gastes una moneda que puede ser falsa. Fundir monedas es ilegal en muchos lugares; rige la ley de tu país.",
      bank: "No deposites como buena una moneda que puede ser falsa; díselo al banco. Fundir monedas es ilegal en muchos lugares; rige la ley de tu país.",
    },
    hunt: "Búsqueda",
    noHunt: "ninguna",

    conflict: (field) => `${field}: escrito también en otro teléfono`,
    conflictHint: (others) =>
      others === 1
        ? "Se conservan los dos. Elige cuál cuenta; el otro queda en el historial."
        : "Se conservan todos. Elige cuál cuenta; los demás quedan en el historial.",
    choice: "Tomar este",
    takenAway: "quitado",
    shownNow: "el que se muestra",

    history: "Historial",
    states: { shown: "ahora", beside: "junto a él", replaced: "antes" },
    again: "Tomar este otra vez",
    delete: "Borrar este hallazgo",
    deleteHint: "Lo puedes recuperar en cualquier momento.",
    deleted: "Este hallazgo está borrado. Todavía lo puedes recuperar.",
    deletedUnseen: (deleter, others, what) =>
      `Se borró en ${deleter}, pero en ${listed(others)} se cambió sin haberlo visto: ${what}.`,
    deletedAndChanged: (deleter, _others, what) =>
      `Se borró en ${deleter}, y ahí mismo se cambió después: ${what}.`,
    deletedWhen: (deleted, changed) => `Se borró: ${deleted}. Se cambió: ${changed}. Según sus relojes.`,
    changedTo: (field, value) => `${field} (${value})`,
    keepAfterAll: "Conservar",
    deleteAfterAll: "Borrar",
    thisPhone: (onDesk) => (onDesk ? "esta computadora" : "este teléfono"),
    anotherPhone: "otro teléfono",
    writtenBy: (phone, when) => `${phone}, ${when}`,
    restore: "Recuperarlo",
    gone: "Este registro no está en este teléfono. Puede llegar con la próxima sincronización.",

    fields: {
      deleted: "Borrado",
      note: "Nota",
      hunt: "Búsqueda",
      found: "Encontrado",
      coin: "Moneda",
      weight: "Peso",
      trace: "Lecturas",
      verdict: "Veredicto",
      gist: "Veredicto",
      evidence: "Visto y probado",
      kind: "Tipo",
      certainty: "Qué tan seguro",
      photo: "Foto",
      lies: "Guardado en",
      fate: "Qué sigue con él",
      source: "Origen",
      place: "Lugar",
      country: "País",
      denomination: "Denominación",
      rolls: "Rollos",
      coins: "Monedas",
      searched: "Revisadas",
      paid: "Pagado",
      returned: "Devuelto",
      begun: "Empezada",
      ended: "Terminada",
      pause: "Pausa",
      roll: "Rollo",
      count: "Monedas contadas",
      metal: "Monedas contadas",
    },
  },

  hunts: {
    empty: "Aún no hay búsquedas.",
    emptyHint:
      "Una búsqueda es un frasco, una caja o un juego de rollos, de principio a fin. Cuenta lo que pesas.",
    start: "Nueva búsqueda",
    askSource: "¿De dónde vienen las monedas?",
    askSourceHint:
      "Se pregunta una vez. La plata es más rara en rollos del banco que en un frasco, y de eso dependen las probabilidades.",
    backToList: "Todas las búsquedas",
    choose: "Elige una búsqueda para verla completa.",
    states: { planned: "sin empezar", going: "en marcha", paused: "en pausa", ended: "terminada" },
    source: "De dónde vienen las monedas",
    sources: {
      jar: "frasco",
      rolls: "rollos del banco",
      box: "caja del banco",
      inherited: "heredadas",
      shop: "tienda",
    },
    places: {
      jar: "Qué frasco",
      rolls: "Sucursal, con un apodo",
      box: "Qué caja",
      inherited: "De quién, en una palabra",
      shop: "Tienda, con un apodo",
    },
    placeHint: "como tú la llames",
    rolls: "Rollos",
    coins: "Monedas",
    searched: "Revisadas, a mano",
    paid: "Pagado, valor facial",
    returned: "Devuelto",
    currency: "Moneda de pago",
    begin: "Empezar",
    pause: "Pausa",
    goOn: "Seguir",
    end: "Terminar",
    reopen: "Seguir después de todo",
    endsBeforeBegin: "Esta búsqueda termina antes de empezar. Corrige abajo una de las dos horas.",
    severalGoing: (n, counting) =>
      `Hay ${n === 2 ? "dos" : number(n)} búsquedas en marcha. Las monedas solo se cuentan para ${counting}.`,
    endOther: (hunt) => `Terminar ${hunt}`,
    time: "Tiempo",
    minutes: (m) => (m < 60 ? `${m}\u00a0min` : `${Math.floor(m / 60)}\u00a0h ${m % 60}\u00a0min`),
    progress: "Rollo por rollo",
    roll: (n) => `Rollo ${n}`,
    rollDone: "listo",
    rollCoins: coins,
    nextRoll: (n, of) => `Rollo ${n} listo, ${coins(of)}`,
    coinsPerRoll: "Monedas por rollo",
    counted: "Juzgadas en la báscula",
    countedNone: "Aún ninguna. Aquí se cuentan las monedas que se pesan durante la búsqueda.",
    oneLess: "Una menos",
    oneLessOf: (call) => `Una menos, ${call}`,
    calls: {
      ordinary: "comunes",
      keeper: "para guardar",
      either: "una de dos",
      look: "por mirar",
      "cannot-tell": "no se puede saber",
    },
    account: "Cuenta",
    accountHint: "Solo valor facial. Lo que vale un hallazgo lo dice un experto.",
    searchedTotal: "Monedas revisadas",
    findsTotal: "Hallazgos",
    keepersTotal: "Para guardar",
    lookTotal: "Por mirar",
    metals: "Por metal",
    allKeepers: "para guardar",
    keepersOf: keepers,
    get perThousand() {
      return `Hallazgos en ${number(1000)} monedas`;
    },
    still: "Aún aquí",
    bySource: "Por origen",
    sum: (amount, currency) => `${figure(amount)} ${currency}`,
    findsOf: "Hallazgos de esta búsqueda",
    findsNone: "Aún ninguno. Aquí sale lo que guardas durante la búsqueda.",
    delete: "Borrar esta búsqueda",
    deleted: "Esta búsqueda está borrada. Todavía la puedes recuperar, y sus hallazgos se quedan.",
    searchedRow: (n, found, kept) =>
      [coins(n), kept > 0 ? keepers(kept) : "", finds(found)].filter(Boolean).join(", "),
  },
};
