import { describe, expect, it } from 'vitest';
import { facts } from './lexicon.ts';

const asked = { asked: 'engine', today: '2026-08-02' } as const;

describe('an engine that was asked for', () => {
  it.each([
    ['6.7', { engineLitres: 6.7 }],
    ['6.7L', { engineLitres: 6.7 }],
    ['6.7 L', { engineLitres: 6.7 }],
    ['6.7l diesel', { engineLitres: 6.7, fuel: 'diesel' }],
    ['6.7 liter', { engineLitres: 6.7 }],
    ['6.7-liter', { engineLitres: 6.7 }],
    ['6.7 litre v8', { engineLitres: 6.7, cylinders: 8, layout: 'V' }],
    ['6,7', { engineLitres: 6.7 }],
    ['six seven', { engineLitres: 6.7 }],
    ['six-seven', { engineLitres: 6.7 }],
    ['the six oh', { engineLitres: 6 }],
    ['five nine', { engineLitres: 5.9 }],
    ['seven three', { engineLitres: 7.3 }],
    ['six point seven', { engineLitres: 6.7 }],
    ['6 point 7', { engineLitres: 6.7 }],
    ['6 7', { engineLitres: 6.7 }],
    ['seis siete', { engineLitres: 6.7 }],
    ['siete punto tres', { engineLitres: 7.3 }],
    ['el seis punto siete', { engineLitres: 6.7 }],
    ['6700cc', { engineLitres: 6.7 }],
    ['6,700 cc', { engineLitres: 6.7 }],
    ['its the 6.7', { engineLitres: 6.7 }],
    ['it has the 6.7 in it', { engineLitres: 6.7 }],
    ['3.0 v6', { engineLitres: 3, cylinders: 6, layout: 'V' }],
    ['3 liter', { engineLitres: 3 }],
    ['three liter v6', { engineLitres: 3, cylinders: 6, layout: 'V' }],
    ['v8', { cylinders: 8, layout: 'V' }],
    ['V-8', { cylinders: 8, layout: 'V' }],
    ['v 8', { cylinders: 8, layout: 'V' }],
    ['V8 diesel', { cylinders: 8, layout: 'V', fuel: 'diesel' }],
    ['its a v eight', { cylinders: 8, layout: 'V' }],
    ['I6', { cylinders: 6, layout: 'I' }],
    ['inline 6', { cylinders: 6, layout: 'I' }],
    ['inline six', { cylinders: 6, layout: 'I' }],
    ['inline-6', { cylinders: 6, layout: 'I' }],
    ['straight 6', { cylinders: 6, layout: 'I' }],
    ['straight six diesel', { cylinders: 6, layout: 'I', fuel: 'diesel' }],
    ['6 cyl', { cylinders: 6 }],
    ['6cyl', { cylinders: 6 }],
    ['6 cylinder', { cylinders: 6 }],
    ['six cylinders inline', { cylinders: 6, layout: 'I' }],
    ['8 cylinders in a V', { cylinders: 8, layout: 'V' }],
    ['8 cilindros', { cylinders: 8 }],
    ['6 cilindros en línea', { cylinders: 6, layout: 'I' }],
    ['6 en línea', { cylinders: 6, layout: 'I' }],
    ['V8 a diesel', { cylinders: 8, layout: 'V', fuel: 'diesel' }],
    ['ocho cilindros en v', { cylinders: 8, layout: 'V' }],
    ['diesel', { fuel: 'diesel' }],
    ['the diesel one', { fuel: 'diesel' }],
    ['its a diesel', { fuel: 'diesel' }],
    ['gas', { fuel: 'gasoline' }],
    ['its a gas engine', { fuel: 'gasoline' }],
    ['gasser', { fuel: 'gasoline' }],
    ['petrol', { fuel: 'gasoline' }],
    ['gasolina', { fuel: 'gasoline' }],
    ['6.2 gas', { engineLitres: 6.2, fuel: 'gasoline' }],
    ['6.7 sorry 6.4', { engineLitres: 6.4 }],
    ['6.4 no wait 6.7', { engineLitres: 6.7 }],
    ['6.4 not 6.7', { engineLitres: 6.4 }],
    ['not the 6.4, the 6.7', { engineLitres: 6.7 }],
    ['v6. no v8', { cylinders: 8, layout: 'V' }],
    ['6.7 2017', { engineLitres: 6.7, modelYear: 2017 }],
    ['2017 6.7', { engineLitres: 6.7, modelYear: 2017 }],
    ['6.7, 118k', { engineLitres: 6.7, odometerMiles: 118_000 }],
    ['4.5 v8 in a food truck', { engineLitres: 4.5, cylinders: 8, layout: 'V' }],
  ])('%j', (text, expected) => {
    expect(facts(text, asked)).toEqual(expected);
  });

  it.each([
    ['6.7 i think', { 'engineLitres?': 6.7 }],
    ['i believe the 6.7', { 'engineLitres?': 6.7 }],
    ['might be the 6.7', { 'engineLitres?': 6.7 }],
    ['6.7 or 6.4', { 'engineLitres?': 6.7 }],
    ['67', { 'engineLitres?': 6.7 }],
    ['creo que la 6.7', { 'engineLitres?': 6.7 }],
  ])('%j is to be confirmed', (text, expected) => {
    expect(facts(text, asked)).toEqual(expected);
  });

  it.each(['no idea', 'the big one', 'no clue, its loud', 'cylinder 4 is missing', 'turbo', 'la grande'])(
    '%j gives none',
    (text) => {
      expect(facts(text, asked)).toEqual({});
    },
  );
});

describe('an engine in an opening message', () => {
  it.each([
    ['2016 6.7 V8 diesel 118k', { engineLitres: 6.7, cylinders: 8, layout: 'V', fuel: 'diesel' }],
    ['truck with the six seven diesel', { engineLitres: 6.7, fuel: 'diesel' }],
    ['the 5.9 wont start', { engineLitres: 5.9 }],
    ['my old 7.3', { engineLitres: 7.3 }],
    ['3.2 five cylinder diesel', { engineLitres: 3.2, cylinders: 5, fuel: 'diesel' }],
    ['2.8 four banger', { engineLitres: 2.8, cylinders: 4 }],
    ['a straight six', { cylinders: 6, layout: 'I' }],
    ['motor diésel 6.7 V8', { engineLitres: 6.7, cylinders: 8, layout: 'V', fuel: 'diesel' }],
    ['diesel is leaking under it', { fuel: 'diesel' }],
    ['smells like diesel inside', { fuel: 'diesel' }],
    ['put gas in my diesel', { fuel: 'diesel' }],
    ['the truck is gasoline', { fuel: 'gasoline' }],
    ['runs on gas', { fuel: 'gasoline' }],
    ['water in the diesel', { fuel: 'diesel' }],
  ])('%j', (text, expected) => {
    expect(facts(text)).toMatchObject(expected);
  });

  it.each([
    ['number 4 cylinder is dead'],
    ['cylinder 6 misfire'],
    ['4th cyl knocking'],
    ['missing on two cylinders'],
    ['set of 8 injectors'],
    ['down 2 litres of coolant'],
    ['13 L/100 km'],
    ['diesel exhaust fluid light is on'],
    ['diesel exhaust fluid low'],
    ['when I give it gas it knocks'],
    ['step on the gas and nothing'],
    ['my kid put gas in it'],
    ['gas prices are crazy'],
    ['the generator runs on gas'],
    ['reads 11.9 volts'],
    ['took I-40 west'],
    ['3.5 psi'],
    ['the mileage went from 15.2 to 9.8 mpg'],
    ['exhaust gas recirculation valve'],
    ['I need a diesel mechanic'],
    ['straight pipe it'],
    ['huele a gasolina'],
    ['le puse gasolina'],
    ['oil is 1.5 low'],
  ])('%j gives none', (text) => {
    const read = facts(text);
    for (const key of ['engineLitres', 'cylinders', 'layout', 'fuel']) expect(read).not.toHaveProperty(key);
  });
});
