import { argv, exit, stderr, stdin, stdout } from 'node:process';
import { answerLines, type Answer } from './lines.ts';

interface Command {
  usage: string;
  about: string;
  /** Loads only what the command needs, and runs it; resolves with the exit code. */
  run(words: string[]): Promise<number>;
}

/** A command over JSON Lines, one answer a line. */
const stream = (usage: string, about: string, load: () => Promise<Answer>): Command => ({
  usage,
  about,
  async run(words) {
    if (words.length > 0) return refuse(`${usage} takes no further words`);
    return (await answerLines(stdin, stdout, await load())) ? 0 : 1;
  },
});

const COMMANDS: Record<string, Command> = {
  read: stream('read', 'what a message says, as facts', async () => (await import('./commands/read.ts')).load()),
  advise: stream('advise', 'what the rules conclude from facts', async () =>
    (await import('./commands/advise.ts')).load(),
  ),
  estimate: stream('estimate', 'hours and prices of services', async () =>
    (await import('./commands/estimate.ts')).load(),
  ),
  forecast: stream('forecast', 'where an odometer stands and when it is due', async () =>
    (await import('./commands/forecast.ts')).load(),
  ),
  slots: stream('slots', 'the next free times', async () => (await import('./commands/slots.ts')).load()),
  simulate: {
    usage:
      'simulate --vehicles N --years Y --seed S [--policy closer-to-due|fewer-messages]\n' +
      '           [--offers all-taken|as-people-do] [--world hard|survey] [--compare FILE.svg|FILE.png]',
    about: 'made-up owners under a virtual clock, and how well the reminders meet them',
    run: async (words) => (await import('./commands/simulate.ts')).run(words),
  },
  learn: {
    usage: 'learn [--write] < labelled-clauses.jsonl',
    about: 'lines of the lexicon from the clauses that the shop has labelled',
    run: async (words) => (await import('./commands/learn.ts')).run(words),
  },
  calibration: {
    usage: 'calibration DATABASE [--refit yes]',
    about: "how the logged forecasts met what came, and the prior fitted to the shop's own trucks",
    run: async (words) => (await import('./commands/calibration.ts')).run(words),
  },
  'check-flows': {
    usage: 'check-flows [FOLDER]',
    about: 'everything that is wrong in flows/, a line each',
    run: async (words) => (await import('./commands/check-flows.ts')).run(words),
  },
  'sign-in': {
    usage: 'sign-in PERSON',
    about: "a link to the shop's counter page that works once, for an hour",
    run: async (words) => (await import('./commands/sign-in.ts')).signIn(words),
  },
  backup: {
    usage: 'backup [FILE]',
    about: 'a checked copy of the database (SQLite), while the program runs',
    run: async (words) => (await import('./commands/backup.ts')).backup(words),
  },
  restore: {
    usage: 'restore FILE',
    about: 'puts a backup in the place of the database; stop the program first',
    run: async (words) => (await import('./commands/backup.ts')).restore(words),
  },
  export: {
    usage: 'export FOLDER',
    about: 'everything that the shop has stored: one file of JSON Lines a table, one file a picture',
    run: async (words) => (await import('./commands/export.ts')).exportAll(words),
  },
};

const HELP = `telltale COMMAND: the pure parts of Telltale, for people, scripts and checks, and what keeps a shop's data safe.

${Object.values(COMMANDS)
  .map(({ usage, about }) => `  ${usage}\n      ${about}`)
  .join('\n')}

read, advise, estimate, forecast and slots answer JSON Lines on standard input, one object a line, on standard output:
  echo '{"text":"2017 6.7 diesel, 97k, starts hard"}' | npm run --silent telltale -- read
A line that cannot be used is answered by {"error": …} in its place; the exit code is 1 then, and 2 for a wrong call.`;

function refuse(why: string): number {
  stderr.write(`${why}\n\n${HELP}\n`);
  return 2;
}

async function main([name, ...words]: string[]): Promise<number> {
  if (name === undefined || name === '--help' || name === '-h' || name === 'help') {
    stdout.write(`${HELP}\n`);
    return name === undefined ? 2 : 0;
  }
  const command = Object.hasOwn(COMMANDS, name) ? COMMANDS[name] : undefined;
  if (!command) return refuse(`there is no command "${name}"`);
  if (words.includes('--help')) {
    stdout.write(`${command.usage}\n    ${command.about}\n`);
    return 0;
  }
  return command.run(words);
}

stdout.on('error', (error: NodeJS.ErrnoException) => exit(error.code === 'EPIPE' ? 0 : 1));
process.exitCode = await main(argv.slice(2));
