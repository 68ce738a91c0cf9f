import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts", "tests/**/*.test.tsx"],
    exclude: ["tests/screens/**", "node_modules/**"],
    globalSetup: ["tests/support/ownTemp.ts"],
    setupFiles: ["tests/support/fuzz.ts"],
    pool: "threads",
    testTimeout: 600_000,
    hookTimeout: 600_000,
  },
});
