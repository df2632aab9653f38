import { readFileSync } from 'node:fs';
import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';

const ROOT = resolve(import.meta.dirname, '../..');
const { dependencies } = JSON.parse(readFileSync(resolve(ROOT, 'package.json'), 'utf8')) as {
  dependencies: Record<string, string>;
};
const page = readFileSync(resolve(ROOT, 'docs/dependencies.md'), 'utf8');
const listed = [...page.matchAll(/^\| `([^`]+)` \| (.+?) \|$/gm)].map(([, name = '', why = '']) => ({ name, why }));

describe('the list of dependencies', () => {
  it('names each one that is shipped, and no other', () => {
    expect(listed.map(({ name }) => name).sort()).toEqual(Object.keys(dependencies).sort());
  });

  it.each(listed)('says why $name is there', ({ why }) => expect(why.length).toBeGreaterThan(15));

  it('pins each to one version, so that nothing new comes in unlooked at', () => {
    for (const [name, version] of Object.entries(dependencies)) expect(version, name).toMatch(/^\d+\.\d+\.\d+$/);
  });
});
