import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts", "tests/**/*.test.tsx"],
    exclude: ["tests/screens/**", "node_modules/**"],
    setupFiles: ["tests/support/fuzz.ts"],
    pool: "threads",
    testTimeout: 120_000,
    hookTimeout: 120_000,
  },
});
