import { describe, expect, it } from 'vitest';
import { compileShop } from '../../../src/core/book/mod.ts';
import { findingLine } from '../../../src/core/model/checked.ts';
import { shopFile } from './fixtures.ts';

/** The demo shop's file with one passage changed. */
function changed(passage: string | RegExp, into: string) {
  const text = shopFile.text.replace(passage, into);
  expect(text, 'the passage stands in the file').not.toBe(shopFile.text);
  const checked = compileShop([{ ...shopFile, text }]);
  return checked.ok ? [] : checked.findings.map(findingLine);
}

const lineOf = (passage: string) => shopFile.text.slice(0, shopFile.text.indexOf(passage)).split('\n').length;

describe('the shop of flows/shop.yaml', () => {
  it('is sound', () => {
    expect(compileShop([shopFile])).toMatchObject({ ok: true });
  });

  it('is missed where the file is not there', () => {
    expect(compileShop([])).toEqual({
      ok: false,
      findings: [{ file: 'flows/shop.yaml', line: 1, message: 'the file is missing: it describes the shop' }],
    });
  });

  it.each<[string, string | RegExp, string, RegExp, string]>([
    ['a zone that no clock knows', 'zone: America/Denver', 'zone: America/Nowhere', /unknown time zone/, 'zone:'],
    [
      'a country without known holidays',
      'country: US',
      'country: QQ',
      /no public holidays are known for "QQ"/,
      'region:',
    ],
    [
      'a time of day that does not exist',
      "monday: [{ from: '07:30'",
      "monday: [{ from: '25:30'",
      /time of day/,
      'monday:',
    ],
    ['a day that ends before it begins', "to: '12:00' }]", "to: '07:00' }]", /ends before it begins/, 'saturday:'],
    [
      'spans that overlap',
      'sunday: []',
      "sunday: [{ from: '08:00', to: '12:00' }, { from: '11:00', to: '13:00' }]",
      /begins before 08:00 to 12:00 ends/,
      'sunday:',
    ],
    ['two bays of one id', 'id: bay-2', 'id: bay-1', /the id "bay-1" stands twice/, 'id: bay-2'],
    ['a bay and a person of one id', 'id: tock', 'id: bay-1', /bays and people share one diary/, 'id: tock'],
    ['a key that is misspelt', 'yardPlaces: 6', 'yardPlace: 6', /yardPlace/, 'yardPlaces:'],
    ['a service that nobody sells', '[transmission-diagnosis, chassis', '[gearbox, chassis', /needsLift/, 'needsLift:'],
    [
      'a service that needs a lift where no bay has one',
      /lift: true/g,
      'lift: false',
      /no bay takes "chassis-inspection", which needs a lift/,
      'bays:',
    ],
    [
      'a service that no technician can do',
      /role: technician\s*\}/g,
      'role: technician, skills: [oil-service] }',
      /no technician can do "fuel-system-replacement"/,
      'people:',
    ],
    ['a message window that is empty', "to: '19:00'", "to: '08:00'", /ends before it begins/, 'between:'],
  ])('is refused for %s', (_what, passage, into, message, place) => {
    const findings = changed(passage, into);
    const finding = findings.find((line) => message.test(line));
    expect(finding, findings.join('\n')).toBeDefined();
    const line = Number(finding?.split(':')[1]);
    expect(Math.abs(line - lineOf(place))).toBeLessThanOrEqual(1);
  });

  it('names every fault at once', () => {
    const text = shopFile.text.replace('zone: America/Denver', 'zone: Nowhere').replace('id: bay-2', 'id: bay-1');
    const checked = compileShop([{ ...shopFile, text }]);
    expect(checked.ok ? 0 : checked.findings.length).toBe(2);
  });
});
