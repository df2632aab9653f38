import { describe, expect, it } from 'vitest';
import { analyseAdvice, compileAdvice } from '../../../src/core/advise/mod.ts';
import { findingLine } from '../../../src/core/model/checked.ts';
import { flowFiles, shopBook } from './flows.ts';

const files = flowFiles();
const FILE = 'flows/advice/rules/test.yaml';

/** Every finding about a book that holds these rules alone, as it is printed. */
function findingsOf(rules: string, replaced: Record<string, (text: string) => string> = {}): string[] {
  const others = files
    .filter(({ path }) => !path.includes('advice/rules/'))
    .map((file) => ({ ...file, text: replaced[file.path]?.(file.text) ?? file.text }));
  const checked = compileAdvice([...others, { path: FILE, text: rules }]);
  const findings = checked.ok ? analyseAdvice(checked.value) : checked.findings;
  return findings.map(findingLine);
}

/** A rule on the lines it is given, with the rest of what a rule needs after them. */
const rule = (id: string, when: string, more: string): string => `  - id: ${id}
    when: ${when}
${more}
    reason: Because.
    source: common practice, no source
`;
const advises = (service: string, urgency = 'prompt'): string => `    advise:
      - service: ${service}
        because: { en: Because., es: Porque. }
    urgency: ${urgency}`;
const refuses = (service: string): string => `    notAdvised:
      - service: ${service}
        because: { en: Because., es: Porque. }`;

const whine = '{ fact: symptoms, has: pump-whine }';

describe('the shop’s own rule book', () => {
  it('has no rule that cannot fire, adds nothing or contradicts another, and every service has an estimate', () => {
    expect(analyseAdvice(shopBook()).map(findingLine)).toEqual([]);
  }, 600_000);
});

describe('what is wrong with a book is said with file, line and a suggestion', () => {
  it.each([
    {
      wrong: 'a symptom id that does not exist',
      rules: `rules:\n${rule('a', '{ fact: symptoms, has: pump-wine }', advises('scan-diagnosis'))}`,
      says: [`${FILE}:3: symptoms has no pump-wine; is pump-whine meant?`],
    },
    {
      wrong: 'a fact that does not exist',
      rules: `rules:\n${rule('a', '{ fact: milesOnPomp, from: 80000 }', advises('scan-diagnosis'))}`,
      says: [`${FILE}:3: unknown fact milesOnPomp; is milesOnPump meant?`],
    },
    {
      wrong: 'a value that the fact cannot have',
      rules: `rules:\n${rule('a', '{ fact: pumpDesign, is: two-plungers }', advises('scan-diagnosis'))}`,
      says: [`${FILE}:3: pumpDesign has no two-plungers; is two-plunger meant?`],
    },
    {
      wrong: 'a service that does not exist',
      rules: `rules:\n${rule('a', whine, advises('pump-polish'))}`,
      says: [expect.stringContaining(`${FILE}:5: rules.0.advise.0.service: Invalid option`)],
    },
    {
      wrong: 'a named condition that is not defined',
      rules: `conditions:\n  metal: ${whine}\nrules:\n${rule('a', '{ condition: metall }', advises('scan-diagnosis'))}`,
      says: [
        `${FILE}:5: the condition metall is not defined; is metal meant?`,
        `${FILE}:2: no rule uses the condition metal`,
      ],
    },
    {
      wrong: 'a text that is missing in a language',
      rules: `rules:\n${rule('a', whine, advises('scan-diagnosis').replace(', es: Porque.', ''))}`,
      says: [expect.stringContaining(`${FILE}:6: rules.0.advise.0.because.es`)],
    },
    {
      wrong: 'a figure in a text that nobody computes',
      rules: `rules:\n${rule('a', whine, advises('scan-diagnosis').replace('en: Because.', "en: 'At {milesOnPum}.'"))}`,
      says: [`${FILE}:6: no figure is called milesOnPum; is milesOnPump meant?`],
    },
    {
      wrong: 'a rule without a reason',
      rules: `rules:\n${rule('a', whine, advises('scan-diagnosis')).replace('    reason: Because.\n', '')}`,
      says: [`${FILE}:2: rules.0.reason: a rule needs the reason why a service manager holds it`],
    },
    {
      wrong: 'a rule without a source',
      rules: `rules:\n${rule('a', whine, advises('scan-diagnosis')).replace('    source: common practice, no source\n', '')}`,
      says: [expect.stringContaining(`${FILE}:2: rules.0.source: a rule needs its source`)],
    },
    {
      wrong: 'a rule that advises without an urgency',
      rules: `rules:\n${rule('a', whine, advises('scan-diagnosis').replace('    urgency: prompt', ''))}`,
      says: [`${FILE}:2: a advises a service and needs an urgency`],
    },
    {
      wrong: 'the same id twice',
      rules: `rules:\n${rule('a', whine, advises('scan-diagnosis'))}${rule('a', whine, advises('injector-test'))}`,
      says: [expect.stringContaining(': the id a is used twice')],
    },
    {
      wrong: 'hands-on work without its cautions',
      rules: `rules:\n${rule('a', whine, advises('cooling-system-test'))}`,
      replaced: {
        'flows/advice/cautions.yaml': (text: string) =>
          text.replace('{ id: cooling-system-test, cautions: [hot-coolant]', '{ id: cooling-system-test, cautions: []'),
      },
      says: [expect.stringContaining(`${FILE}:5: cooling-system-test is hands-on work without cautions`)],
    },
    {
      wrong: 'a caution without its text',
      rules: `rules:\n${rule('a', whine, advises('scan-diagnosis'))}`,
      replaced: {
        'flows/advice/cautions.yaml': (text: string) => text.replace('- id: hot-coolant\n', '- id: lifting\n'),
      },
      says: [expect.stringContaining('hot-coolant is missing under cautions')],
    },
    {
      wrong: 'a rule whose numbers exclude each other',
      rules: `rules:\n${rule('a', '{ all: [{ fact: odometerMiles, from: 90000 }, { fact: odometerMiles, below: 80000 }] }', advises('scan-diagnosis'))}`,
      says: [expect.stringContaining(`${FILE}:3: a can never fire`)],
    },
    {
      wrong: 'a rule whose numbers exclude each other only by how they are computed',
      rules: `rules:\n${rule('a', '{ all: [{ fact: odometerMiles, below: 50000 }, { fact: milesOnPump, from: 60000 }] }', advises('scan-diagnosis'))}`,
      says: [expect.stringContaining(`${FILE}:3: a can never fire`)],
    },
    {
      wrong: 'a rule that asks for an engine that was never built',
      rules: `rules:\n${rule('a', "{ all: [{ fact: pumpDesign, is: rotary }, { fact: exhaustFluid, is: 'yes' }] }", advises('scan-diagnosis'))}`,
      says: [expect.stringContaining(`${FILE}:3: a can never fire`)],
    },
    {
      wrong: 'a rule that "unless" undoes',
      rules: `rules:\n${rule('a', whine, `    unless: { fact: symptoms, has: [pump-whine, stalls] }\n${advises('scan-diagnosis')}`)}`,
      says: [expect.stringContaining('see whether "unless" undoes "when"')],
    },
    {
      wrong: 'a rule that another one makes needless',
      rules: `rules:\n${rule('wide', '{ fact: milesOnPump, from: 60000 }', advises('scan-diagnosis'))}${rule('narrow', '{ fact: milesOnPump, from: 80000 }', advises('scan-diagnosis'))}`,
      says: [
        `${FILE}:10: narrow adds nothing: whenever it holds, wide holds and says as much; drop it, or let it say more`,
      ],
    },
    {
      wrong: 'a service that is advised and refused at once',
      rules: `rules:\n${rule('yes', '{ fact: milesOnPump, from: 80000 }', advises('pump-protection-kit', 'planned'))}${rule('no', '{ fact: pumpProtected, is: true }', refuses('pump-protection-kit'))}`,
      says: [
        `${FILE}:13: yes advises pump-protection-kit and no refuses it at once, for instance with {"pumpProtected":true,"odometerMiles":80000,"pumpFittedAtMiles":0}; let "unless" of one of them exclude the other`,
      ],
    },
  ])('$wrong', ({ rules, replaced, says }) => {
    const findings = findingsOf(rules, replaced);
    expect(findings).toEqual(expect.arrayContaining(says));
    expect(findings.length).toBe(says.length);
  });

  it('a service that no engine can be priced for', () => {
    const findings = findingsOf(`rules:\n${rule('a', whine, advises('tow-in'))}`, {
      'flows/services/catalogue.yaml': (text) => text.replace('steps: [receive-on-tow]', 'steps: []'),
    });
    expect(findings).toEqual([expect.stringMatching(/^flows\/services\/catalogue.yaml:\d+: services.24.steps: /)]);
  });
});
