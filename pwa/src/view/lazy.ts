import { type ComponentType, h } from "preact";
import { useEffect, useState } from "preact/hooks";

/**
 * A screen that is fetched when it is first shown, so that the weighing screen
 * doesn't wait for it. One that couldn't be fetched is tried again when it is
 * shown the next time.
 */
export function lazy<P extends object>(load: () => Promise<ComponentType<P>>, waiting: () => string) {
  let screen: ComponentType<P> | null = null;
  return function Lazy(props: P) {
    const [, there] = useState(screen !== null);
    useEffect(() => {
      let gone = false;
      if (!screen) {
        load().then(
          (s) => {
            screen = s;
            if (!gone) there(true);
          },
          () => {},
        );
      }
      return () => {
        gone = true;
      };
    }, []);
    return screen ? h(screen, props) : h("main", { class: "tool-page quiet" }, waiting());
  };
}
