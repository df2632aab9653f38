import type { FlowFinding } from '../model/checked.ts';
import type { LocatedYaml } from '../model/flow-yaml.ts';
import { SERVICES } from '../model/ids.ts';
import { nearest } from '../model/nearest.ts';
import { contentOf, tenthsOf, type ServiceSources } from './services.ts';
import { dieselOnly, type Vehicles } from './vehicles.ts';

/** What is wrong across the files of flows/services/ and against the engine families. */
export function checkServices(sources: ServiceSources, vehicles: Vehicles): FlowFinding[] {
  const findings: FlowFinding[] = [];
  const { steps, parts, catalogue, terms } = sources;
  const stepIds = new Set(steps.value.steps.map(({ id }) => id));
  const partIds = new Set(parts.value.parts.map(({ id }) => id));
  const engineIds = new Set(vehicles.families.map(({ engine }) => engine));
  const familyIds = new Set(vehicles.families.map(({ id }) => id));
  const used = new Set<string>();

  const refer = (
    file: LocatedYaml<unknown>,
    keys: readonly PropertyKey[],
    ids: readonly string[],
    known: ReadonlySet<string>,
    what: string,
  ) =>
    ids.forEach((id, nth) => {
      used.add(id);
      if (!known.has(id)) findings.push(file.finding([...keys, nth], `${id} is no ${what}${nearest(id, known)}`));
      if (ids.indexOf(id) !== nth) findings.push(file.finding([...keys, nth], `${id} stands here twice`));
    });
  const referWhom = (
    file: LocatedYaml<unknown>,
    keys: readonly PropertyKey[],
    entries: readonly { engines?: string[] | undefined; families?: string[] | undefined }[],
  ) => {
    const named = new Set<string>();
    entries.forEach((entry, nth) => {
      const here = [...keys, 'for', nth];
      if (!entry.engines && !entry.families) findings.push(file.finding(here, 'say for which engines or families'));
      refer(file, [...here, 'engines'], entry.engines ?? [], engineIds, 'engine');
      refer(file, [...here, 'families'], entry.families ?? [], familyIds, 'engine family');
      for (const id of [...(entry.engines ?? []), ...(entry.families ?? [])]) {
        if (named.has(id)) findings.push(file.finding(here, `${id} has an entry above already`));
        named.add(id);
      }
    });
  };
  const once = (file: LocatedYaml<unknown>, list: string, ids: readonly string[]) =>
    ids.forEach((id, nth) => {
      if (ids.indexOf(id) !== nth) findings.push(file.finding([list, nth, 'id'], `the id ${id} is used twice`));
    });

  once(
    steps,
    'steps',
    steps.value.steps.map(({ id }) => id),
  );
  steps.value.steps.forEach((step, nth) => {
    refer(steps, ['steps', nth, 'doneWith'], step.doneWith ?? [], stepIds, 'labour step');
    if (step.doneWith?.includes(step.id)) {
      findings.push(steps.finding(['steps', nth, 'doneWith'], `${step.id} cannot be done with itself`));
    }
    referWhom(steps, ['steps', nth], step.for);
  });
  once(
    parts,
    'parts',
    parts.value.parts.map(({ id }) => id),
  );
  parts.value.parts.forEach((part, nth) => referWhom(parts, ['parts', nth], part.for));

  used.clear();
  once(
    catalogue,
    'services',
    catalogue.value.services.map(({ id }) => id),
  );
  catalogue.value.services.forEach((service, nth) => {
    const here = ['services', nth];
    [
      { at: here, content: service },
      ...service.for.map((content, at) => ({ at: [...here, 'for', at], content })),
    ].forEach(({ at, content }) => {
      refer(catalogue, [...at, 'steps'], content.steps, stepIds, 'labour step');
      refer(catalogue, [...at, 'parts'], content.parts, partIds, 'part');
    });
    referWhom(catalogue, here, service.for);
  });
  const sold = new Set<string>(catalogue.value.services.map(({ id }) => id));
  for (const id of SERVICES) {
    if (!sold.has(id)) findings.push(catalogue.finding(['services'], `the service ${id} is missing`));
  }
  steps.value.steps.forEach(({ id }, nth) => {
    if (!used.has(id)) findings.push(steps.finding(['steps', nth, 'id'], `no service needs the step ${id}`));
  });
  parts.value.parts.forEach(({ id }, nth) => {
    if (!used.has(id)) findings.push(parts.finding(['parts', nth, 'id'], `no service needs the part ${id}`));
  });
  refer(terms, ['breakEven', 'notSaved', 'steps'], terms.value.breakEven.notSaved.steps, stepIds, 'labour step');
  refer(terms, ['breakEven', 'notSaved', 'parts'], terms.value.breakEven.notSaved.parts, partIds, 'part');
  return findings.length > 0 ? findings : [...checkKitHours(sources, vehicles), ...checkKitIntake(sources, vehicles)];
}

/** Where the fitting data say that the kit opens the intake, its steps share the way there with the look into it. */
function checkKitIntake({ catalogue, terms }: ServiceSources, vehicles: Vehicles): FlowFinding[] {
  const nth = catalogue.value.services.findIndex(({ id }) => id === terms.value.breakEven.kit);
  const kit = catalogue.value.services[nth];
  const look = catalogue.value.services.find(({ id }) => id === 'intake-inspection');
  if (!kit || !look) return [];
  return dieselOnly(vehicles.families).flatMap((family) => {
    const steps = new Set(contentOf(kit, family)?.steps);
    if (!family.kit || steps.size === 0) return [];
    const opens = (contentOf(look, family)?.steps ?? []).some((step) => steps.has(step));
    if (opens === family.kit.opensIntake) return [];
    const said = `on ${family.id} the kit's steps ${opens ? 'open' : 'do not open'} the intake`;
    const message = `${said}, whose fitting data say otherwise; set opensIntake: ${opens}, or change the steps`;
    return [catalogue.finding(['services', nth, 'steps'], message)];
  });
}

/** The labour of the kit's steps must be what the family's fitting data say. */
function checkKitHours({ steps, catalogue, terms }: ServiceSources, vehicles: Vehicles): FlowFinding[] {
  const nth = catalogue.value.services.findIndex(({ id }) => id === terms.value.breakEven.kit);
  const kit = catalogue.value.services[nth];
  if (!kit) return [];
  return dieselOnly(vehicles.families).flatMap((family) => {
    const content = contentOf(kit, family);
    if (!family.kit || !content) return [];
    const hours = steps.value.steps
      .filter(({ id }) => content.steps.includes(id))
      .map((step) => tenthsOf(step, family));
    const [low, high] = [0, 1].map((end) => hours.reduce((sum, range) => sum + (range[end] ?? 0), 0) / 10);
    const { labourHours: said } = family.kit;
    if (low === said.low && high === said.high) return [];
    const message = `the steps of the kit take ${low} to ${high} h on ${family.id}, whose fitting data say ${said.low} to ${said.high} h`;
    return [catalogue.finding(['services', nth, 'steps'], message)];
  });
}
