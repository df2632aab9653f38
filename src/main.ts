import { optionalFile, SETTINGS_FILE } from './settings.ts';
import { readShops, shopsFolder } from './shops.ts';

const HELP = `Telltale: the shop's assistant, with the owner's chat page and the shop's counter page.

  npm start                     serves both pages, and Telegram where TELEGRAM_TOKEN is set
  npm start -- --help

Settings come from the environment or a .env file; deploy/telltale.env.sample names and explains each. With SHOPS set to
a folder, one start serves several shops: each file NAME.env in it holds the settings of one.`;

if (process.argv.includes('--help') || process.argv.includes('-h')) {
  console.log(HELP);
} else {
  const asked = shopsFolder(process.env, optionalFile(SETTINGS_FILE));
  if (asked.kind === 'one') await import('./serve.ts');
  else {
    const shops = asked.kind === 'wrong' ? asked : readShops(asked.folder);
    if ('lines' in shops) {
      process.stderr.write(`${shops.lines.join('\n')}\n`);
      process.exitCode = 2;
    } else {
      const { serveShops } = await import('./shops-processes.ts');
      process.exitCode = await serveShops(shops.shops);
    }
  }
}
