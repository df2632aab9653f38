/**
 * The constants of the mileage model. Miles driven are a gamma process whose pace is itself unknown and gamma
 * distributed (Lawless and Crowder 2004, Lifetime Data Analysis 10:213; van Noortwijk 2009, Reliability Engineering &
 * System Safety 94:2), with forgetting of old readings, a prior from what the owner tells at intake, a season clock,
 * and a component for a change of habit.
 */
export interface Parameters {
  /** Shape gained in a day, for what readings teach. */
  a: number;
  /** Shape gained in a day, for what is forecast. */
  af: number;
  /** Days after which a reading's weight has halved. */
  halfLifeDays: number;
  /** Share of the forgetting that goes on within a forecast. */
  c: number;
  /** Mean days until a change of habit. */
  changeDays: number;
  /** Certainty about the pace after a change of habit. */
  kj: number;
  /** Amplitude of the season: 0.15 means 15 % more in the middle of July. Zero turns it off. */
  season: number;
  prior: {
    withStated: PriorCoefficients;
    withoutStated: PriorCoefficients;
  };
}

/** ln (miles a day) = constant + lifetime ln(lifetime pace) + age ln(years) + stated ln(stated miles a year / 365). */
export interface PriorCoefficients {
  constant: number;
  lifetime: number;
  age: number;
  stated: number;
  /** How many units of evidence the prior is worth. */
  k0: number;
}

/** Fitted to 5,000 simulated trucks, because no open series of repeated odometer readings of such trucks exists. */
export const PARAMETERS: Parameters = {
  a: 0.1966,
  af: 0.2447,
  halfLifeDays: 123,
  c: 0.543,
  changeDays: 225.5,
  kj: 6.32,
  season: 0.15,
  prior: {
    withStated: { constant: 0.7139 + 0.094, lifetime: 0.2531, age: 0.0029, stated: 0.5494, k0: 8.27 },
    withoutStated: { constant: 0.8863 + 0.094, lifetime: 0.7379, age: 0.0178, stated: 0, k0: 5.17 },
  },
};
