/** Lo que dice la segunda mirada a una imagen, en español; una parte de los textos de es.ts. */
import type { Text } from "./en";
import { writing } from "./writing";

const { figure, percent } = writing("es");

export const benchTexts: Pick<Text, "bench"> = {
  bench: {
    loading: "Cargando …",
    open: "Mirar otra vez, con borde y regla",
    intro:
      "Encuentra la moneda en una imagen, mide en ella, ponla sobre otra, ilumínala desde cualquier lado. La imagen misma no cambia nunca.",
    keys: "Las flechas la mueven, más y menos la acercan o alejan, 0 la muestra entera.",
    picture: "La imagen.",
    whole: "Toda",
    larger: "Más grande",
    smaller: "Más chica",
    undo: "Deshacer",
    redo: "Rehacer",
    stop: "Parar",
    steps: {
      rim: "Borde",
      ruler: "Regla",
      over: "Dos imágenes",
      light: "Luz de lado",
      hints: "Pistas",
      sides: "Dos lados",
      mat: "Muchas monedas",
    },
    stepsLabel: "Qué hacer con la imagen",
    backToFind: "Volver al hallazgo",
    noFind: "Desde la foto de un hallazgo, lo medido se guarda con él. Aquí solo se mira.",
    choose: "Elegir una foto",
    another: "Otra imagen",
    gone: "Este hallazgo no está en este dispositivo. No se pierde nada; ábrelo desde la lista.",
    photoGone: "La foto no se puede traer ahora. Está en la laptop; conéctate a ella y abre esto otra vez.",

    troubles: {
      "too-big": "Este archivo pasa de 25 MB, así que no se abre. No se pierde nada; elige uno más chico.",
      "not-a-photo": "No es una imagen JPEG, PNG ni WebP. No se pierde nada; elige otro archivo.",
      "too-many-pixels":
        "Esta imagen pasa de 40 megapíxeles, más de lo que un teléfono sostiene a la vez. No se pierde nada; hazla más chica y elígela otra vez.",
      unreadable: "Esta imagen está rota o cortada y no se puede leer. No se pierde nada; tómala otra vez.",
      insecure:
        "Esto necesita la dirección cifrada de la laptop. No se pierde nada; abre la aplicación con el código de la laptop.",
    },

    rim: {
      hint: "El borde de la moneda da sus milímetros a la imagen.",
      seek: "Encontrar el borde",
      again: "Encontrarlo otra vez",
      seeking: "Buscando el borde …",
      found: (covered) => `Borde encontrado; se ve un canto a lo largo del ${covered}.`,
      byHand: "Borde puesto a mano.",
      handHint:
        "Lo sostienen tres puntos. Lleva cada uno al extremo de la moneda; las flechas también mueven uno.",
      check: "Otro contorno es casi igual de bueno: mira si este queda en el extremo de la moneda.",
      screen:
        "Parece la foto de una pantalla: sus píxeles hacen una rejilla por toda la moneda. Lo que se mide aquí es la imagen de la pantalla; toma la moneda misma.",
      setByHand: "Ponerlo a mano",
      handle: (n) => `Punto ${n} del borde`,
      diameter: "Diámetro, mm",
      byBook: (mm, coin) => `${figure(mm)}\u00a0mm según el libro de monedas: ${coin}.`,
      unsure:
        "Las monedas de esta denominación tienen tamaños distintos. Pon el año al hallazgo, o teclea el diámetro.",
      noCoin: "No se sabe qué moneda es, así que tampoco su tamaño. Teclea el diámetro.",
      keep: "Guardar este borde con el hallazgo",
      kept: "Este borde está guardado con el hallazgo.",
      refusals: {
        none: "No se encontró el contorno de una moneda. Ponla sobre papel liso, entera en la imagen, o pon el borde a mano.",
        two: "Hay más de una moneda en la imagen. Toca la que quieres, fotografía una sola, o pon el borde a mano.",
        "cut-off":
          "Una parte de la moneda queda fuera de la imagen. Tómala otra vez desde más lejos, o pon el borde a mano.",
        doubt: "Se ve demasiado poco del borde para fiarse. Cambia la luz o el fondo, o pon el borde a mano.",
        blurred: "El borde está movido. Sostén quieta la cámara y tómala otra vez, o pon el borde a mano.",
        small: "La moneda tiene muy pocos píxeles aquí. Tómala desde más cerca.",
        "in-one-line":
          "Los tres puntos están en línea, y por ellos no pasa ningún borde. Repártelos alrededor de la moneda.",
        stopped: "Parado. No se buscó más el borde; no ha cambiado nada más.",
        left: "Parado al dejar la página. No se pierde nada.",
        failed:
          "El programa para imágenes no está o se rompió. No se pierde nada; prueba otra vez, o pon el borde a mano.",
      },
    },

    ruler: {
      hint: "Empieza una regla y pon sus puntos donde van. Acerca la imagen hasta ver cada píxel.",
      needsRim:
        "Sin borde y sin diámetro no hay milímetros. Primero encuentra el borde; ahí también se da escala a un acercamiento sin borde.",
      begin: { line: "Longitud", step: "Escalón", angle: "Ángulo", area: "Área" },
      beginHints: {
        line: "de un punto al otro",
        step: "cuánto se aparta el tercer punto de la línea por los dos primeros",
        angle: "en el segundo punto",
        area: "dentro de los puntos",
      },
      none: "No hay ninguna regla sobre la imagen.",
      name: (kind, n) => `${kind} ${n}`,
      point: (ruler, n) => `${ruler}, punto ${n}`,
      share: (p) => `el ${percent(p)} de la cara`,
      about95: "El ± se cumple unas 95 veces de 100: borde, píxeles y mano juntos.",
      more: "Una esquina más",
      fewer: "Una esquina menos",
      drop: "Quitar",
      keep: "Guardar con el hallazgo",
      kept: "Guardada con el hallazgo",
      byEye: "Respondido a simple vista",
      asked: "El veredicto pregunta",
      layOn: "Medirlo",
      use: "Usarla para el veredicto",
      used: "En el veredicto",
      takeOut: "Sacarla del veredicto",
      byMemory:
        "Las longitudes del libro para esto son de memoria. Una moneda que conoces, medida igual, las reemplaza.",
      open: "La regla lo deja abierto: la imagen no es tan nítida o tan grande, o la longitud queda entre las dos.",
      answered: (answer, odds) => `Según la regla: ${answer}, ${odds} a 1.`,
      verdict: "El veredicto ahora",
    },

    camera: {
      forFind: "Cámara en vivo o microscopio",
      title: "Cámara",
      on: "Usar una cámara",
      starting: "Encendiendo la cámara …",
      off: "Apagarla",
      live: "La imagen de la cámara, en vivo",
      freeze: "Tomar la imagen",
      burst: "Tomar la más nítida de 8",
      bursting: (n, of) => `${n} de ${of} …`,
      which: "Cámara",
      any: "la de atrás",
      nameless: (n) => `Cámara ${n}`,
      sharp: (share) =>
        `Nitidez: ${share} de lo mejor de los últimos segundos. Acércala o aléjala hasta el máximo.`,
      keep: "Guardarla con el hallazgo",
      discard: "Descartarla",
      shows: "Qué muestra",
      troubles: {
        "not-encrypted":
          "Esta página no tiene dirección cifrada, así que el navegador no le da la cámara. Abre la aplicación por la dirección segura de la laptop, o elige una foto.",
        none: "No hay cámara, o la elegida ya no está. Conéctala y prueba otra vez, o elige una foto.",
        refused:
          "Se negó la cámara. Permítela para esta página en los ajustes del navegador y prueba otra vez.",
        held: "Otro programa tiene la cámara, o se desconectó. Cierra ese programa y prueba otra vez.",
        failed: "La cámara no arrancó. No se pierde nada; prueba otra vez, o elige una foto.",
      },
    },

    focus: {
      title: "Nítida en todas partes, con varios pasos de foco",
      hint: "Bajo un microscopio solo una parte está nítida a la vez. Deja quietas la moneda y la cámara, gira un poco el foco y añade un paso, de lo más bajo a lo más alto. Luego júntalos.",
      add: "Añadir un paso",
      put: (n) => (n < 2 ? "Juntarlos" : `Juntar los ${n}`),
      forget: "Olvidarlos",
      busy: "Juntándolos …",
      refusals: {
        "too-few": "Hacen falta dos pasos al menos.",
        sizes: "Los pasos tienen tamaños distintos. Olvídalos y toma todos con una cámara.",
        slipped: "La moneda o la cámara se movieron entre los pasos. Olvídalos y tómalos otra vez.",
        failed: "El programa para imágenes no está o se rompió. Los pasos siguen ahí; prueba otra vez.",
      },
    },

    over: {
      hint: "Otra imagen del mismo diseño, puesta sobre esta por el borde y luego por el relieve. La lámpara puede estar en otro lado.",
      with: "Qué otra imagen",
      litPhotos: (n) => `${n} fotos con luz de lado`,
      how: "Cómo se miran las dos",
      looking: {
        beside: "Al lado",
        faded: "Mezcladas",
        blink: "Alternando",
        difference: "Diferencia",
        mirrored: "Otra cara, en espejo",
      },
      otherLabel: "La otra imagen.",
      reference: (side) => `Mi referencia, ${side}`,
      strength: "Fuerza",
      turn: "Girada",
      mirroredHint:
        "Un choque de cuños deja el diseño de la otra cara, en espejo, en los campos. Pon la otra cara sobre esta, gírala y compara los contornos.",
      laying: "Poniendo una sobre la otra …",
      laid: (degrees, u) => `Puesta encima; la otra estaba girada ${figure(degrees)}° ±\u00a0${figure(u)}°.`,
      notAlike:
        "La lámpara estaba en otro lado, así que una diferencia mostraría la lámpara y no las monedas. Toma las dos con la misma luz, o míralas mezcladas.",
      rough:
        "La lámpara estaba demasiado distinta para ponerla más fina: los lugares pueden fallar por algunos píxeles.",
      byRims: "Puesta solo por los dos bordes.",
      again: "Probar otra vez",
      makeReference: "Guardar como mi referencia de este tipo y esta cara",
      isReference: "Esta es tu referencia del tipo y la cara.",
      refusals: {
        "no-rim": "Una de las dos no tiene borde. Encuéntralo, o ponlo a mano, y prueba otra vez.",
        "too-small": "Una de las imágenes tiene muy pocos píxeles de la moneda. Tómala desde más cerca.",
        flat: "En una de ellas hay muy poco relieve para ponerla. Lleva la lámpara a un lado y tómala otra vez.",
        "no-fit":
          "No coinciden: otro diseño u otra cara, o demasiadas diferencias. No se muestra nada encima.",
        ambiguous:
          "Coinciden casi igual en dos giros, así que no se muestra ninguno. Toma una imagen más nítida.",
        stopped: "Parado. No ha cambiado nada.",
        left: "Parado al dejar la página. No se pierde nada.",
        failed: "El programa para imágenes no está o se rompió. No se pierde nada; prueba otra vez.",
      },
    },

    light: {
      hint: "Cuatro fotos de la moneda, que no debe moverse, con la lámpara en cuatro lados. De ellas sale su forma sin su color, para iluminarla desde donde sea. Ahí se ve una duplicación pequeña que ninguna foto sola muestra.",
      sides: ["Lámpara a la derecha", "Lámpara arriba", "Lámpara a la izquierda", "Lámpara abajo"],
      lead: [
        "Sostén la lámpara baja a la derecha de la moneda y toma la imagen. No toques ni moneda ni cámara.",
        "Ahora la lámpara baja, arriba.",
        "Ahora a la izquierda.",
        "Por último, abajo.",
      ],
      now: "ahora",
      later: "después",
      again: "Otra vez",
      take: "Tomar la imagen",
      choose: (left) => `O elige fotos: faltan ${left}, en este orden`,
      making: "Calculando la forma …",
      make: "Calcularla otra vez",
      relief: "La forma de la moneda bajo la luz que sostienes.",
      pad: "Luz: arrástrala, o muévela con las flechas. En el centro está sobre la moneda; en el borde, a su lado.",
      boost: "Relieve",
      shape:
        "La duplicación mecánica se parece mucho a un cuño doblado en una imagen así. Muestra una forma, nunca qué la hizo.",
      refusals: {
        "no-rim":
          "No se encontró el contorno de la moneda en la primera foto. Ponla sobre papel liso, entera en la imagen, y toma todas otra vez.",
        "too-few": "Hacen falta cuatro fotos, una por cada lado de la lámpara.",
        "too-many": "Son más fotos de las que se pueden juntar.",
        sizes:
          "Las fotos tienen tamaños distintos, así que no son de una cámara quieta. Toma todas otra vez.",
        "one-sided": "La lámpara no dio la vuelta a la moneda. Toma una foto por cada lado.",
        dark: "Una de las fotos está muy oscura. Tómala otra vez con más luz.",
        glare: "Una de las fotos es blanca en su mayor parte. Tómala otra vez con menos luz.",
        slipped:
          "La moneda o la cámara se movieron entre las fotos más de lo que se puede corregir. Fíjalas y toma las cuatro otra vez.",
        astray: "Una de las fotos no está girada como dice el disco. Tómala otra vez.",
        stopped: "Parado. Las fotos siguen ahí.",
        left: "Parado al dejar la página. No se pierde nada.",
        failed: "El programa para imágenes no está o se rompió. No se pierde nada; prueba otra vez.",
      },
    },

    mat: {
      hint: "Reparte monedas de un solo tamaño sobre una mesa lisa, ninguna encima de otra, y tómalas desde justo arriba. Se encuentra, se cuenta y se numera cada una, fila por fila.",
      count: "Contar las monedas",
      again: "Probar otra vez",
      counting: "Buscando las monedas …",
      telling: "Distinguiéndolas …",
      found: (n) => (n === 1 ? "1 moneda" : `${n} monedas`),
      teach:
        "Toca una moneda en la imagen o en la lista y di qué es; las que se le parecen la siguen. Para las caras hace falta al menos una moneda de cada una, y con dos de cada una va mejor. El color no prueba el metal: pesa las que recojas.",
      list: "Las monedas por número",
      coin: (n) => `Moneda ${n}`,
      taught: "dicho por ti",
      color: "Color",
      colors: { red: "roja", brown: "café", white: "blanca", grey: "gris" },
      side: "Arriba",
      sides: { heads: "cara", tails: "cruz" },
      pick: "Para recoger",
      up: "Debe quedar arriba",
      acts: { "pick-up": "recoger", turn: "voltear", look: "dudosa, mírala tú", leave: "dejar" },
      todo: { "pick-up": "Para recoger", turn: "Para voltear", look: "Dudosas, para mirarlas tú" },
      refusals: {
        none: "No se encontraron monedas de un mismo tamaño. Repártelas sobre una mesa lisa, todas dentro de la imagen, y tómala otra vez.",
        small: "La imagen tiene muy pocos píxeles para contar monedas. Toma una más grande.",
        "not-there": "Ahí no se encontró ninguna moneda. Toca una que tenga número.",
        stopped: "Parado. Lo contado y lo dicho antes sigue en pie.",
        left: "Parado al dejar la página. No se pierde nada.",
        failed: "El programa para imágenes no está o se rompió. No se pierde nada; prueba otra vez.",
      },
    },
  },
};
