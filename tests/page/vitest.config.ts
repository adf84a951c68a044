import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    root: import.meta.dirname,
    include: ["**/*.test.ts"],
    // Waits for conditions; a busy machine may be slow to meet them.
    expect: { poll: { timeout: 30_000 } },
    testTimeout: 120_000,
    hookTimeout: 120_000,
  },
});
