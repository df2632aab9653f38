import type { FastifyRequest } from 'fastify';

/** A posted form: its fields, a list where a name comes more than once, and its files by the name of their field. */
export interface PostedForm {
  fields: Record<string, string | string[]>;
  files: { field: string; name: string; bytes: Uint8Array }[];
}

/** Reads a form in either encoding that a browser posts. Fields that were left empty have no file. */
export async function readForm(request: FastifyRequest): Promise<PostedForm> {
  const form: PostedForm = { fields: {}, files: [] };
  if (!request.isMultipart()) {
    form.fields = { ...(request.body as Record<string, string | string[]> | undefined) };
    return form;
  }
  for await (const part of request.parts()) {
    if (part.type === 'file') {
      const bytes = await part.toBuffer();
      if (bytes.length > 0) form.files.push({ field: part.fieldname, name: part.filename, bytes });
      continue;
    }
    const value = String(part.value);
    const before = form.fields[part.fieldname];
    form.fields[part.fieldname] = before === undefined ? value : [before, value].flat();
  }
  return form;
}
