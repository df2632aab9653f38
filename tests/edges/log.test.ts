import { GrammyError, HttpError } from 'grammy';
import { describe, expect, it } from 'vitest';
import { createLog, describeFault, scrub } from '../../src/log.ts';

const TOKEN = '123456789:AAF-abcdefghijklmnopqrstuvwxyz012345';

/** What a log writes when `act` uses it. */
function written(act: (log: ReturnType<typeof createLog>) => void): string {
  const lines: string[] = [];
  act(createLog({ level: 'trace', destination: { write: (line) => void lines.push(line) } }));
  return lines.join('');
}

describe('the log', () => {
  it('keeps identifiers, counts and outcomes', () => {
    const line = written((log) =>
      log.info({ channel: 'telegram', updateId: 77, outcome: 'later', seconds: 3 }, 'delivered'),
    );
    expect(JSON.parse(line)).toMatchObject({
      level: 'info',
      channel: 'telegram',
      updateId: 77,
      outcome: 'later',
      seconds: 3,
      msg: 'delivered',
    });
  });

  it.each<[string, Record<string, unknown>, string]>([
    ['the words of an owner', { text: 'smoke from the tailpipe' }, 'smoke'],
    ['words further down', { event: { photos: ['a'], message: { caption: 'my leak' } } }, 'leak'],
    ['a phone number by key', { contact: { phone_number: '5550100' } }, '5550100'],
    ['a phone number in a sentence', { note: 'x', because: 'call +1 555 555 0123 back' }, '0123'],
    ['a local phone number', { because: 'call 555-0123 back' }, '0123'],
    ['a VIN in a sentence', { because: 'truck ZZ1AB2CD3EF456789 is not ours' }, 'ZZ1AB2'],
    ['an e-mail address', { because: 'from someone@mail.example.com' }, 'someone'],
    ['the bot token by key', { token: TOKEN }, 'AAF-'],
    ['the bot token in a sentence', { because: `bad ${TOKEN}` }, 'AAF-'],
    ['the bot token in an address', { because: 'http://127.0.0.1:8081/bot1:ab/getMe failed' }, '1:ab'],
    ['a database password', { because: 'postgres://shop:hunter22@db/telltale' }, 'hunter22'],
    ['the bytes of a picture', { part: new Uint8Array([7, 7, 7, 7]) }, '7,7'],
  ])('hides %s', (_, line, secret) => {
    expect(written((log) => log.warn(line, 'something happened'))).not.toContain(secret);
  });

  it('hides secrets that stand in the sentence itself', () => {
    expect(written((log) => log.error(`cannot reach https://api.example.com/bot${TOKEN}/getMe`))).not.toContain('AAF-');
  });

  it('never writes what an HttpError or a GrammyError carries', () => {
    const cause = Object.assign(new Error(`request to https://h/bot${TOKEN}/sendMessage failed`), {
      code: 'ECONNRESET',
    });
    const lost = new HttpError("Network request for 'sendMessage' failed!", cause);
    const refused = new GrammyError(
      "Call to 'sendMessage' failed!",
      { ok: false, error_code: 400, description: 'Bad Request: chat not found' },
      'sendMessage',
      { chat_id: 1, text: 'my truck smokes' },
    );
    for (const fault of [lost, refused]) {
      const lines = written((log) => {
        log.error({ err: fault }, 'sending failed');
        log.error(fault);
        log.error({ deep: { fault } }, 'sending failed');
      });
      expect(lines).not.toContain('AAF-');
      expect(lines).not.toContain('smokes');
      expect(lines).not.toContain('/bot');
    }
    expect(describeFault(refused)).toMatchObject({ type: 'GrammyError', status: 400, method: 'sendMessage' });
  });

  it('does not quote a text that failed to parse', () => {
    let fault: unknown;
    try {
      JSON.parse('my truck smokes');
    } catch (error) {
      fault = error;
    }
    expect(JSON.stringify(describeFault(fault))).not.toContain('my truck');
  });

  it.each([
    ['2026-11-02T09:00:00.000Z', 'an instant'],
    ['listening on http://127.0.0.1:3000', 'an address of our own'],
    ['took 250 ms for 1000 rows', 'counts'],
    ['owner 4121234567', 'an identifier'],
  ])('leaves %s alone: %s', (text) => {
    expect(scrub(text)).toBe(text);
  });
});
