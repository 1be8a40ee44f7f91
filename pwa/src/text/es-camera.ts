/** What the camera that reads a scale's display says, in Spanish. */
import type { cameraTexts as English } from "./en-camera";
import { writing } from "./writing";

const { figure } = writing("es");

export const cameraTexts: typeof English = {
  camera: {
    loading: "Cargando …",
    intro:
      "Para una báscula sin cable: la cámara del teléfono lee su pantalla. Pon la báscula en gramos y apoya el teléfono en un soporte o en una pila de libros, de modo que mire derecho a las cifras.",
    privacy: "La imagen se analiza en este teléfono. No se envía a ninguna parte ni se guarda.",
    start: "Encender la cámara",
    typeInstead: "Teclear los pesos",
    starting: "Encendiendo la cámara …",
    stop: "Apagarla",
    on: "La cámara está encendida.",
    off: "La cámara está apagada.",
    frame:
      "Arrastra las cuatro esquinas hasta las de la pantalla de la báscula, con las cifras y la g adentro.",
    frameKeys: "Con teclado: Tab hasta una esquina y luego las flechas; con Mayús avanzan más.",
    corners: [
      "Esquina superior izquierda",
      "Esquina superior derecha",
      "Esquina inferior derecha",
      "Esquina inferior izquierda",
    ],
    framed: "Esa es la pantalla",
    reframe: "Encuadrar otra vez",
    teach: [
      "Vacía el platillo. Cuando las cifras queden quietas, teclea lo que muestra la pantalla, con todas las cifras.",
      "Ahora pon una moneda. Cuando las cifras queden quietas, teclea lo que muestra la pantalla.",
      "Pon otra cosa y teclea lo que muestra la pantalla.",
    ],
    shows: "La pantalla muestra",
    take: "Enseñarlo",
    allLit: "¿Están encendidos todos los segmentos?",
    allLitHint:
      "Casi todas las básculas los encienden todos al arrancar. Toca mientras lo están; entonces basta con el peso de una moneda.",
    digits: (n: number) => `Encendidas las ${n} cifras`,
    taught: (n: number) => (n === 1 ? "1 enseñado" : `${n} enseñados`),
    reading: "Lista. Pon una moneda: su peso espera tu toque en la vista de pesar.",
    reads: "Por cámara",
    nothing: "Aún no hay número seguro",
    use: (grams: string) => `Tomar ${figure(grams)}\u00a0g`,
    taken: "Confirmado por ti",
    compare: "¿Es lo que muestra la pantalla? Toca para tomarlo.",
    putOn: "Pon una moneda.",
    back: "Volver a la cámara",
    toWeighing: "A pesar",
    settings: "Cámara",
    handsFree: "Manos libres no cuenta lo que lee la cámara: cada peso necesita tu toque.",
    battery: "Queda poca batería. La cámara gasta mucha: conecta el teléfono.",
    asleep:
      "Este navegador deja que se apague la pantalla. Ajusta el teléfono para que tarde más, y conéctalo: la cámara gasta batería.",
    awake:
      "La pantalla sigue encendida mientras lo está la cámara, y las dos gastan batería: para una noche larga, conecta el teléfono.",
    share: "Compartirla con la mesa",
    unshare: "Dejar de compartirla",
    shareHint:
      "Así pesan con esta pantalla todos los que están unidos a la laptop. De este teléfono solo salen los números.",
    shared: "Compartida: toda la mesa ve lo que lee este teléfono. Deja abierta esta página o la de pesar.",
    alone: "Sin la laptop los pesos se quedan en este teléfono.",
    notShared: "La laptop no la aceptó. No se pierde nada; prueba otra vez cuando vuelva la conexión.",
    verdictWaits: "El veredicto llega cuando hayas tomado el peso.",
    by: (phone: string) => `Por cámara, ${phone}`,
    whys: {
      dark: "Está demasiado oscuro para leer la pantalla. Enciende una lámpara, pero no una que brille en el vidrio.",
      turn: "Algo brillante se refleja en la pantalla. Gira un poco el teléfono o la báscula hasta que desaparezca.",
      shade: "Las cifras apenas resaltan. Da sombra a la pantalla con un libro, o enciende su luz.",
      nearer:
        "Las cifras son demasiado pequeñas o no están nítidas. Acerca el teléfono y encuadra la pantalla otra vez.",
      covered: "Hay algo delante de la pantalla. Quítalo y la lectura sigue.",
      moved: "Se movió el teléfono o la báscula. Encuadra la pantalla otra vez.",
      "other-unit":
        "Cambió una marca junto a las cifras. Vuelve la báscula a la unidad en que se le enseñó, o encuádrala y enséñale otra vez.",
      "not-a-display":
        "Lo encuadrado no se parece a esas cifras. Encuadra la pantalla de la báscula y teclea las cifras como están allí.",
      moving: "Las cifras todavía cambian. Espera a que queden quietas.",
      doubt:
        "Este número no se puede leer con seguridad. Levanta la moneda y ponla otra vez, o teclea el peso.",
      off: "La pantalla no muestra nada. Enciende la báscula.",
      busy: "Las cifras acaban de cambiar. Espera a que queden quietas y tecléalas.",
      "bad-text": "Eso no es un número como lo muestra una pantalla. Teclea todas las cifras, con su punto.",
      "too-alike": "Hace falta un peso más. Pon otra cosa en la báscula y teclea lo que muestra.",
      "no-unit":
        "No se ve la marca de la unidad en el cuadro. Hazlo más grande, para que abarque también la g junto a las cifras.",
    },
    troubles: {
      "not-encrypted":
        "Esta página no tiene una dirección cifrada, así que el navegador no le da la cámara. Abre la app por la dirección segura de la laptop; mientras tanto teclea los pesos.",
      none: "No se encontró ninguna cámara. Conecta una y prueba otra vez, o teclea los pesos.",
      refused:
        "La cámara no está permitida. Permítela para esta página en los ajustes del navegador y prueba otra vez, o teclea los pesos.",
      held: "Otro programa tiene la cámara. Ciérralo y prueba otra vez, o teclea los pesos.",
      failed: "El programa de la cámara no arrancó. No se pierde nada. Prueba otra vez, o teclea los pesos.",
    },
  },
};
