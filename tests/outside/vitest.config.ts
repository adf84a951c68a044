import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    root: import.meta.dirname,
    include: ["**/*.test.ts"],
    // The exports of the first file are the next one's, and each takes all of a small machine.
    fileParallelism: false,
    globalSetup: ["./setup.ts"],
    testTimeout: 180_000,
    hookTimeout: 180_000,
  },
});
