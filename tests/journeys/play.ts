import { DateTime } from 'luxon';
import type { Stage } from './stage.ts';

/** What people and the clock do in a play; what is shown to them is written between by the stage. */
export type Cue =
  | { who: 'OWNER'; does: 'says' | 'taps' | 'edits'; words: string }
  | { who: 'OWNER'; does: 'photo' | 'opens' }
  | { who: 'SHOP'; words: string }
  | { who: 'CLOCK'; to: string }
  | { who: 'NOTE'; words: string };

const MARGIN = 11;
const margin = (word: string): string => word.padEnd(MARGIN);

/** Reads the cues of a transcript; everything that the stage wrote is passed over. */
export function cuesOf(transcript: string): { title: string; startsAt: string; cues: Cue[] } {
  const [title = '', start = '', ...lines] = transcript.split('\n');
  const startsAt = /^Starts (\S+ \S+)/.exec(start)?.[1] ?? '';
  const cues = lines.flatMap((line): Cue[] => {
    const word = line.slice(0, MARGIN).trim();
    const words = line.slice(MARGIN);
    if (word === 'OWNER') {
      const tap = /^\[(.*)\]$/.exec(words)?.[1];
      if (tap !== undefined) return [{ who: 'OWNER', does: 'taps', words: tap }];
      if (words === '(sends a photo)') return [{ who: 'OWNER', does: 'photo' }];
      if (words === '(opens the chat)') return [{ who: 'OWNER', does: 'opens' }];
      const edit = /^\(corrects the last message\) (.*)$/.exec(words)?.[1];
      return [
        edit === undefined ? { who: 'OWNER', does: 'says', words } : { who: 'OWNER', does: 'edits', words: edit },
      ];
    }
    if (word === 'SHOP') return [{ who: 'SHOP', words }];
    if (word === 'CLOCK') return [{ who: 'CLOCK', to: words }];
    return word === 'NOTE' ? [{ who: 'NOTE', words }] : [];
  });
  return { title, startsAt, cues };
}

/** Plays the cues on a stage and writes the whole transcript: cues, and what each side was shown. */
export async function play(
  title: string,
  startsAt: string,
  cues: readonly Cue[],
  stage: Stage,
  zone: string,
): Promise<string> {
  const lines = [title, `Starts ${startsAt}`, ''];
  const shown = () => {
    for (const { to, text, buttons, extra } of stage.look()) {
      const [first = '', ...rest] = text.split('\n');
      lines.push(`${margin(to === 'owner' ? 'TELLTALE' : 'SHOP SEES')}${first}`.trimEnd());
      for (const row of rest) lines.push(`${margin('')}${row}`.trimEnd());
      if (extra !== '') lines.push(`${margin('')}(${extra})`);
      if (buttons.length > 0) lines.push(`${margin('')}${buttons.map((label) => `[${label}]`).join(' ')}`);
    }
  };
  shown();
  for (const cue of cues) {
    lines.push('');
    switch (cue.who) {
      case 'NOTE':
        lines.push(`${margin('NOTE')}${cue.words}`);
        break;
      case 'CLOCK':
        lines.push(`${margin('CLOCK')}${cue.to}`);
        await stage.moveClock(DateTime.fromFormat(cue.to, 'yyyy-MM-dd HH:mm', { zone }).toISO() ?? '');
        break;
      case 'SHOP':
        lines.push(`${margin('SHOP')}${cue.words}`);
        await stage.staff(cue.words);
        break;
      case 'OWNER':
        lines.push(`${margin('OWNER')}${ownerLine(cue)}`);
        if (cue.does === 'says') await stage.says(cue.words);
        if (cue.does === 'taps') await stage.taps(cue.words);
        if (cue.does === 'edits') await stage.edits(cue.words);
        if (cue.does === 'photo') await stage.sendsPhoto();
        if (cue.does === 'opens') await stage.opens();
        break;
    }
    shown();
  }
  return `${lines.join('\n')}\n`;
}

function ownerLine(cue: Extract<Cue, { who: 'OWNER' }>): string {
  switch (cue.does) {
    case 'says':
      return cue.words;
    case 'taps':
      return `[${cue.words}]`;
    case 'edits':
      return `(corrects the last message) ${cue.words}`;
    case 'photo':
      return '(sends a photo)';
    case 'opens':
      return '(opens the chat)';
  }
}
