/** A file in a multipart body. */
export interface UploadedFile {
  fileName: string;
  bytes: Buffer;
}

/**
 * Takes a multipart/form-data body (RFC 7578) apart. Also reads names without quotes, which some clients write.
 * Throws where the body does not follow its boundary.
 */
export function parseMultipart(
  body: Buffer,
  contentType: string,
): { fields: Record<string, string>; files: Record<string, UploadedFile> } {
  const boundary = /boundary="?([^";]+)"?/.exec(contentType)?.[1];
  if (!boundary) throw new Error('multipart without a boundary');
  const fields: Record<string, string> = {};
  const files: Record<string, UploadedFile> = {};
  const mark = Buffer.from(`--${boundary}`);
  let at = body.indexOf(mark);
  for (;;) {
    if (at < 0) throw new Error('multipart body is cut off');
    const start = at + mark.length;
    if (body.subarray(start, start + 2).toString() === '--') return { fields, files };
    const next = body.indexOf(Buffer.concat([Buffer.from('\r\n'), mark]), start);
    const headEnd = body.indexOf('\r\n\r\n', start);
    if (next < 0 || headEnd < 0 || headEnd > next) throw new Error('multipart body is cut off');
    const head = body.subarray(start, headEnd).toString('utf8');
    const content = body.subarray(headEnd + 4, next);
    const name = /[; ]name="?([^";\r\n]+)"?/.exec(head)?.[1] ?? '';
    const fileName = /filename="?([^";\r\n]+)"?/.exec(head)?.[1];
    if (fileName === undefined) fields[name] = content.toString('utf8');
    else files[name] = { fileName, bytes: Buffer.from(content) };
    at = next + 2;
  }
}
