export { advise } from './advise.ts';
export { analyseAdvice } from './analyse.ts';
export { compileAdvice, type AdviceBook } from './book.ts';
export { compileServices, serviceText, type ServiceBook } from './services.ts';
export { estimate, EstimateRequestShape } from './estimate.ts';
export { labourOf } from './services-cost.ts';
export { compileVehicles, familiesFor } from './vehicles.ts';
