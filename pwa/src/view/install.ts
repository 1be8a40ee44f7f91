import { type Signal, signal } from "@preact/signals";

/** The browser's own offer to install the page, where it makes one. */
export interface InstallOffer {
  prompt(): Promise<unknown>;
  userChoice: Promise<{ outcome: "accepted" | "dismissed" }>;
}

export type InstallSteps = "ios" | "android" | "desktop";

/** How this page can be put among the device's apps. */
export class Install {
  /** “steps”: the browser makes no offer, so its menu has to be named. */
  readonly state: Signal<"steps" | "offered" | "taken" | "app"> = signal("steps");
  private offer: InstallOffer | null = null;

  constructor(asApp: boolean) {
    if (asApp) this.state.value = "app";
  }

  offered(offer: InstallOffer): void {
    this.offer = offer;
    if (this.state.value === "steps") this.state.value = "offered";
  }

  installed(): void {
    this.offer = null;
    this.state.value = "taken";
  }

  /** An offer is good for one answer. */
  async take(): Promise<void> {
    const { offer } = this;
    if (!offer) return;
    this.offer = null;
    this.state.value = "steps";
    await offer.prompt();
    const { outcome } = await offer.userChoice;
    if (outcome === "accepted") this.state.value = "taken";
  }
}

export function stepsFor(userAgent: string, touchPoints: number): InstallSteps {
  if (/iPhone|iPad|iPod/.test(userAgent) || (/Macintosh/.test(userAgent) && touchPoints > 1)) return "ios";
  return /Android/.test(userAgent) ? "android" : "desktop";
}

/** Listens for the browser's offer from the page's first moment: it comes once. */
export function browserInstall(): Install {
  const install = new Install(matchMedia("(display-mode: standalone)").matches);
  addEventListener("beforeinstallprompt", (e) => {
    e.preventDefault();
    install.offered(e as Event & InstallOffer);
  });
  addEventListener("appinstalled", () => install.installed());
  return install;
}
