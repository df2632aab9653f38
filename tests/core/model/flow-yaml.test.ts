import { CORE_SCHEMA, load } from 'js-yaml';
import { describe, expect, it } from 'vitest';
import { parse } from 'yaml';
import { z } from 'zod';
import { parseFlowYaml } from '../../../src/core/model/flow-yaml.ts';
import { readFlowsFolder } from '../../../src/flows-folder.ts';

const Shape = z.strictObject({ name: z.string(), hours: z.array(z.number()) });
const read = (text: string) => parseFlowYaml({ path: 'flows/x.yaml', text }, Shape);

describe('a YAML file of flows/', () => {
  const files = readFlowsFolder().filter(({ path }) => path.endsWith('.yaml'));
  it.each(files.map((file) => [file.path, file] as const))('%s reads the same by both parsers', (_path, { text }) => {
    expect(load(text, { schema: CORE_SCHEMA })).toEqual(parse(text));
  });

  it('keeps the place of each part', () => {
    const checked = read('name: a\nhours:\n  - 1\n  - 2\n');
    expect(checked.ok && checked.value.finding(['hours', 1], 'too long')).toEqual({
      file: 'flows/x.yaml',
      line: 4,
      column: 5,
      message: 'too long',
    });
  });

  it.each([
    ['a value of the wrong kind', 'name: a\nhours:\n  - 1\n  - two\n', 4, /^hours\.1: /],
    ['a key that nothing knows', 'name: a\nhours: []\ncolour: 3\n', 3, /^colour: /],
    ['a key that is missing', 'hours: []\n', 1, /^name: /],
    ['a key given twice', 'name: a\nname: b\nhours: []\n', 2, /^not valid YAML: /],
    ['a bracket that never closes', 'name: a\nhours: [1, 2\n', 3, /^not valid YAML: /],
    ['a tab in the margin', 'name: a\nhours:\n\t- 1\n', 3, /^not valid YAML: /],
    ['nothing at all', '', 1, /^the file: /],
  ])('names the line of %s', (_what, text, line, message) => {
    const checked = read(text);
    expect(checked.ok).toBe(false);
    const [finding] = checked.ok ? [] : checked.findings;
    expect(finding?.line).toBe(line);
    expect(finding?.message).toMatch(message);
  });
});
