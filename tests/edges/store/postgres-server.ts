import { execFileSync } from 'node:child_process';
import { chmodSync, existsSync, mkdtempSync, readdirSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** A PostgreSQL server for one test file: the one that DATABASE_URL names, or one of its own that it starts. */
export interface Server {
  url: string;
  stop(): void;
}

const DEBIAN = '/usr/lib/postgresql';

/** @throws Error that says what to install where there is no server and none can be started */
export function startServer(): Server {
  const named = process.env['DATABASE_URL'];
  if (named !== undefined) return { url: named, stop: () => {} };
  const bin = binaries();
  const folder = mkdtempSync(join(tmpdir(), 'telltale-postgres-'));
  const data = join(folder, 'data');
  // The server refuses to run as root: then it runs as the user that the package made.
  const asRoot = process.getuid?.() === 0;
  const run = (command: string, args: string[]) =>
    asRoot
      ? execFileSync('runuser', ['-u', 'postgres', '--', join(bin, command), ...args], { cwd: folder, stdio: 'pipe' })
      : execFileSync(join(bin, command), args, { cwd: folder, stdio: 'pipe' });
  if (asRoot) {
    chmodSync(folder, 0o755);
    execFileSync('chown', ['postgres', folder]);
  }
  run('initdb', ['-D', data, '-U', 'telltale', '--auth=trust', '--encoding=UTF8', '--no-sync']);
  const port = 20_000 + (process.pid % 20_000);
  const options = `-c listen_addresses=127.0.0.1 -c unix_socket_directories='' -c port=${port} -c max_connections=50`;
  run('pg_ctl', ['-D', data, '-l', join(folder, 'log'), '-o', options, '-w', 'start']);
  return {
    url: `postgres://telltale@127.0.0.1:${port}/postgres`,
    stop() {
      run('pg_ctl', ['-D', data, '-m', 'immediate', '-w', 'stop']);
      rmSync(folder, { recursive: true });
    },
  };
}

function binaries(): string {
  const versions = existsSync(DEBIAN) ? readdirSync(DEBIAN).sort((a, b) => Number(b) - Number(a)) : [];
  const found = versions.map((version) => join(DEBIAN, version, 'bin')).find((bin) => existsSync(join(bin, 'initdb')));
  if (found === undefined) {
    throw new Error('needs a PostgreSQL: install the package `postgresql`, or set DATABASE_URL to a server for tests');
  }
  return found;
}
