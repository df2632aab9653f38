import { resolve } from 'node:path';
import { ESLint } from 'eslint';
import { describe, expect, it } from 'vitest';

describe('the rule against the store inside its own transaction', () => {
  const lint = new ESLint({ cwd: resolve(import.meta.dirname, '../../..') });

  it.each([
    ['the store itself', 'await store.transaction(async () => { await store.transaction(async () => {}); });', 1],
    ['its views', 'await store.transaction(async (tx) => tx.loadFile(String(await store.views.unread())));', 1],
    ['a store that is part of something', 'await one.store.transaction(() => store.figures(now));', 1],
    ['only the transaction', 'await store.transaction((tx) => tx.loadFile(id));', 0],
    ['the store beside a transaction', 'await store.transaction((tx) => tx.loadFile(id)); await store.close();', 0],
  ])('sees %s', async (_what, code, found) => {
    const [result] = await lint.lintText(`export async function work() { ${code} }\n`, {
      filePath: 'src/edges/desk/desk.ts',
    });
    expect(result?.messages.filter(({ ruleId }) => ruleId === 'no-restricted-syntax')).toHaveLength(found);
  });
});
