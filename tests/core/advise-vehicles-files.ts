import { readdirSync, readFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { compileServices, type ServiceBook } from '../../src/core/advise/services.ts';
import { compileVehicles, type Vehicles } from '../../src/core/advise/vehicles.ts';
import { findingLine, type Checked, type FlowFile } from '../../src/core/model/checked.ts';

const root = resolve(import.meta.dirname, '../..');

/** The files of one folder of flows/, with paths from the project's root. */
export const flowFiles = (folder: string): FlowFile[] =>
  readdirSync(join(root, 'flows', folder)).map((name) => {
    const path = `flows/${folder}/${name}`;
    return { path, text: readFileSync(join(root, path), 'utf8') };
  });

function soundOr<T>(checked: Checked<T>): T {
  if (!checked.ok) throw new Error(checked.findings.map(findingLine).join('\n'));
  return checked.value;
}

export const vehicleBook = (): Vehicles => soundOr(compileVehicles(flowFiles('vehicles')));
export const serviceBook = (): ServiceBook => soundOr(compileServices(flowFiles('services'), vehicleBook()));
