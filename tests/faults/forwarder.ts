import { createServer, request as requestHttp } from 'node:http';
import type { IncomingMessage, ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';

/**
 * What stands in front of several processes of one shop: one address, each request to the next process, and to another
 * one where a process does not listen. A request that breaks off is answered with 502, since nobody knows what of it
 * was done.
 */
export class Forwarder {
  readonly #ports: number[];
  #next = 0;
  readonly #server = createServer((request, response) => this.#forward(request, response));

  constructor(ports: number[]) {
    this.#ports = ports;
  }

  async listen(): Promise<string> {
    await new Promise<void>((resolve) => this.#server.listen(0, '127.0.0.1', resolve));
    return `http://127.0.0.1:${(this.#server.address() as AddressInfo).port}`;
  }

  async close(): Promise<void> {
    this.#server.closeAllConnections();
    await new Promise((resolve) => this.#server.close(resolve));
  }

  #forward(request: IncomingMessage, response: ServerResponse): void {
    const chunks: Buffer[] = [];
    request.on('data', (chunk: Buffer) => chunks.push(chunk));
    request.on('end', () => this.#try(request, response, Buffer.concat(chunks), this.#ports.length));
    request.on('error', () => response.destroy());
  }

  #try(request: IncomingMessage, response: ServerResponse, body: Buffer, tries: number): void {
    const port = this.#ports[this.#next++ % this.#ports.length] ?? 0;
    const { url: path = '/', method = 'GET', headers } = request;
    const onward = requestHttp({ host: '127.0.0.1', port, path, method, headers, agent: false }, (answer) => {
      response.writeHead(answer.statusCode ?? 502, answer.headers);
      answer.pipe(response);
      answer.on('error', () => response.destroy());
    });
    onward.on('error', (fault: NodeJS.ErrnoException) => {
      if (fault.code === 'ECONNREFUSED' && tries > 1) return this.#try(request, response, body, tries - 1);
      if (response.headersSent) response.destroy();
      else response.writeHead(502).end();
    });
    onward.end(body);
  }
}

/** Ports of this machine that nobody listens on now. */
export async function freePorts(count: number): Promise<number[]> {
  const servers = Array.from({ length: count }, () => createServer());
  const ports: number[] = [];
  for (const server of servers) {
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    ports.push((server.address() as AddressInfo).port);
  }
  for (const server of servers) await new Promise((resolve) => server.close(resolve));
  return ports;
}
