import type { FlowFinding } from '../model/checked.ts';
import type { AdviceBook, ReadyRule } from './book.ts';
import { rank } from './decide.ts';
import { blankOf, findSituation, type Blank, type Found } from './find.ts';
import { dieselOnly } from './vehicles.ts';
import { contentOf } from './services.ts';

/**
 * What is wrong with a rule book beyond its shape: rules that no truck can ever fire, rules that another one makes
 * needless, services that are advised and refused at once (with an example), and services that have no estimate. The
 * search goes over every combination of answers that the rules can tell apart, so that silence is proof; where it would
 * have to try too many, it says so.
 */
export function analyseAdvice(book: AdviceBook): FlowFinding[] {
  const blank = blankOf(book);
  const dead = new Set<ReadyRule>();
  const findings = book.rules.flatMap((rule) => {
    const firing = findSituation(book, blank, [rule]);
    if (firing.found === true) return [];
    dead.add(rule);
    if (firing.found === 'gave up') return [rule.finding(['when'], tooMany(`whether ${rule.id} can fire`))];
    return [
      rule.finding(['when'], `${rule.id} can never fire: its conditions exclude each other; ${leastChange(rule)}`),
    ];
  });
  const living = book.rules.filter((rule) => !dead.has(rule));
  return [...findings, ...contradictions(book, blank, living), ...shadowed(book, blank, living), ...unpriced(book)];
}

const tooMany = (what: string): string => `too many combinations to tell ${what}; split the rule or name fewer facts`;

function leastChange(rule: ReadyRule): string {
  const facts = rule.comparisons.when.map(({ fact }) => fact);
  const twice = facts.find((fact, index) => facts.indexOf(fact) !== index);
  if (twice) return `see what it asks of ${twice} twice`;
  return rule.unless ? 'see whether "unless" undoes "when"' : 'see which of them no truck can have together';
}

const example = (found: Extract<Found, { found: true }>): string => JSON.stringify(found.facts);

/** A service that one rule advises while another says that it is not advised. */
function contradictions(book: AdviceBook, blank: Blank, rules: readonly ReadyRule[]): FlowFinding[] {
  return rules.flatMap((refusing) =>
    refusing.notAdvised.flatMap(({ service }, index) =>
      rules
        .filter(({ advise }) => advise.some((advised) => advised.service === service))
        .flatMap((advising) => {
          const both = findSituation(book, blank, [refusing, advising]);
          if (both.found === false) return [];
          const pair = `${advising.id} advises ${service} and ${refusing.id} refuses it`;
          const message =
            both.found === true
              ? `${pair} at once, for instance with ${example(both)}; let "unless" of one of them exclude the other`
              : tooMany(`whether ${pair} at once`);
          return [refusing.finding(['notAdvised', index], message)];
        }),
    ),
  );
}

/** A rule that adds nothing because another one always holds with it and says as much. */
function shadowed(book: AdviceBook, blank: Blank, rules: readonly ReadyRule[]): FlowFinding[] {
  return rules.flatMap((rule) => {
    for (const other of rules) {
      if (other === rule || !saysAsMuch(other, rule)) continue;
      const mutual = saysAsMuch(rule, other);
      const apart = findSituation(book, blank, [rule], [other]);
      if (apart.found !== false) continue;
      const alike = mutual && findSituation(book, blank, [other], [rule]).found === false;
      // Of two rules that are the same the later one is needless.
      if (alike && rule.index < other.index) continue;
      const message = `${rule.id} adds nothing: whenever it holds, ${other.id} holds and says as much; drop it, or let it say more`;
      return [rule.finding(['id'], message)];
    }
    return [];
  });
}

/** Whether a rule concludes all that another one concludes. Reasons that differ in words only do not count. */
function saysAsMuch(rule: ReadyRule, other: ReadyRule): boolean {
  if (other.note || other.shopNote || other.doNow) return false;
  const services = new Set(rule.advise.map(({ service }) => service));
  const refused = new Set(rule.notAdvised.map(({ service }) => service));
  const urgent = !other.urgency || (rule.urgency !== undefined && rank(rule.urgency) <= rank(other.urgency));
  return (
    urgent &&
    other.advise.every(({ service }) => services.has(service)) &&
    other.notAdvised.every(({ service }) => refused.has(service)) &&
    other.cautions.every((id) => rule.cautions.includes(id))
  );
}

/** An advised service that the catalogue builds for no engine of the book. */
function unpriced(book: AdviceBook): FlowFinding[] {
  const families = dieselOnly(book.vehicles.families);
  return book.rules.flatMap((rule) =>
    rule.advise.flatMap(({ service }, index) => {
      const entry = book.catalogue.services.get(service);
      if (entry && families.some((family) => (contentOf(entry, family)?.steps.length ?? 0) > 0)) return [];
      const message = `${service} has no estimate: give it labour steps in flows/services/catalogue.yaml`;
      return [rule.finding(['advise', index, 'service'], message)];
    }),
  );
}
