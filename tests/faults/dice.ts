/** Chance that can be repeated: numbers from 0 up to 1, the same for the same seed (the mulberry32 generator). */
export type Dice = () => number;

export function diceOf(seed: number): Dice {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

export const oneOf = <T>(roll: Dice, values: readonly [T, ...T[]]): T =>
  values[Math.floor(roll() * values.length)] ?? values[0];
