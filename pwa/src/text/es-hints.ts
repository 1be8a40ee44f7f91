/** Lo que la segunda mirada dice de las pistas y de la luz lateral guardada, en español; una parte de los textos de es.ts. */
import type { Text } from "./en";
import { writing } from "./writing";

const { counted, figure } = writing("es");

const oneIn = (rate: number): string => `1 de cada ${Math.round(1 / Math.max(rate, 1e-6))}`;

export const hintTexts: Pick<Text, "hints" | "keptLight"> = {
  hints: {
    hint: "La forma de tu moneda se compara con la de una moneda común tuya, del mismo tipo y la misma cara. Los lugares donde más difieren llevan número: son lugares para mirar. Una pista nunca cambia el veredicto.",
    needs: "Lo que hace falta",
    there: "está",
    missing: "falta",
    mine: "Esta moneda, iluminada desde cuatro lados",
    lightIt: "Iluminarla ahora",
    ordinary: "Una moneda común tuya de este tipo y esta cara, iluminada desde cuatro lados",
    howOrdinary:
      "Toma una moneda de este tipo que sepas que es común y guárdala como hallazgo. Abre aquí su foto de esta cara, ilumínala desde cuatro lados, guarda las fotos y hazla tu referencia.",
    openReference: "Abrir tu referencia",
    isReference: "Esta moneda es tu referencia. Las pistas son para las demás de su tipo.",
    other: "La otra cara, iluminada desde cuatro lados; solo para buscar un choque de cuños",
    openOther: "Abrir la otra cara",
    noOther: "Este hallazgo no tiene foto de la otra cara.",
    noFind:
      "Las pistas necesitan un hallazgo, porque tu moneda común se guarda por tipo. Guarda la moneda y abre su foto aquí.",
    noFace:
      "Esta foto no es de una cara entera. Abre la foto del anverso o del reverso del hallazgo, o di en la página de la foto qué cara muestra.",
    noCoin: "No se sabe qué moneda es, así que tampoco qué es común. Dilo en la página del hallazgo.",
    noSize: "No se sabe el tamaño de la moneda. Teclea su diámetro en Borde.",
    seek: "Buscar diferencias",
    again: "Buscar otra vez",
    comparing: "Comparando las dos …",
    notHad: "Las fotos guardadas no están a mano. Están en la laptop; únete a ella y prueba otra vez.",
    none: "Ningún lugar difiere más de lo que difieren entre sí las monedas comunes. Eso no prueba nada: lo pequeño o tenue queda por debajo del límite.",
    found: (n) => `${counted(n, "lugar", "lugares")} para mirar. Toca uno.`,
    list: "Lugares para mirar, por número",
    kinds: {
      "second-image": "Una segunda imagen aquí",
      "other-side": "Se nota la otra cara",
      differs: "La forma difiere aquí",
    },
    shifted: (mm, toward) => `A unos ${figure(mm)}\u00a0mm, ${toward}.`,
    toward: [
      "hacia la derecha",
      "hacia arriba a la derecha",
      "hacia arriba",
      "hacia arriba a la izquierda",
      "hacia la izquierda",
      "hacia abajo a la izquierda",
      "hacia abajo",
      "hacia abajo a la derecha",
    ],
    turned: (degrees) => `El diseño de la otra cara, en espejo y girado ${figure(degrees)}°, en el campo.`,
    unlike: "Aquí hay algo que tu moneda común no tiene, o al revés.",
    alike: {
      "second-image":
        "Un cuño doblado, la duplicación mecánica y un cuño gastado se parecen vistos desde arriba. Los puntos de abajo los distinguen.",
      "other-side":
        "Lo hacen los cuños que chocaron. También dos monedas prensadas una contra otra fuera de la ceca, y el azar.",
      differs: "Un cuño desportillado, una letra tapada o que falta, la suciedad y un daño se parecen aquí.",
    },
    rendered: (rate, coins) =>
      `A lo sumo ${oneIn(rate)} monedas comunes recibe una marca así, contado en ${coins} monedas simuladas. No se ha probado con tu cámara.`,
    own: (rate, coins) =>
      `Más o menos ${oneIn(rate)} monedas comunes recibe una marca así, según ${coins} monedas comunes tuyas.`,
    enlarge: "Ampliarlo",
    swap: { ordinary: "Mostrar aquí mi moneda común", other: "Mostrar la otra cara" },
    swapBack: "Mostrar esta moneda otra vez",
    tick: "Ya lo miré",
    ticked: "mirado",
    untick: "Aún no lo he mirado",
    lookFor: "Qué buscar en esta moneda",
    lookWaiting: "Preguntando al libro de monedas …",
    lookNone: "No se puede preguntar al libro de monedas. El nombre se puede encontrar sin él.",
    key: "Encontrar su nombre, pregunta por pregunta",
    calibration: "Probarlo con tu cámara",
    calibrationHint: (n) =>
      `Tus monedas comunes dicen cuántas veces una marca no significa nada con tu cámara y tu lámpara. A partir de ${n} monedas, ellas ponen el límite.`,
    counted: (n, of) => `${n} de ${of} monedas comunes hasta ahora.`,
    setBy: (n) => `El límite lo ponen ${counted(n, "moneda común tuya", "monedas comunes tuyas")}.`,
    teach: "Esta moneda es común: cuéntala",
    taught: "Esta moneda cuenta como común.",
    untaught: "Quitarla otra vez",
    onDevice: "Se guarda en este dispositivo, porque va con su cámara.",
    whose: { ordinary: "Las fotos de tu moneda común", other: "Las fotos de la otra cara" },
    noShape: (whose, why) => `${whose} no dan ninguna forma. ${why}`,
    refusals: {
      "no-relief": "Falta una de las formas. Ilumina la moneda otra vez.",
      "no-fit":
        "Las dos no coinciden: otro tipo u otra cara, o una está borrosa. Revisa que las dos sean de una misma cara e ilumina otra vez la peor.",
      unlike:
        "Las dos formas coinciden demasiado poco para decir qué difiere. Ilumina otra vez las dos con la lámpara algo más alta, o toma otra moneda común.",
      "too-few": "Le queda muy poco relieve para comparar. Con una moneda menos gastada va mejor.",
      stopped: "Parado. No ha cambiado nada.",
      left: "Parado al dejar la página. No se pierde nada.",
      failed: "El programa para imágenes no está o se rompió. No se pierde nada; prueba otra vez.",
    },
  },

  keptLight: {
    keep: "Guardar estas cuatro fotos con el hallazgo",
    keeping: "Guardándolas …",
    kept: "Estas cuatro fotos están guardadas con el hallazgo.",
    use: "Usar las cuatro fotos guardadas",
    loading: "Trayendo las fotos guardadas …",
    needsFace:
      "Para guardarlas, abre primero la foto del anverso o del reverso del hallazgo: se guardan por cara.",
    photo: (side, lamp) => `${side}, ${lamp}`,
    lamps: {
      360: "lámpara a la derecha",
      90: "lámpara arriba",
      180: "lámpara a la izquierda",
      270: "lámpara abajo",
    },
  },
};
