import { spawnSync } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readdirSync, realpathSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';

const ROOT = resolve(import.meta.dirname, '..');

/** A project of two files with the runner of ours. */
describe('the runner', { timeout: 60_000 }, () => {
  let project: string;
  const write = (path: string, text: string) => writeFileSync(join(project, path), text);
  const run = (...words: string[]) => {
    const { stdout, stderr, status } = spawnSync(process.execPath, ['src/run.mjs', 'src/program.ts', ...words], {
      cwd: project,
      encoding: 'utf8',
    });
    return { said: stdout.trim(), complained: stderr, status };
  };
  const joins = () =>
    readdirSync(join(project, 'node_modules/.cache/telltale'), { recursive: true, encoding: 'utf8' }).filter((name) =>
      name.endsWith('program.mjs'),
    );

  beforeEach(() => {
    project = realpathSync(mkdtempSync(join(tmpdir(), 'runner-')));
    mkdirSync(join(project, 'src'));
    mkdirSync(join(project, 'node_modules'));
    cpSync(join(ROOT, 'src/run.mjs'), join(project, 'src/run.mjs'));
    for (const library of ['esbuild', 'tsx']) {
      symlinkSync(realpathSync(join(ROOT, 'node_modules', library)), join(project, 'node_modules', library));
    }
    write('package.json', JSON.stringify({ type: 'module', dependencies: {} }));
    write('package-lock.json', '{}');
    write('src/part.ts', `export const part: string = 'one';`);
    write(
      'src/program.ts',
      `import { part } from './part.ts';
       const { late } = await import('./late.ts');
       console.log(part, late, import.meta.dirname, ...process.argv.slice(2));
       process.exitCode = 3;`,
    );
    write('src/late.ts', `export const late: string = 'late';`);
  });
  afterEach(() => rmSync(project, { recursive: true }));

  it("hands on the words, the exit code and every file's own place", () => {
    expect(run('two words', '--flag')).toEqual({
      said: `one late ${join(project, 'src')} two words --flag`,
      complained: '',
      status: 3,
    });
  });

  it('joins once, and again only after a change', () => {
    run();
    expect(run().said).toContain('one late');
    expect(joins()).toHaveLength(1);

    write('src/part.ts', `export const part: string = 'another';`);
    expect(run().said).toContain('another late');
    expect(joins()).toHaveLength(2);
  });

  it('joins ahead of the first start, and makes no fuss about a program that it cannot join', () => {
    const { status, stderr } = spawnSync(process.execPath, ['src/run.mjs', '--join', 'src/none.ts', 'src/program.ts'], {
      cwd: project,
      encoding: 'utf8',
    });
    expect(status).toBe(0);
    expect(stderr).toContain('src/none.ts is not joined');
    expect(joins()).toHaveLength(1);
    run();
    expect(joins()).toHaveLength(1);
  });

  it('sees a change of a part that is loaded late, and of the list of libraries', () => {
    run();
    write('src/late.ts', `export const late: string = 'later';`);
    expect(run().said).toContain('one later');
    write('package-lock.json', '{ }');
    run();
    expect(joins()).toHaveLength(3);
  });

  it('does not fill the disk with what it joined before', () => {
    for (const word of ['a', 'bb', 'ccc', 'dddd', 'eeeee']) {
      write('src/part.ts', `export const part: string = '${word}';`);
      expect(run().said).toContain(word);
    }
    expect(joins()).toHaveLength(3);
  });

  it('runs the modules one by one where nothing can be kept', () => {
    write('node_modules/.cache', 'a file, so that no folder can be made');
    expect(run('word')).toMatchObject({ said: `one late ${join(project, 'src')} word`, status: 3 });
  });

  it('says where a source is wrong, and keeps nothing of it', () => {
    write('src/part.ts', 'export const part = ;');
    const { complained, status } = run();
    expect(complained).toMatch(/src\/part\.ts:1:20/);
    expect(status).toBe(1);
    write('src/part.ts', `export const part: string = 'mended';`);
    expect(run().said).toContain('mended');
  });
});
