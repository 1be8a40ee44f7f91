import { useEffect, useMemo } from "preact/hooks";
import { Asking } from "../../core/asking";
import type { Method } from "../../core/types";
import { useApp } from "../../view/context";

/** A question to the core that lives as long as the screen does. */
export function useAsking<T>(method: Method, read: (x: unknown) => T | null): Asking<T> {
  const app = useApp();
  const asking = useMemo(() => new Asking(app.core, method, read), [app, method, read]);
  const language = app.core.language.value;
  useEffect(() => asking.again(), [asking, language]);
  return asking;
}
