import { sound, unsound, type Checked, type FlowFile, type FlowFinding } from '../model/checked.ts';
import { parseFlowYaml } from '../model/flow-yaml.ts';
import { SERVICES } from '../model/ids.ts';
import { Shop, WEEKDAYS, type ClockSpan } from '../model/shop.ts';
import { isRegion } from './holidays.ts';
import { isZone, minuteOfDay } from './wall-clock.ts';

const SHOP_FILE = 'flows/shop.yaml';

/**
 * Reads and checks flows/shop.yaml among the files of flows/. Beside its shape: the zone and the region are known,
 * spans are in order and do not overlap, ids are unique, and every service has a bay and a person for it.
 */
export function compileShop(files: readonly FlowFile[]): Checked<Shop> {
  const file = files.find(({ path }) => path.endsWith('shop.yaml'));
  if (!file) return unsound([{ file: SHOP_FILE, line: 1, message: 'the file is missing: it describes the shop' }]);
  const parsed = parseFlowYaml(file, Shop);
  if (!parsed.ok) return parsed;
  const { value: shop, finding } = parsed.value;
  const findings: FlowFinding[] = [];
  const object = (keys: readonly PropertyKey[], message: string) => void findings.push(finding(keys, message));

  if (!isZone(shop.zone)) object(['zone'], `unknown time zone "${shop.zone}": expected one such as America/Denver`);
  if (!isRegion(shop.region)) {
    const { country, state } = shop.region;
    object(['region'], `no public holidays are known for "${country}${state ? `-${state}` : ''}"`);
  }
  for (const day of WEEKDAYS) checkSpans(shop.hours[day], ['hours', day], object);
  checkSpans(shop.breaks, ['breaks'], object);
  if (WEEKDAYS.every((day) => shop.hours[day].length === 0)) object(['hours'], 'the shop is never open');
  shop.people.forEach((person, index) => {
    for (const day of WEEKDAYS) checkSpans(person.hours?.[day] ?? [], ['people', index, 'hours', day], object);
  });
  checkIds(shop, object);
  checkServices(shop, object);
  if (shop.followUp.between.from >= shop.followUp.between.to) object(['followUp', 'between'], 'ends before it begins');
  return findings.length > 0 ? unsound(findings) : sound(shop);
}

type Object = (keys: readonly PropertyKey[], message: string) => void;

function checkSpans(spans: readonly ClockSpan[], keys: readonly PropertyKey[], object: Object): void {
  spans.forEach(({ from, to }, index) => {
    if (minuteOfDay(to) <= minuteOfDay(from)) object([...keys, index], `${from} to ${to} ends before it begins`);
    const before = spans[index - 1];
    if (before && minuteOfDay(from) < minuteOfDay(before.to)) {
      object([...keys, index], `${from} to ${to} begins before ${before.from} to ${before.to} ends`);
    }
  });
}

function checkIds(shop: Shop, object: Object): void {
  const seen = new Set<string>();
  for (const list of ['bays', 'people'] as const) {
    shop[list].forEach(({ id }, index) => {
      if (seen.has(id)) object([list, index, 'id'], `the id "${id}" stands twice; bays and people share one diary`);
      seen.add(id);
    });
  }
}

function checkServices(shop: Shop, object: Object): void {
  const technicians = shop.people.filter(({ role }) => role === 'technician');
  for (const service of SERVICES) {
    const onLift = shop.booking.needsLift.includes(service);
    if (!shop.bays.some((bay) => !bay.cannot.includes(service) && (bay.lift || !onLift))) {
      object(['bays'], `no bay takes "${service}"${onLift ? ', which needs a lift' : ''}`);
    }
    if (technicians.length > 0 && !technicians.some(({ skills }) => skills?.includes(service) ?? true)) {
      object(['people'], `no technician can do "${service}"`);
    }
  }
}
