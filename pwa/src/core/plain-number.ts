/** A number as typed; one decimal comma is as good as a point. */
export const plainNumber = (typed: string): string => typed.trim().replace(/^([+-]?\d*),(\d+)$/, "$1.$2");
