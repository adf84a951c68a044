import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    root: import.meta.dirname,
    include: ["**/*.test.ts"],
    globalSetup: ["./setup.ts"],
    testTimeout: 180_000,
    hookTimeout: 180_000,
  },
});
