/// <reference types="vitest/config" />
import { readFileSync } from 'node:fs';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig, type Plugin } from 'vite';

const here = new URL('./', import.meta.url);
const bench = process.env.BENDWRIGHT_BENCH ?? 'http://127.0.0.1:4117';

/** The font's licence travels with the font; the licences of bundled code are written by `build.license`. */
function fontLicence(): Plugin {
  return {
    name: 'font-licence',
    apply: 'build',
    generateBundle() {
      const source = readFileSync(new URL('node_modules/@fontsource/atkinson-hyperlegible-next/LICENSE', here), 'utf8');
      this.emitFile({ type: 'asset', fileName: 'assets/licences/font.txt', source });
    },
  };
}

/** The floor's service worker stands under the floor's own address: what it may answer for is what lies beside it. */
function floorWorker(): Plugin {
  return {
    name: 'floor-worker',
    apply: 'build',
    generateBundle() {
      const source = readFileSync(new URL('src/floor/worker.js', here), 'utf8');
      this.emitFile({ type: 'asset', fileName: 'floor/worker.js', source });
    },
  };
}

/** In development the server's own routing is imitated: floor paths get the floor page, all other paths the office. */
function clientPaths(): Plugin {
  return {
    name: 'client-paths',
    apply: 'serve',
    configureServer(server) {
      server.middlewares.use((request, _answer, next) => {
        const path = (request.url ?? '/').split('?')[0] ?? '/';
        const page = request.headers.accept?.includes('text/html') === true && !/\.\w+$/.test(path);
        if (page && !path.startsWith('/api/')) request.url = /^\/floor(\/|$)/.test(path) ? '/floor.html' : '/office.html';
        next();
      });
    },
  };
}

export default defineConfig({
  root: here.pathname,
  base: '/',
  appType: 'mpa',
  plugins: [svelte(), clientPaths(), fontLicence(), floorWorker()],
  server: { proxy: { '/api': { target: bench, changeOrigin: false } } },
  build: {
    outDir: process.env.BENDWRIGHT_SITE ?? '../src/bendwright/bench/site',
    emptyOutDir: true,
    target: 'es2022',
    assetsInlineLimit: 0,
    chunkSizeWarningLimit: 700,
    modulePreload: { polyfill: false },
    license: { fileName: 'assets/licences/code.md' },
    rolldownOptions: {
      input: { office: 'office.html', floor: 'floor.html', docs: 'docs.html' },
      // small pieces that several pages share travel as one file: each file is a question to the bench of its own
      output: { codeSplitting: { groups: [{ name: 'shared', test: /[\\/](src[\\/](ui[\\/](?!FoldView)|api|words)|src[\\/]\w+\.svelte\.ts|node_modules[\\/]svelte)/, minShareCount: 2 }] } },
    },
  },
  resolve: process.env.VITEST ? { conditions: ['browser'] } : {},
  test: { environment: 'happy-dom', include: ['tests/*.test.ts'] },
});
