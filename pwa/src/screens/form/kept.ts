import { type Signal, signal } from "@preact/signals";
import { useView } from "../../view/context";

/** What was typed into a form, by the names of its fields; a missing one is empty. */
export type Form = Record<string, string>;

/** What a form holds; it stays while other screens are looked at. */
export function useForm(name: string, first: Form): Signal<Form> {
  const { forms } = useView();
  let form = forms.get(name);
  if (!form) {
    form = signal(first);
    forms.set(name, form);
  }
  return form;
}

/** Sets some fields of a form. */
export function put(form: Signal<Form>, changes: Form): void {
  form.value = { ...form.value, ...changes };
}
