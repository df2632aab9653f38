/** One pound-force inch in newton metres: NIST SP 811 (2008), appendix B.8. */
const NEWTON_METRES_A_POUND_INCH = 0.112_984_8;

/** A torque in newton metres, to two decimals, as it is written beside the pound-force inches. */
export const newtonMetres = (poundInches: number): string => (poundInches * NEWTON_METRES_A_POUND_INCH).toFixed(2);
