import { mkdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { terminalChannel, type TerminalChannel } from './edges/channels/terminal/channel.ts';
import { StoreFault } from './edges/store/fault.ts';
import { createLog, kindOf } from './log.ts';
import { settingsOrExit } from './settings.ts';
import { FlowsFault, openSystem, type System } from './system.ts';

const HELP = `Talk with the shop's assistant in this terminal, as an owner would.

  npm run chat                  type, or pipe lines in; numbers press buttons
  npm run chat -- --as NAME     be another owner of the same database (default: terminal)
  npm run chat -- --plain       plain lines only, for a screen reader or a simple terminal
  npm run chat -- --help

Settings come from the environment or .env, as for npm start. /quit leaves.`;

const given = process.argv.slice(2);
let name = 'terminal';
let plain = process.env['TERM'] === 'dumb';
for (let flag = given.shift(); flag !== undefined; flag = given.shift()) {
  const value = flag === '--as' ? given.shift() : undefined;
  if (flag === '--help' || flag === '-h') {
    console.log(HELP);
    process.exit(0);
  } else if (flag === '--plain') plain = true;
  else if (flag === '--as' && value) name = value;
  else {
    process.stderr.write(`unknown: ${flag}\n\n${HELP}\n`);
    process.exit(2);
  }
}

const settings = settingsOrExit();
const log = createLog({ level: settings.logLevel === 'info' ? 'error' : settings.logLevel });
let system: System | undefined;
let terminal: TerminalChannel | undefined;

/** One after the other: what waits is worked on, then sent. */
let working: Promise<unknown> = Promise.resolve();
const settled = (): Promise<void> => {
  const next = working
    .catch(() => undefined)
    .then(async () => {
      await system?.desk.drain();
      await system?.dispatcher.drain();
    });
  working = next;
  return next;
};

try {
  system = await openSystem({ ...settings, telegram: undefined }, log, {
    extra: (time) => {
      terminal = terminalChannel({
        input: process.stdin,
        output: process.stdout,
        interactive: process.stdin.isTTY === true,
        lineEditing: !plain,
        settled,
        now: time.now,
        address: name,
        keepFile: async (file, content) => {
          const folder = join('data', 'files');
          await mkdir(folder, { recursive: true });
          const path = join(folder, file);
          await writeFile(path, content);
          return path;
        },
      });
      return [terminal];
    },
  });
} catch (error) {
  if (!(error instanceof FlowsFault || error instanceof StoreFault)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exit(2);
}

await system.start({ loops: false });
const looking = setInterval(() => {
  settled().catch((fault: unknown) => log.error({ because: kindOf(fault) }, 'replies are held up; tried again'));
}, 1000);
await terminal?.closed;
clearInterval(looking);
await settled();
await system.stop();
