import { defineConfig } from 'vitest/config';

export default defineConfig({
  // Relative addresses: the page also works below a path of a reverse proxy.
  base: './',
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: 'es2022',
    // No data: addresses and no inline script: the page lives under default-src 'self'.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
  },
  server: {
    // The mock feed reads the method files of the service.
    fs: { allow: ['..'] },
    proxy: {
      '/api': 'http://127.0.0.1:5080',
      '/live': { target: 'http://127.0.0.1:5080', ws: true },
    },
  },
  test: { include: ['test/**/*.test.ts'], environment: 'node' },
});
