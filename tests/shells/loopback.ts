/** A raw request to a server on loopback: any Host, any header, as another program on the machine could send it. */
import { request } from 'node:http';

export interface Answer {
  readonly status: number;
  readonly headers: Readonly<Record<string, string | readonly string[] | undefined>>;
  readonly text: string;
}

export function ask(
  port: number,
  path: string,
  headers: Readonly<Record<string, string>> = {},
  method = 'GET',
  body?: string,
): Promise<Answer> {
  return new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port, path, method, headers }, (answer) => {
      const parts: Buffer[] = [];
      answer.on('data', (part: Buffer) => parts.push(part));
      answer.on('end', () => {
        resolve({ status: answer.statusCode ?? 0, headers: answer.headers, text: Buffer.concat(parts).toString() });
      });
    });
    asked.on('error', reject);
    asked.end(body);
  });
}
