/** What the drawings show, in Spanish, by their names; what stands before a colon is what one is called. */
export const drawingTitles: Record<string, string> = {
  altered: "Lupa sobre una fecha: rayas y una costura alrededor de una cifra",
  "bad-annealing":
    "Dos monedas en equilibrio: una común y otra con la piel oscura y pareja y los mismos detalles nítidos",
  "bimetal-error":
    "Moneda de dos metales: el núcleo queda fuera del centro sobre el aro; su lugar va con guiones",
  "blank-planchet":
    "A la izquierda, un disco plano hasta la orilla. A la derecha, un cospel con el listel levantado. Abajo, los dos cortados",
  broadstrike: "Moneda ancha sin listel, con todo el diseño",
  brockage: "Una cara normal y la otra con su imagen hundida, como en espejo",
  "clipped-planchet": "Moneda a la que le falta un pedazo curvo, con el listel débil en el lado opuesto",
  counterfeit: "Moneda con granos y letras blandas, y una costura en el canto",
  "counting-machine-damage":
    "Moneda con un surco curvo y brillante de un solo ancho a través de la cabeza, el metal arrastrado a su final",
  cud: "Moneda con una mancha lisa en relieve junto al listel",
  damage: "Moneda con un tajo, una abolladura y el listel doblado",
  "date-style": "Dos fechas con cifras de distinto tamaño",
  "design-type": "Dos reversos del mismo año, uno junto al otro",
  "die-break": "Moneda con una línea en relieve que sale del listel",
  "die-cap":
    "A la izquierda, una moneda que subió por el cuño como una corcholata, con el cospel siguiente debajo. A la derecha, una moneda que acuñó, con la cabeza extendida y borrosa",
  "die-chip": "Lupa sobre una cifra con el hueco relleno de metal",
  "die-clash": "Moneda con líneas fantasma del otro lado junto a la cabeza",
  "die-gouge": "Moneda con una barra recta en relieve sobre el diseño",
  "double-denomination": "Moneda cuyo diseño está sobre el diseño de otra moneda",
  "doubled-die":
    "A la izquierda, un cuño doblado: dos letras redondas de la misma altura, con los remates partidos. A la derecha, lo que no es: una franja plana y baja",
  "dropped-letter": "Moneda con una letra hundida suelta en el campo",
  "dryer-coin":
    "Moneda angosta con un listel grueso y golpeado sobre las letras. Con guiones, su ancho debido. Abajo, cortada",
  "edge-error": "Tres cantos: con letras, con letras dos veces, liso",
  "environmental-damage": "Moneda picada y corroída por todas partes",
  "filled-die": "Leyenda con una letra que se apagó",
  "gas-bubble":
    "Lupa: las letras siguen sobre un bulto redondo. Abajo, el metal cortado, con un hueco dentro",
  indent: "Moneda con un hueco liso junto al listel, con la curva del cospel que tenía encima",
  "key-colour": "Una moneda de dos colores",
  "key-edge": "Una moneda vista de canto",
  "key-expert": "Una cámara sobre una moneda",
  "key-extra": "Una moneda con un signo de más",
  "key-missing": "Una moneda a la que le falta una parte",
  "key-place": "Una moneda con el diseño corrido y girado",
  "key-start": "Una moneda bajo un signo de interrogación",
  "key-style": "Dos fechas distintas",
  "key-weigh": "Una moneda en el platillo de una báscula",
  lamination: "Moneda con una hojuela levantada de su superficie",
  "lettering-style": "Dos letras juntas y separadas",
  "low-mintage": "Lupa sobre la fecha y la marca de ceca",
  "metal-streaks":
    "Moneda con bandas rectas de otro color, todas en un sentido, sobre la cabeza y el campo por igual",
  "mint-mark-style": "Dos marcas de ceca de distinto tamaño",
  "misaligned-die":
    "Las dos caras de una moneda: la primera corrida, con letras sobre la orilla de un lado y un listel ancho del otro; la segunda en su lugar",
  "missing-clad-layer": "Corte de una moneda chapada entera y de una sin su capa de arriba",
  "missing-designer-initials": "El lugar de las iniciales del diseñador en el hombro, vacío",
  "missing-mint-mark": "Moneda con un lugar vacío bajo la fecha",
  mule: "Dos caras que no van juntas",
  "multiple-strike": "Dos diseños, el segundo sobre el primero",
  "off-centre": "Diseño corrido, con una media luna en blanco",
  "over-mint-mark": "Lupa sobre una marca de ceca: otra letra debajo",
  overdate: "Lupa sobre la fecha: un 7 debajo del 8",
  "partial-collar":
    "Moneda vista de canto: arriba un reborde liso y ancho, abajo el canto normal con sus estrías",
  "planchet-crack": "Moneda con una grieta oscura y dentada del listel a la cabeza",
  "plating-blister": "Lupa: burbujas huecas en la piel y una cortada",
  "proof-in-circulation": "Moneda con campos de espejo y listel recto",
  "repunched-date": "Lupa sobre la fecha: una cifra punzonada dos veces",
  "repunched-mint-mark": "Lupa sobre una marca de ceca: partes de la misma letra a su lado",
  "retained-break": "Moneda con una grieta que separa un pedazo, un escalón más alto",
  "road-damage": "Moneda con surcos, hoyos y raspones en todos los sentidos, también sobre el listel",
  "rotated-dies": "Anverso derecho, reverso girado",
  "shattered-die": "Moneda con muchas grietas a través de la cara",
  "split-planchet": "La mitad delgada de una moneda, con una cara áspera y rayada",
  "strike-doubling":
    "A la derecha, duplicación mecánica: una franja plana y baja cortada de una letra. A la izquierda, un cuño doblado: dos letras de la misma altura",
  "struck-through":
    "Moneda con un hilo hundido sobre la cabeza, sin diseño en él, y la trama de una tela en el campo",
  "transitional-alloy": "Cantos de dos años: uno con línea del núcleo y otro sin ella",
  "us-1979-s-mark/clear": "S clara: una letra nítida, con los dos huecos libres",
  "us-1979-s-mark/filled": "S tapada: una mancha con los dos huecos casi cerrados",
  "us-1981-s-mark/flat":
    "S plana: arriba es una repisa plana que acaba en un botón grande, y los huecos son redondos",
  "us-1981-s-mark/rounded":
    "S redondeada: arriba es una curva, las puntas son botones pequeños y los huecos son ovalados",
  "us-cent-1960-date/large":
    "Fecha grande: la punta del 1 queda más baja que la del 9, la cola del 6 se estira sobre su hueco y el 0 es grande y redondo",
  "us-cent-1960-date/small":
    "Fecha chica: las puntas del 1 y del 9 están a la misma altura, la cola del 6 se queda corta sobre su hueco y el 0 es pequeño y angosto",
  "us-cent-1970-s-date/large": "Fecha grande: el 7 está más bajo que el 9 y el 0",
  "us-cent-1970-s-date/small": "Fecha chica: el 7 llega a la altura del 9 y el 0",
  "us-cent-1982-date/large":
    "Fecha grande: los dos huecos del 8 son casi iguales, el tallo del 2 es recto y el 2 casi toca el listel",
  "us-cent-1982-date/small":
    "Fecha chica: el hueco de arriba del 8 es claramente menor que el de abajo, el tallo del 2 es curvo y hay espacio entre el 2 y el listel",
  "us-cent-am/close":
    "AM junta: los pies de la A y la M casi se tocan, y las iniciales FG están más lejos del edificio",
  "us-cent-am/wide":
    "AM separada: hay un espacio claro entre los pies de la A y la M, y las iniciales FG están cerca del edificio",
  "us-nickel-mark/above-dome": "Una letra grande sobre la cúpula del edificio",
  "us-nickel-mark/beside": "Una letra pequeña a la derecha del edificio",
  "us-nickel-mark/none": "Ninguna letra sobre la cúpula ni al lado del edificio",
  "wavy-steps":
    "Lupa sobre un edificio: sus escalones en ondas y líneas finas en relieve que salen de una letra, todas en un sentido",
  "weak-strike": "Dos monedas en equilibrio: una común y otra con el diseño débil y casi sin listel",
  "worn-die-doubling": "Duplicación de un cuño gastado: letras blandas e hinchadas hacia el listel",
  "wrong-planchet": "Cospel pequeño bajo cuños grandes: las letras se salen del listel",
  "wrong-thickness": "Cantos de tres monedas del mismo ancho: muy delgada, común, muy gruesa",
};
