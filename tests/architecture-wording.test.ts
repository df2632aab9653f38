import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, resolve } from 'node:path';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

/*
 * What owners say is data in flows/language: no file of the reader holds a list of everyday words. Lists whose type
 * names their members (ids, kinds, signs) are no wording.
 */
const understand = resolve(import.meta.dirname, '../src/core/understand');
const files = readdirSync(understand, { recursive: true, encoding: 'utf8' }).filter((name) => name.endsWith('.ts'));

/** One or two words at a place are looked for by a rule of the language; three are a list that grows. */
const FEWEST = 3;
const WORD = /^\p{Ll}+$/u;
/** Of single letters a regular expression may hold as many as it likes. */
const ALTERNATIVE = /^\p{Ll}{2,}$/u;

/** The lists of everyday words in a source text, each as one line of words. */
function wordListsIn(text: string): string[] {
  const found: string[] = [];
  const put = (words: readonly string[], word: RegExp): void => {
    if (words.length >= FEWEST && words.every((each) => word.test(each))) found.push(words.join(' '));
  };
  const visit = (node: ts.Node): void => {
    if (ts.isPropertyAccessExpression(node) && node.name.text === 'split') {
      put((stringOf(node.expression) ?? '').split(/[ ,|]+/), WORD);
    } else if (ts.isArrayLiteralExpression(node) && node.elements.every(ts.isStringLiteralLike) && !isTyped(node)) {
      put(
        node.elements.map((element) => (element as ts.StringLiteralLike).text),
        WORD,
      );
    } else if (ts.isRegularExpressionLiteral(node)) {
      const alternatives = node.text.split(/[()/]|\?[:=!]/).map((part) => part.split('|'));
      for (const words of alternatives) put(words, ALTERNATIVE);
    }
    ts.forEachChild(node, visit);
  };
  visit(ts.createSourceFile('source.ts', text, ts.ScriptTarget.Latest, true));
  return found;
}

/** A text that is written in one piece or in several with plus signs between. */
function stringOf(node: ts.Expression): string | undefined {
  if (ts.isParenthesizedExpression(node)) return stringOf(node.expression);
  if (ts.isStringLiteralLike(node)) return node.text;
  if (!ts.isBinaryExpression(node)) return undefined;
  return [stringOf(node.left), stringOf(node.right)].join('');
}

/** Whether a type names the members: `as const`, `new Set<Kind>`, or an annotation of anything but strings. */
function isTyped({ parent }: ts.ArrayLiteralExpression): boolean {
  const holder = ts.isNewExpression(parent) && !parent.typeArguments ? parent.parent : parent;
  if (ts.isVariableDeclaration(holder) || ts.isPropertyDeclaration(holder)) {
    return holder.type !== undefined && !/\bstring\b/.test(holder.type.getText());
  }
  return ts.isAsExpression(holder) || ts.isNewExpression(holder);
}

describe('what owners say', () => {
  it('is looked for in every file of the reader', () => {
    expect(files.length).toBeGreaterThan(50);
  });

  it.each(files.sort())('is no list in %s', (name) => {
    expect(wordListsIn(readFileSync(join(understand, name), 'utf8')), relative('.', name)).toEqual([]);
  });

  it.each([
    [`const NO = new Set(['no', 'nope', 'nah']);`, 'a set of strings'],
    [`const NO: ReadonlySet<string> = new Set(['no', 'nope', 'nah']);`, 'a set that is annotated with strings'],
    [`if (['or', 'and', 'o'].includes(word)) end();`, 'an array on the spot'],
    [`const AS = new Set('when if once'.split(' '));`, 'a text that is split'],
    [`const AS = new Set(('when if ' + 'once').split(' '));`, 'a text in two pieces that is split'],
    [`const isBound = /before|prior|antes/.test(said);`, 'alternatives'],
    [`const STEM = /^(?:hypothe|suppos|supong)/;`, 'alternatives in brackets'],
  ])('is found in %s: %s', (text) => {
    expect(wordListsIn(text)).toHaveLength(1);
  });

  it.each([
    [`const KINDS = ['past', 'seller', 'question'] as const;`, 'a definition of ids'],
    [`const GRAVE: ReadonlySet<Intent> = new Set(['price', 'help', 'book']);`, 'ids by their annotation'],
    [`const ELSEWHERE = new Set<Kind>(['past', 'seller', 'question']);`, 'ids by their type argument'],
    [`const SIGNS = ['told-sure', 'told-phrase', 'told'];`, 'names that nobody says'],
    [`const PLURAL = /(s|x|z|ch|sh)$/;`, 'endings of a rule of spelling'],
    [`if (word === 'a' || word === 'an') next();`, 'a word or two at a place'],
  ])('is not seen in %s: %s', (text) => {
    expect(wordListsIn(text)).toEqual([]);
  });
});
