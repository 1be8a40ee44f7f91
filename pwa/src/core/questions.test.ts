import { expect, it } from "vitest";
import { Questions } from "./questions";
import type { ToWorker } from "./worker-core";

it("answers judgements first, and all others in the order they came", () => {
  const tasks: (() => void)[] = [];
  const answered: number[] = [];
  const questions = new Questions(
    (act) => tasks.push(act),
    (q) => answered.push(q.id),
  );
  const methods: ToWorker["method"][] = ["look", "book", "judge", "journal-open", "judge"];
  methods.forEach((method, id) => {
    questions.take({ id, method, json: "{}" });
  });
  tasks.shift()?.();
  questions.take({ id: 9, method: "judge", json: "{}" });
  while (tasks.length > 0) tasks.shift()?.();
  expect(answered).toEqual([2, 4, 9, 0, 1, 3]);
});
