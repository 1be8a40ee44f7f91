/** The words about belonging to a laptop, in Spanish: leaving it, and another one in its place. */
import type { trustTexts as English } from "./en-trust";

export const trustTexts: typeof English = {
  laptop: {
    addressTitle: "Dónde está",
    here: "en la dirección de esta página",
    moved: (host) => `se mudó a ${host}; esta página sigue donde está, con lo que tiene guardado`,
    silent: "fuera de alcance",
    stranger: "fuera de alcance; otra laptop tiene su dirección",
    strange:
      "En esta dirección responde otra laptop, o la tuya se configuró de nuevo: su clave no es la que conoce este dispositivo. No se le dijo nada, y aquí no se pierde nada.",
    rejoin: "Cómo volver a unirse",
    rejoinTitle: "Volver a unirse",
    rejoinFirst:
      "Si es la laptop de otra persona, cambia de red o espera: la tuya se encuentra otra vez por su clave. Si es la tuya y se configuró de nuevo, une este dispositivo otra vez. Tus registros se quedan aquí.",
    leave: "Dejar esta laptop",
    leaveAsk:
      "¿Dejarla? Este dispositivo no recibe más pesos de ella hasta que escanee un código nuevo. Lo registrado aquí se queda aquí; lo que la laptop aún no tiene no le puede llegar hasta entonces.",
    leaveYes: "Dejarla",
    leaveNo: "Quedarse",
    leaveFailed:
      "No se llega a la laptop, así que seguirá teniendo este dispositivo en su lista. No cambió nada; prueba otra vez cerca de ella, u olvídala solo en este dispositivo y quítalo después de la lista de la laptop.",
    forget: "Olvidarla solo aquí",
  },
};
