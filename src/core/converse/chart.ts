import { initialTransition, setup, transition, type AnyStateMachine } from 'xstate';
import { z } from 'zod';
import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../model/checked.ts';
import { parseFlowYaml, type LocatedYaml } from '../model/flow-yaml.ts';
import type { Conversation } from '../model/owner.ts';

const names = z.union([z.string(), z.array(z.string())]).transform((value) => (Array.isArray(value) ? value : [value]));

const Move = z.strictObject({
  /** Guards that must all hold. */
  when: names.optional(),
  /** The state that follows; absent: the position stays. */
  to: z.string().optional(),
  /** Actions, in order. */
  do: names.default([]),
});
const Moves = z.union([Move, z.array(Move).min(1)]).transform((value) => (Array.isArray(value) ? value : [value]));
const On = z.record(z.string().regex(/^[A-Z][A-Z_]*$/, 'a signal is written in capitals'), Moves);

const ChartFile = z.strictObject({
  flow: z.string(),
  version: z.number().int().min(1),
  initial: z.string(),
  /** States of earlier versions and what they are called now. */
  renamed: z.record(z.string(), z.string()).default({}),
  /** What is understood in every state. */
  on: On,
  states: z.record(z.string(), z.strictObject({ on: On.default({}) })),
});
type ChartFile = z.infer<typeof ChartFile>;
type Moves = z.infer<typeof Moves>;

/** What the chart may name: everything that code provides. */
export interface Vocabulary {
  signals: readonly string[];
  guards: readonly string[];
  actions: readonly string[];
}

export type Guards = Readonly<Record<string, boolean>>;

/** The checked conversation: a pure machine that maps (position, signal, guards) to (position, names of actions). */
export interface Chart {
  flow: string;
  version: number;
  states: readonly string[];
  machine: AnyStateMachine;
  start(): Position;
  step(position: Position, signal: string, guards: Guards): { position: Position; actions: string[] };
  /** The position that was stored, brought to this version; the start where its state is gone. */
  restore(stored: Conversation['position']): Position;
}

export type Position = NonNullable<Conversation['position']>;

/** Checks flows/conversation/owner.yaml: shape, and that every state, signal, guard and action it names exists. */
export function compileChart(file: FlowFile, vocabulary: Vocabulary): Checked<Chart> {
  const parsed = parseFlowYaml(file, ChartFile);
  if (!parsed.ok) return parsed;
  const findings = [...unknownNames(parsed.value, vocabulary), ...unreachable(parsed.value), ...hidden(parsed.value)];
  return findings.length > 0 ? unsound(findings) : sound(chartOf(parsed.value.value));
}

function* everyMove({ value }: LocatedYaml<ChartFile>) {
  const places: [string[], Record<string, Moves>][] = [
    [['on'], value.on],
    ...Object.entries(value.states).map(([state, { on }]): [string[], Record<string, Moves>] => [
      ['states', state, 'on'],
      on,
    ]),
  ];
  for (const [keys, on] of places) {
    for (const [signal, moves] of Object.entries(on)) yield { keys: [...keys, signal], signal, moves };
  }
}

function unknownNames(chart: LocatedYaml<ChartFile>, vocabulary: Vocabulary): FlowFinding[] {
  const findings: FlowFinding[] = [];
  const { initial, states } = chart.value;
  if (!(initial in states)) findings.push(chart.finding(['initial'], `there is no state "${initial}"`));
  for (const { keys, signal, moves } of everyMove(chart)) {
    const expect = (known: readonly string[], kind: string, name: string) => {
      if (!known.includes(name))
        findings.push(chart.finding(keys, `there is no ${kind} "${name}"${nearest(known, name)}`));
    };
    expect(vocabulary.signals, 'signal', signal);
    moves.forEach((move, index) => {
      if (move.to !== undefined) expect(Object.keys(states), 'state', move.to);
      for (const guard of move.when ?? []) expect(vocabulary.guards, 'guard', guard.replace(/^not /, ''));
      for (const action of move.do) expect(vocabulary.actions, 'action', action);
      if (!move.when && index < moves.length - 1) {
        findings.push(chart.finding(keys, `a move without "when" hides the ones after it`));
      }
    });
  }
  return findings;
}

/** States to which no way leads from the first one; what is understood everywhere leads on from each of them. */
function unreachable(chart: LocatedYaml<ChartFile>): FlowFinding[] {
  const { initial, on: everywhere, states } = chart.value;
  const targets = (on: Record<string, Moves>): string[] =>
    Object.values(on).flatMap((moves) => moves.flatMap(({ to }) => (to === undefined ? [] : [to])));
  const reached = new Set<string>();
  const open = [initial];
  for (let state = open.pop(); state !== undefined; state = open.pop()) {
    if (reached.has(state)) continue;
    reached.add(state);
    open.push(...targets(everywhere), ...targets(states[state]?.on ?? {}));
  }
  return Object.keys(states)
    .filter((state) => !reached.has(state))
    .map((state) => {
      const message = `no way leads from "${initial}" to the state "${state}"; let a move lead there, or take it out`;
      return chart.finding(['states', state], message);
    });
}

/** Moves that are never taken, since one before them holds wherever they would. */
function hidden(chart: LocatedYaml<ChartFile>): FlowFinding[] {
  return [...everyMove(chart)].flatMap(({ keys, signal, moves }) =>
    moves.flatMap((move, index) => {
      const before = moves.slice(0, index).findIndex(({ when }) => when?.every((guard) => move.when?.includes(guard)));
      if (before < 0) return [];
      const message = `move ${index + 1} of ${signal} is never taken: move ${before + 1} holds wherever it would; put it first`;
      return [chart.finding([...keys, index], message)];
    }),
  );
}

function nearest(known: readonly string[], name: string): string {
  const close = known.find((other) => other.toLowerCase() === name.toLowerCase() || other.startsWith(name.slice(0, 5)));
  return close ? `; did you mean "${close}"?` : '';
}

function chartOf(file: ChartFile): Chart {
  const guards: Record<string, (scope: { event: { guards: Guards } }) => boolean> = {};
  const toMoves = (moves: Moves) =>
    moves.map(({ when, to, do: actions }) => {
      const key = when?.join(' & ');
      if (when && key) guards[key] = ({ event }) => when.every((name) => holds(event.guards, name));
      return { ...(to && { target: `#${file.flow}.${to}` }), ...(key && { guard: key }), actions };
    });
  const toOn = (on: Record<string, Moves>) =>
    Object.fromEntries(Object.entries(on).map(([signal, moves]) => [signal, toMoves(moves)]));
  const config = {
    id: file.flow,
    initial: file.initial,
    on: toOn(file.on),
    states: Object.fromEntries(Object.entries(file.states).map(([name, { on }]) => [name, { on: toOn(on) }])),
  };
  const machine = setup({ guards: guards as never }).createMachine(config as never) as unknown as AnyStateMachine;
  const wrap = (snapshot: unknown): Position => ({
    flow: file.flow,
    version: file.version,
    snapshot: JSON.parse(JSON.stringify(snapshot)) as unknown,
  });
  const [first] = initialTransition(machine, undefined as never);
  return {
    flow: file.flow,
    version: file.version,
    states: Object.keys(file.states),
    machine,
    start: () => wrap(first),
    step(position, signal, held) {
      const before = machine.restoreSnapshot(position.snapshot as never, undefined as never);
      const event = { type: signal, guards: held };
      const [after, actions] = transition(machine, before as never, event as never);
      return { position: wrap(after), actions: (actions as { type: string }[]).map(({ type }) => type) };
    },
    restore(stored) {
      if (!stored || stored.flow !== file.flow) return wrap(first);
      const state = (stored.snapshot as { value?: unknown }).value;
      if (typeof state !== 'string') return wrap(first);
      const name = file.renamed[state] ?? state;
      if (!(name in file.states)) return wrap(first);
      return { ...stored, version: file.version, snapshot: { ...(stored.snapshot as object), value: name } };
    },
  };
}

const holds = (guards: Guards, name: string): boolean =>
  name.startsWith('not ') ? guards[name.slice(4)] !== true : guards[name] === true;

/** The name of the state that a position stands in. */
export const stateOf = (position: Position): string => String((position.snapshot as { value?: unknown }).value);
