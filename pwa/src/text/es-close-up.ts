/** Lo que la segunda mirada dice de los acercamientos, en español; una parte de los textos de es.ts. */
import type { Text } from "./en";
import { writing } from "./writing";

const { figure } = writing("es");

export const closeUpTexts: Pick<Text, "closeUp"> = {
  closeUp: {
    title: "Acercamiento, sin borde a la vista",
    hint: "Un acercamiento recibe sus milímetros de tu imagen de la moneda entera, o de una regla fotografiada con el mismo aumento.",
    none: "Esta imagen aún no tiene milímetros.",
    byWhole: (share) => `Milímetros por su lugar en la moneda entera, seguros a más o menos ${share}.`,
    byRuler: (share) => `Milímetros por una regla con este aumento, seguros a más o menos ${share}.`,
    needsSize: "No se sabe el diámetro de la moneda, así que no hay milímetros. Tecléalo en su campo.",
    onWhole: "Por la moneda entera",
    find: "Encontrarlo en la moneda entera",
    finding: "Buscando su lugar …",
    another: "Elegir una imagen de la moneda entera",
    place: "La moneda entera con el contorno del acercamiento",
    found: (degrees) => `Encontrado; está girado ${figure(degrees)}°.`,
    lookAtIt: "Mira si el contorno está bien puesto. Si no, deshazlo.",
    byLens: "Por una regla con este aumento",
    lensHint:
      "Fotografía una regla una vez con la misma cámara, el mismo aumento y la misma distancia. Después da la escala a cada imagen tomada así. Se guarda en este dispositivo.",
    lens: (name, mm) => `${name}: ${figure(mm)}\u00a0mm a lo largo`,
    otherShape: "Las imágenes de ese aumento tienen otra forma. Esta es de otra cámara, o está recortada.",
    newLens: "Fotografiar una regla",
    take: "Tomar la regla",
    choose: "Elegir una foto de una regla",
    points: "Pon los dos puntos en dos marcas de la regla, lo más lejos que puedas.",
    point: (n) => `Punto ${n} en la regla`,
    picture: "La regla.",
    apart: "Distancia, mm",
    name: "Cámara y aumento",
    nameHint: "Microscopio, 60×",
    remember: "Recordarla y usarla",
    needs: "Teclea la distancia entre los puntos y un nombre para la cámara y el aumento.",
    cancel: "Dejar la regla",
    forget: (name) => `Olvidar ${name}`,
    forgotten: (name) => `${name} quedó en el olvido.`,
    putBack: "Recuperarlo",
    keep: "Guardar esta escala con el hallazgo",
    kept: "Esta escala está guardada con el hallazgo.",
    refusals: {
      "none-there":
        "Aquí no hay imagen de la moneda entera. Toma o elige una, o fotografía una regla con este aumento.",
      "no-rim": "La imagen de la moneda entera no muestra el borde. Elige otra.",
      "too-small": "Una de las dos tiene muy pocos píxeles. Toma la moneda entera desde más cerca.",
      flat: "En una de ellas hay muy poco relieve para encontrar su lugar. Lleva la lámpara a un lado.",
      "no-fit":
        "No se encontró su lugar, así que no tiene milímetros. Toma las dos con la lámpara del mismo lado de la moneda, y muestra al menos una sexta parte.",
      ambiguous:
        "Coincide casi igual en dos lugares, así que no se toma ninguno. Muestra más de la moneda en el acercamiento.",
      stopped: "Parado. No ha cambiado nada.",
      left: "Parado al dejar la página. No se pierde nada.",
      failed: "El programa para imágenes no está o se rompió. No se pierde nada; prueba otra vez.",
    },
  },
};
