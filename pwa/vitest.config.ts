import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    environment: "node",
    include: ["src/**/*.test.ts", "src/**/*.test.tsx"],
    // A wait for what never comes must end, but a busy machine may take long over what does.
    testTimeout: 30_000,
  },
});
