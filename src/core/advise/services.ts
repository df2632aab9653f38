import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../model/checked.ts';
import { parseFlowYaml, type LocatedYaml } from '../model/flow-yaml.ts';
import type { Language, ServiceId } from '../model/ids.ts';
import type { z } from 'zod';
import { Engines } from './engines.ts';
import { checkServices } from './services-check.ts';
import { CatalogueFile, PartsFile, StepsFile, TermsFile, type ServiceKind } from './services-schema.ts';
import { readWords, type Words } from './services-words.ts';
import type { Family, Vehicles } from './vehicles.ts';

export type { ServiceKind } from './services-schema.ts';

type Step = StepsFile['steps'][number];
type Part = PartsFile['parts'][number];
type Service = CatalogueFile['services'][number];

/** The checked content of flows/services/. */
export interface ServiceBook {
  /** In the order of the catalogue. */
  services: ReadonlyMap<ServiceId, Service>;
  steps: ReadonlyMap<string, Step>;
  parts: ReadonlyMap<string, Part>;
  /** Integer cents an hour. */
  labourRateCents: number;
  leftOut: TermsFile['leftOut'];
  breakEven: TermsFile['breakEven'];
  words: Words;
  /** The families of the vehicles book, for trucks whose engine is not known. */
  vehicles: Vehicles;
  engines: Engines;
}

/** What the files of flows/services/ hold after their shape was checked. */
export interface ServiceSources {
  steps: LocatedYaml<StepsFile>;
  parts: LocatedYaml<PartsFile>;
  catalogue: LocatedYaml<CatalogueFile>;
  terms: LocatedYaml<TermsFile>;
}

/**
 * Reads the files of flows/services/ among `files` and checks them: shape, references, that every service of the
 * trade dictionary is there with steps and texts, and that the kit's hours agree with the fitting data of the families.
 */
export function compileServices(files: readonly FlowFile[], vehicles: Vehicles): Checked<ServiceBook> {
  const findings: FlowFinding[] = [];
  const read = <S extends z.ZodType>(name: string, schema: S): LocatedYaml<z.infer<S>> | undefined => {
    const path = `flows/services/${name}.yaml`;
    const file = files.find((candidate) => candidate.path.endsWith(path));
    if (!file) {
      findings.push({ file: path, line: 1, message: 'the file is missing' });
      return undefined;
    }
    const parsed = parseFlowYaml(file, schema);
    if (parsed.ok) return parsed.value;
    findings.push(...parsed.findings);
    return undefined;
  };
  const steps = read('steps', StepsFile);
  const parts = read('parts', PartsFile);
  const catalogue = read('catalogue', CatalogueFile);
  const terms = read('terms', TermsFile);
  const { words, findings: wrongWords } = readWords(files);
  findings.push(...wrongWords);
  if (!steps || !parts || !catalogue || !terms) return unsound(findings);
  findings.push(...checkServices({ steps, parts, catalogue, terms }, vehicles));
  if (findings.length > 0) return unsound(findings);
  return sound({
    services: new Map(catalogue.value.services.map((service) => [service.id, service])),
    steps: new Map(steps.value.steps.map((step) => [step.id, step])),
    parts: new Map(parts.value.parts.map((part) => [part.id, part])),
    labourRateCents: Math.round(terms.value.labourRate * 100),
    leftOut: terms.value.leftOut,
    breakEven: terms.value.breakEven,
    words,
    vehicles,
    engines: new Engines(vehicles),
  });
}

interface ForWhom {
  engines?: string[] | undefined;
  families?: string[] | undefined;
}

/** The entry that is made for a family: its own before that of its engine. */
export function entryFor<T extends ForWhom>(entries: readonly T[], family: Family): T | undefined {
  return (
    entries.find((entry) => entry.families?.includes(family.id)) ??
    entries.find((entry) => entry.engines?.includes(family.engine))
  );
}

/** Steps and parts of a service on a family; undefined where the engine cannot have the service. */
export function contentOf(service: Service, family: Family): { steps: string[]; parts: string[] } | undefined {
  const { steps, parts } = entryFor(service.for, family) ?? service;
  if (family.fuel === 'gasoline') return service.anyFuel ? { steps, parts } : undefined;
  if (service.fits && 'fuelSystem' in service.fits && !service.fits.fuelSystem.includes(family.fuelSystem.design)) {
    return undefined;
  }
  if (service.fits && 'fitted' in service.fits && family[service.fits.fitted].fitted === 'no') return undefined;
  return { steps, parts };
}

/** Labour hours of a step on a family, in whole tenths. */
export function tenthsOf(step: Step, family: Family): [number, number] {
  const [low, high] = (entryFor(step.for, family) ?? step).hours;
  return [Math.round(low * 10), Math.round(high * 10)];
}

/** Price of a part for a family, in whole cents. */
export function centsOf(part: Part, family: Family): [number, number] {
  const [low, high] = (entryFor(part.for, family) ?? part).price;
  return [Math.round(low * 100), Math.round(high * 100)];
}

/** Name and one-line description of a service, and what kind of work it is. */
export function serviceText(
  id: ServiceId,
  book: ServiceBook,
  language: Language,
): { name: string; description: string; kind: ServiceKind } {
  const service = book.services.get(id);
  if (!service) throw new Error(`TT-SERVICE: the catalogue has no ${id}`);
  return { name: service.name[language], description: service.description[language], kind: service.kind };
}
