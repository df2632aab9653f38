/**
 * Runs a program of the project: `node src/run.mjs src/main.ts`. With `--join` it makes programs ready to run.
 *
 * The loader takes some nine hundred modules one by one, which is longer than all else that happens at start. So the
 * modules of a program are joined once, kept beside the libraries, and joined again as soon as one of them or the list
 * of libraries has changed. Where nothing can be kept there, the loader takes them one by one.
 */
import { createHash, randomUUID } from 'node:crypto';
import { mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { dirname, join, relative, resolve } from 'node:path';
import process from 'node:process';
import { pathToFileURL } from 'node:url';

const ROOT = resolve(import.meta.dirname, '..');
const LIBRARIES = 'package-lock.json';
/** Older joins may still be read by a program that runs. */
const KEPT = 3;

/** Libraries of many small modules; the others are one piece, hold machine code or look for files beside themselves. */
const JOINED = [
  'kysely',
  'zod',
  'libphonenumber-js',
  'date-holidays',
  'csv-parse',
  'csv-stringify',
  'luxon',
  'xstate',
  'js-yaml',
  'yaml',
  'node-cron',
  'ical-generator',
  '@fluent/bundle',
];

/** @param {string} path */
const stampOf = (path) => {
  const { size, mtimeMs } = statSync(join(ROOT, path));
  return `${size} ${mtimeMs}`;
};

/**
 * The entry file of a join whose sources are all as they were.
 * @param {string} folder
 */
function joinedBefore(folder) {
  try {
    const { entry, sources } = JSON.parse(readFileSync(join(folder, 'joined.json'), 'utf8'));
    statSync(entry);
    return Object.entries(sources).every(([path, stamp]) => stampOf(path) === stamp) ? entry : undefined;
  } catch {
    return undefined;
  }
}

/** Every file goes on finding what lies beside it by its own place. */
const ownPlaces = {
  name: 'own-places',
  /** @param {import('esbuild').PluginBuild} build */
  setup(build) {
    build.onLoad({ filter: /\.ts$/ }, async ({ path }) => ({
      loader: 'ts',
      contents: (await readFile(path, 'utf8'))
        .replaceAll('import.meta.dirname', JSON.stringify(dirname(path)))
        .replaceAll('import.meta.url', JSON.stringify(pathToFileURL(path).href)),
    }));
  },
};

/**
 * Joins a program and returns its entry file.
 * @param {string} program
 * @param {string} folder
 */
async function joinModules(program, folder) {
  const { build } = await import('esbuild');
  const { dependencies } = JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8'));
  const out = join(folder, randomUUID());
  const { metafile } = await build({
    absWorkingDir: ROOT,
    entryPoints: [program],
    outdir: out,
    outExtension: { '.js': '.mjs' },
    bundle: true,
    splitting: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    metafile: true,
    external: Object.keys(dependencies).filter((name) => !JOINED.includes(name)),
    banner: { js: `import { createRequire } from 'node:module';\nconst require = createRequire(import.meta.url);` },
    plugins: [ownPlaces],
    logLevel: 'error',
  });
  const sources = [LIBRARIES, relative(ROOT, import.meta.filename), ...Object.keys(metafile.inputs)].filter(
    (path) => !path.includes('node_modules/'),
  );
  const entry = Object.entries(metafile.outputs).find(([, { entryPoint }]) => entryPoint === program)?.[0];
  if (entry === undefined) throw new Error(`${program} was joined without an entry`);
  const made = {
    entry: resolve(ROOT, entry),
    sources: Object.fromEntries(sources.map((path) => [path, stampOf(path)])),
  };
  writeFileSync(`${out}.json`, JSON.stringify(made));
  renameSync(`${out}.json`, join(folder, 'joined.json'));
  const joins = readdirSync(folder, { withFileTypes: true })
    .filter((found) => found.isDirectory())
    .map(({ name }) => join(folder, name))
    .sort((one, other) => statSync(other).mtimeMs - statSync(one).mtimeMs);
  for (const old of joins.slice(KEPT)) rmSync(old, { recursive: true, force: true });
  return made.entry;
}

/**
 * The entry file of a program's modules, joined now or before; undefined where nothing can be kept.
 * @param {string} path
 */
async function joinedNow(path) {
  const program = relative(ROOT, resolve(path));
  const name = createHash('sha256').update(join(ROOT, program)).digest('hex').slice(0, 16);
  const folder = join(ROOT, 'node_modules', '.cache', 'telltale', name);
  const before = joinedBefore(folder);
  if (before !== undefined) return before;
  try {
    mkdirSync(folder, { recursive: true });
    return await joinModules(program, folder);
  } catch (error) {
    if ('syscall' in error) return undefined;
    throw error;
  }
}

const [, , first = 'src/main.ts', ...others] = process.argv;
if (first === '--join') {
  for (const program of others) {
    await joinedNow(program).catch((error) => process.stderr.write(`${program} is not joined: ${error.message}\n`));
  }
} else {
  process.argv.splice(1, 1);
  const entry = await joinedNow(first);
  if (entry === undefined) (await import('tsx/esm/api')).register();
  await import(pathToFileURL(entry ?? resolve(first)).href);
}
