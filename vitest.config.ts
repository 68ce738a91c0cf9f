import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts", "tests/**/*.test.tsx"],
    exclude: ["tests/screens/**", "node_modules/**"],
    setupFiles: ["tests/support/fuzz.ts"],
    pool: "threads",
    testTimeout: 600_000,
    hookTimeout: 600_000,
  },
});
