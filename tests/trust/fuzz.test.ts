import { expect, it } from 'vitest';
import { runFuzz } from './fuzz.ts';

it(
  'nothing that is thrown at an edge crashes it, hangs it, or writes what a stranger must not',
  { timeout: 240_000 },
  async () => {
    const { cases } = await runFuzz(600, 20_261_102, () => {});
    expect(Object.keys(cases)).toHaveLength(8);
    expect(Object.values(cases).every((count) => count > 0)).toBe(true);
  },
);
