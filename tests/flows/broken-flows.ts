/**
 * Slips that a shop can make in its own files: in `file` the text `from` is replaced by `to`, and a finding is wanted at
 * the line of `at` (of the mended text where absent), saying `says`.
 */
export interface Slip {
  slip: string;
  file: string;
  from: string;
  to: string;
  at?: string;
  /** Where the finding stands in another file. */
  inFile?: string;
  says: string;
}

const rules = 'flows/advice/rules/2-pump.yaml';
const fuel = 'flows/advice/rules/3-fuel.yaml';
const cautions = 'flows/advice/cautions.yaml';
const v8 = 'flows/vehicles/v8.yaml';
const catalogue = 'flows/services/catalogue.yaml';
const owner = 'flows/conversation/owner.yaml';
const scopes = 'flows/language/complaints-scopes.yaml';
const littleWords = 'flows/language/values-little-words.yaml';
const valuesEs = 'flows/language/values-es.yaml';

export const SLIPS: readonly Slip[] = [
  { slip: 'a misspelt fact', file: rules, from: 'fact: milesOnPump, from: 60000, below', to: 'fact: milesOnPomp, from: 60000, below', says: 'is milesOnPump meant?' },
  { slip: 'a misspelt symptom', file: rules, from: 'when: { fact: symptoms, has: pump-whine }', to: 'when: { fact: symptoms, has: pump-wine }', says: 'is pump-whine meant?' },
  { slip: 'a misspelt pump design', file: rules, from: 'fact: pumpDesign, is: two-plunger }\n        - { fact: milesOnPump, from: 80000', to: 'fact: pumpDesign, is: two-plungr }\n        - { fact: milesOnPump, from: 80000', says: 'is two-plunger meant?' },
  { slip: 'a misspelt group of trouble codes', file: fuel, from: '{ fact: codeGroups, has: rail-leak }', to: '{ fact: codeGroups, has: rail-leek }', says: 'is rail-leak meant?' },
  { slip: 'a misspelt service', file: fuel, from: '- service: fuel-system-flush', to: '- service: fuel-system-flash', says: 'is fuel-system-flush meant?' },
  { slip: 'a misspelt urgency', file: fuel, from: 'urgency: prompt', to: 'urgency: promt', says: 'is prompt meant?' },
  { slip: 'a misspelt caution', file: fuel, from: 'cautions: [sudden-power-loss]', to: 'cautions: [sudden-power-los]', says: 'is sudden-power-loss meant?' },
  { slip: 'a condition that is not defined', file: rules, from: '- { condition: inWindow }', to: '- { condition: inWindw }', says: 'is not defined' },
  { slip: 'a rule that can never fire', file: fuel, from: 'when: { fact: fuelFilterMonthsLeft, below: 0.001 }', to: 'when: { all: [{ fact: odometerMiles, below: 10 }, { fact: odometerMiles, from: 20 }] }', says: 'can never fire' },
  { slip: 'numbers the wrong way round', file: rules, from: 'from: 80000, below: 100001', to: 'from: 100001, below: 80000', says: 'can never hold' },
  { slip: 'a service that is advised and refused at once', file: fuel, from: '        - { condition: filterComesAnyway }\n        - { condition: filterForComplaint }\n        - { fact: fuelFilterMonthsLeft, below: 0.001 }', to: '        - { condition: filterComesAnyway }\n        - { condition: filterForComplaint }', at: '- service: fuel-filter-service\n        because:\n          en: \'Not yet', says: 'at once, for instance with' },
  { slip: 'a rule without a reason', file: fuel, from: '    reason: A fuel leak is a fire risk.\n', to: '', at: 'id: fuel-leak-search', says: 'a rule needs the reason' },
  { slip: 'a rule without a source', file: fuel, from: '    reason: A fuel leak is a fire risk.\n    source: common practice, no source\n', to: '    reason: A fuel leak is a fire risk.\n', at: 'id: fuel-leak-search', says: 'a rule needs its source' },
  { slip: 'a reason for the owner in one language only', file: fuel, from: '          es: Un filtro que retuvo agua se cambia.\n', to: '', at: 'en: A filter that has held water is changed.', says: 'because.es' },
  { slip: 'a figure that nobody computes', file: fuel, from: '{fuelFilterMilesOver} miles past', to: '{fuelFilterMilesOvr} miles past', says: 'is fuelFilterMilesOver meant?' },
  { slip: 'an id that is used twice', file: fuel, from: 'id: fuel-smell', to: 'id: fuel-leak-search', says: 'is used twice' },
  { slip: 'a key that does not exist', file: fuel, from: '    urgency: do-not-drive\n    shopNote:', to: '    urgncy: do-not-drive\n    shopNote:', says: 'Unrecognized key' },
  { slip: 'YAML that cannot be read', file: fuel, from: 'rules:\n  - id: wrong-fuel-flush', to: 'rules: [\n  - id: wrong-fuel-flush', at: '- id: wrong-fuel-flush', says: 'not valid YAML' },
  { slip: 'hands-on work without a caution', file: cautions, from: '{ id: cooling-system-test, cautions: [hot-coolant]', to: '{ id: cooling-system-test, cautions: []', inFile: 'flows/advice/rules/6-engine.yaml', at: '- service: cooling-system-test', says: 'hands-on work without cautions' },
  { slip: 'a caution missing in Spanish', file: cautions, from: '      es: No la maneje; debe venir en grúa.\n', to: '', at: "en: Do not drive it; it comes in on a tow truck.", says: 'es' },
  { slip: 'a trouble code that is none', file: 'flows/advice/codes.yaml', from: 'codes: [P0524]', to: 'codes: [P052]', says: 'neither a trouble code' },
  { slip: 'model years that overlap', file: v8, from: 'years: { from: 2017, to: 2019 }', to: 'years: { from: 2016, to: 2019 }', says: '2016' },
  { slip: 'model years with a gap', file: v8, from: 'years: { from: 2017, to: 2019 }', to: 'years: { from: 2018, to: 2019 }', says: '2017' },
  { slip: 'a pump without fitting data of the kit', file: v8, from: 'design: other-common-rail, certain: true }\n        egrCooler: { fitted: \'yes\' }\n        particulateFilter: { fitted: \'yes\' }\n        exhaustFluid: { fitted: \'no\' }', to: 'design: two-plunger, certain: true }\n        egrCooler: { fitted: \'yes\' }\n        particulateFilter: { fitted: \'yes\' }\n        exhaustFluid: { fitted: \'no\' }', at: '- id: v8-6.4-2008', says: 'kit' },
  { slip: 'a misspelt labour step', file: catalogue, from: 'steps: [scan, fuel-pressure-gauges]', to: 'steps: [scan, fuel-pressure-gages]', says: 'is fuel-pressure-gauges meant?' },
  { slip: 'a service without labour steps', file: catalogue, from: 'steps: [scan, fuel-pressure-gauges]', to: 'steps: []', says: 'steps' },
  { slip: 'a misspelt engine in a price', file: 'flows/services/parts.yaml', from: '{ engines: [v8-6.7], price: [450, 800] }', to: '{ engines: [v8-6.8], price: [450, 800] }', says: 'v8-6.8 is no engine; is' },
  { slip: 'a text in one language only', file: 'flows/texts/en.ftl', from: 'new-truck = A new truck. I keep it apart from the others.\n', to: '', inFile: 'flows/texts/es.ftl', at: 'new-truck =', says: 'is missing in "en"' },
  { slip: 'a placeholder that nothing fills', file: 'flows/texts/en.ftl', from: 'greet-again = Hello again from { $shop }.', to: 'greet-again = Hello again from { $shopName }.', says: 'shopName' },
  { slip: 'a text that stands twice', file: 'flows/texts/en.ftl', from: 'greet-again = Hello', to: 'greet-again = Hi.\ngreet-again = Hello', at: 'greet-again = Hello', says: 'stands twice' },
  { slip: 'a move to a state that does not exist', file: owner, from: 'NEW_TRUCK: { to: writeUp,', to: 'NEW_TRUCK: { to: writUp,', says: 'there is no state "writUp"' },
  { slip: 'an action that does not exist', file: owner, from: 'STATUS: { do: [sayStatus] }', to: 'STATUS: { do: [sayStatos] }', says: 'did you mean "sayStatus"?' },
  { slip: 'a guard that does not exist', file: owner, from: 'when: phoneKnown,', to: 'when: phoneKnwn,', says: 'did you mean "phoneKnown"?' },
  { slip: 'two states that lead to each other and to which nothing leads', file: owner, from: '  forgetting:\n    on:', to: '  lost:\n    on:\n      YES: { to: found }\n\n  found:\n    on:\n      NO: { to: lost }\n\n  forgetting:\n    on:', at: 'on:\n      YES: { to: found }', says: 'no way leads from "idle" to the state "lost"; let a move lead there' },
  { slip: 'a move that one before it hides', file: owner, from: '        - { when: doubtOpen, do: [askDoubt] }\n        - { when: worthBooking, to: choosingTime, do: [takeBestDay, offerTimes] }', to: '        - { when: doubtOpen, do: [askDoubt] }\n        - { when: [doubtOpen, worthBooking], to: choosingTime, do: [takeBestDay, offerTimes] }', at: '{ when: [doubtOpen, worthBooking]', says: 'move 2 of MILES is never taken' },
  { slip: 'a text that is misspelt in one language', file: 'flows/texts/es.ftl', from: 'greet-again =', to: 'greet-agian =', says: 'is missing in "en"; is greet-again meant?' },
  { slip: 'a list of little words around values that is missing', file: littleWords, from: "  turnsRound: { en: 'wait, sorry', es: espera }\n", to: '', at: '  plainNo: {', says: 'no file holds the list of words "words.turnsRound"' },
  { slip: 'a list of phrases around values that is missing in Spanish', file: valuesEs, from: '  notTheWork: []\n', to: '', at: '  miles: [', says: 'cues.notTheWork: the list is missing' },
  { slip: 'a name of a holiday that has no rule', file: valuesEs, from: '    laborDay: [', to: '    labourDay: [', says: 'no values file has a rule for this holiday' },
  { slip: 'a list of words that no file holds', file: scopes, from: '  listsDenials: deny, denies, denied, denying, niega, niegan\n', to: '', at: '  articles: the,', says: 'no file holds the list of words "grammar.listsDenials"' },
  { slip: 'a kit that opens the intake by its data and not by its steps', file: v8, from: 'opensIntake: true\n          bracket: single', to: 'opensIntake: false\n          bracket: single', inFile: catalogue, at: 'steps: [intake-manifold-off, protection-kit-fit', says: 'set opensIntake: true' },
  { slip: 'a misspelt setting of the follow-up', file: 'flows/follow-up.yaml', from: '    noticeDays: 2', to: '    notisDays: 2', says: 'notisDays' },
  { slip: 'a chance above one in the follow-up', file: 'flows/follow-up.yaml', from: '    sureEnough: 0.85', to: '    sureEnough: 8.5', says: 'sureEnough' },
  { slip: 'a prior fitted to too few trucks', file: 'flows/follow-up.yaml', from: 'minimumTrucks: ', to: 'minimumTrucks: 1 #', says: 'fewer than 20 trucks' },
  { slip: 'hours that end before they begin', file: 'flows/shop.yaml', from: "tuesday: [{ from: '07:30', to: '17:30' }]", to: "tuesday: [{ from: '17:30', to: '07:30' }]", says: 'ends before it begins' },
  { slip: 'a time zone that does not exist', file: 'flows/shop.yaml', from: 'zone: America/Denver', to: 'zone: America/Denvr', says: 'zone' },
  { slip: 'a bay that cannot do a service of no name', file: 'flows/shop.yaml', from: 'cannot: [pump-protection-kit,', to: 'cannot: [pump-protection-kits,', says: 'is pump-protection-kit meant?' },
];
